//! Chromium and its driver for the tests: found, or installed where that can be done.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};

use crate::run;

/// The two programs of the browser tests.
pub struct Browser {
    /// Chromium itself.
    pub chromium: PathBuf,
    /// ChromeDriver of the same version.
    pub driver: PathBuf,
}

/// Finds both programs; installs Debian's packages when they are missing and this user may.
///
/// `CHROMIUM` and `CHROMEDRIVER` name programs elsewhere.
pub fn need() -> Result<Browser> {
    if let Some(browser) = find() {
        return Ok(browser);
    }
    if may_install() {
        let apt = || run::program("apt-get", ["-q"]).env("DEBIAN_FRONTEND", "noninteractive");
        let packages = [
            "install",
            "-y",
            "--no-install-recommends",
            "chromium",
            "chromium-driver",
            // Without any font a page has no text to look at.
            "fonts-dejavu-core",
        ];
        apt().args(["update"]).done()?;
        apt().args(packages).done()?;
        if let Some(browser) = find() {
            return Ok(browser);
        }
    }
    bail!(
        "the browser tests need Chromium and ChromeDriver of the same version. On Debian and Ubuntu:\n\
         \x20   sudo apt-get install chromium chromium-driver\n\
         elsewhere install both and, if they are not on PATH, name them in CHROMIUM and CHROMEDRIVER"
    )
}

fn find() -> Option<Browser> {
    let chromium = named("CHROMIUM").or_else(|| {
        ["chromium", "chromium-browser", "google-chrome"]
            .iter()
            .find_map(|n| on_path(n))
    })?;
    let driver = named("CHROMEDRIVER").or_else(|| on_path("chromedriver"))?;
    Some(Browser { chromium, driver })
}

fn named(variable: &str) -> Option<PathBuf> {
    let path = PathBuf::from(std::env::var_os(variable)?);
    path.is_file().then_some(path)
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|dir| dir.join(name))
        .find(|p| p.is_file())
}

/// Debian's tools are there and this user may write where they write.
fn may_install() -> bool {
    Path::new("/etc/debian_version").exists()
        && on_path("apt-get").is_some()
        && run::program("test", ["-w", "/var/lib/dpkg"]).works()
}
