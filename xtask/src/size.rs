//! What the package weighs over the wire, and the most it may.

use std::path::Path;

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use crate::{paths, run};

/// Most bytes of module and glue together, compressed with gzip.
const BUDGET_GZIP: u64 = 90_000;

/// One file's sizes in bytes.
#[derive(Deserialize)]
struct Size {
    raw: u64,
    gzip: u64,
    brotli: u64,
}

/// Prints the sizes of the package's files and refuses a package over the budget.
pub fn check(pkg: &Path) -> Result<()> {
    let files = loaded(pkg)?;
    let paths: Vec<_> = files.iter().map(|f| pkg.join(f)).collect();
    let text = run::program("node", [paths::build_tools().join("sizes.mjs")])
        .args(paths)
        .text()?;
    let sizes: Vec<Size> = serde_json::from_str(&text).context("sizes.mjs")?;
    println!("{:>9} {:>9} {:>9}  bytes", "raw", "gzip", "brotli");
    let mut total = Size {
        raw: 0,
        gzip: 0,
        brotli: 0,
    };
    for (file, size) in files.iter().zip(&sizes) {
        row(size, file);
        total.raw += size.raw;
        total.gzip += size.gzip;
        total.brotli += size.brotli;
    }
    row(
        &total,
        &format!("together (at most {BUDGET_GZIP} with gzip)"),
    );
    if total.gzip > BUDGET_GZIP {
        bail!(
            "the package is {} bytes over its size budget",
            total.gzip - BUDGET_GZIP
        );
    }
    Ok(())
}

/// What a page loads that imports the package's main entry: the module and every script but the
/// inline entry's copy of the module.
fn loaded(pkg: &Path) -> Result<Vec<String>> {
    let mut files = vec![
        "wasm/underfoot_bg.wasm".to_owned(),
        "wasm/underfoot.js".to_owned(),
    ];
    if pkg.join("index.js").exists() {
        files.push("index.js".to_owned());
    }
    Ok(files)
}

fn row(size: &Size, name: &str) {
    println!(
        "{:>9} {:>9} {:>9}  {name}",
        size.raw, size.gzip, size.brotli
    );
}
