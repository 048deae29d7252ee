//! npm packages: installed from their lockfiles, and copied to where the page loads them.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use crate::{paths, run};

/// Node's lowest version that the tests and tools run on.
const NODE: u32 = 20;

/// Checks that Node.js is there and new enough.
pub fn need_node() -> Result<()> {
    let help =
        format!("install Node.js {NODE} or newer with npm (nodejs.org, or the system's packages)");
    let version = run::program("node", ["--version"])
        .text()
        .context(help.clone())?;
    let major = version.trim_start_matches('v').split('.').next();
    let major: u32 = major.and_then(|m| m.parse().ok()).unwrap_or(0);
    if major < NODE {
        bail!("Node.js {} is too old: {help}", version.trim());
    }
    Ok(())
}

/// Installs a folder's npm packages exactly as its lockfile says; nothing to do when it has not
/// changed since.
pub fn install(dir: &Path) -> Result<()> {
    let lock = dir.join("package-lock.json");
    let wanted = fs::read(&lock).with_context(|| format!("cannot read {}", lock.display()))?;
    let stamp = dir.join("node_modules/.installed-lock.json");
    if fs::read(&stamp).is_ok_and(|there| there == wanted) {
        return Ok(());
    }
    need_node()?;
    run::program(
        "npm",
        [
            "ci",
            "--prefer-offline",
            "--ignore-scripts",
            "--no-audit",
            "--no-fund",
        ],
    )
    .dir(dir)
    .done()?;
    fs::create_dir_all(dir.join("node_modules"))?;
    fs::write(stamp, wanted)?;
    Ok(())
}

/// Files of an npm package that the page serves itself; one entry of xtask/npm/vendor.json.
#[derive(Deserialize)]
struct Vendor {
    /// The npm package.
    package: String,
    /// The folder below www/vendor.
    to: String,
    /// From files and folders of the package to their places in that folder.
    files: BTreeMap<String, String>,
}

/// Copies the listed files into www/vendor.
pub fn vendor() -> Result<()> {
    let tools = paths::build_tools();
    install(&tools)?;
    let list = fs::read_to_string(tools.join("vendor.json")).context("xtask/npm/vendor.json")?;
    let list: Vec<Vendor> = serde_json::from_str(&list).context("xtask/npm/vendor.json")?;
    for entry in list {
        let package = tools.join("node_modules").join(&entry.package);
        let folder = paths::root().join("www/vendor").join(&entry.to);
        for (from, to) in &entry.files {
            copy_changed(&package.join(from), &folder.join(to))?;
        }
    }
    Ok(())
}

/// Copies a file or a whole folder. Leaves equal files alone, so that the browser's cache and a
/// running server stay valid.
fn copy_changed(from: &Path, to: &Path) -> Result<()> {
    if from.is_dir() {
        for entry in fs::read_dir(from)? {
            let name = entry?.file_name();
            copy_changed(&from.join(&name), &to.join(&name))?;
        }
        return Ok(());
    }
    let bytes = fs::read(from).with_context(|| format!("cannot read {}", from.display()))?;
    if fs::read(to).is_ok_and(|there| there == bytes) {
        return Ok(());
    }
    if let Some(folder) = to.parent() {
        fs::create_dir_all(folder).with_context(|| format!("cannot make {}", folder.display()))?;
    }
    // Written, not copied: some packages ship files that only their owner may read.
    fs::write(to, bytes).with_context(|| format!("cannot write {}", to.display()))
}
