//! What the commands need and install by themselves. Every step may be run again at no cost.

use anyhow::{Context, Result};

use crate::{browser, npm, paths, run};

/// `cargo xtask setup`: what every other command together needs.
pub fn everything() -> Result<()> {
    page()?;
    page_tests()?;
    let browser = browser::need()?;
    println!("browser: {}", browser.chromium.display());
    println!("driver:  {}", browser.driver.display());
    Ok(())
}

/// What building the package and serving the page need; no browser.
pub fn page() -> Result<()> {
    wasm_target()?;
    npm::vendor()
}

/// Tools of the page's tests and types.
pub fn page_tests() -> Result<()> {
    npm::install(&paths::root().join("tests/page"))
}

/// Adds the compiler's target for WebAssembly.
///
/// rust-toolchain.toml names it too, but rustup acts on that only where its auto-install is on.
pub fn wasm_target() -> Result<()> {
    const TARGET: &str = "wasm32-unknown-unknown";
    let dir = run::program("rustc", ["--print", "target-libdir", "--target", TARGET]).text()?;
    if std::path::Path::new(dir.trim()).is_dir() {
        return Ok(());
    }
    run::program("rustup", ["target", "add", TARGET])
        .done()
        .context("the compiler lacks the target wasm32-unknown-unknown; add it, then try again")
}
