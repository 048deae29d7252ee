//! The package's scripts as they go over the wire: one file of what every page loads, without
//! comments and long names.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result};

use crate::{paths, run};

/// What both entries share; it leads to every file that [`one_file`] takes in.
const CORE: &str = "core.js";
const CORE_MAP: &str = "core.js.map";
/// Stay files of their own: the worker's and the adapters' pages load them without the rest.
const APART: [&str; 4] = ["error.js", "ids.js", "installed.js", "layouts.js"];

/// Makes one file of lib/core.js and all that it leads to, the module's generated glue included,
/// and takes away what went into it.
pub fn one_file(pkg: &Path, glue: &Path) -> Result<()> {
    let lib = pkg.join("lib");
    let apart = APART.map(|name| format!("--external:./{name}"));
    esbuild(pkg, &["lib/core.js", "--bundle"], &apart)?;
    for entry in fs::read_dir(&lib).context("lib")? {
        let path = entry?.path();
        let name = path.file_name().unwrap_or_default();
        if name != CORE && name != CORE_MAP && !APART.iter().any(|apart| name == *apart) {
            fs::remove_file(&path).with_context(|| path.display().to_string())?;
        }
    }
    fs::remove_file(glue).with_context(|| glue.display().to_string())?;
    for file in APART {
        esbuild(pkg, &[&format!("lib/{file}")], &[])?;
    }
    for file in ["index.js", "worker.js", "worker-main.js"] {
        esbuild(pkg, &[file], &[])?;
    }
    Ok(())
}

/// Shortens a script of the package in its place.
fn esbuild(pkg: &Path, what: &[&str], more: &[String]) -> Result<()> {
    let tool = paths::build_tools().join("node_modules/esbuild/bin/esbuild");
    run::program("node", [tool])
        .args(what)
        .args(more)
        .args(["--minify", "--format=esm", "--target=es2022", "--sourcemap"])
        .args(["--log-level=warning", "--allow-overwrite"])
        .args([format!("--outfile={}", what[0])])
        .dir(pkg)
        .done()
}
