//! Where things are.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

/// The repository's top folder.
pub fn root() -> PathBuf {
    // At run time first: a target folder may be shared by several work trees.
    let own = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    own.parent().map_or(own.clone(), Path::to_path_buf)
}

/// Cargo's target folder, wherever it was configured: this program lies in TARGET/PROFILE/.
pub fn target() -> Result<PathBuf> {
    let exe = std::env::current_exe().context("cannot tell where this program lies")?;
    exe.ancestors()
        .nth(2)
        .map(Path::to_path_buf)
        .context("this program lies outside a target folder")
}

/// The package as npm will see it; served as /pkg/.
pub fn pkg() -> Result<PathBuf> {
    Ok(target()?.join("pkg"))
}

/// The npm packages that the build itself uses.
pub fn build_tools() -> PathBuf {
    root().join("xtask/npm")
}
