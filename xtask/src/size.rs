//! What the package weighs over the wire, and the most it may.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use crate::{paths, run};

/// Most bytes of module and glue together, compressed with gzip: a ceiling, so that it can't grow
/// unseen. The aim is [`AIM_GZIP`].
const BUDGET_GZIP: u64 = 200_000;
/// What module and glue should weigh, tracker included. Missed since the findings, their sentences
/// and the foot tracker came in: what is left is the core's own code, spread over all its stages.
const AIM_GZIP: u64 = 90_000;

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
        &format!("together (at most {BUDGET_GZIP}, aim {AIM_GZIP} with gzip)"),
    );
    if total.gzip > BUDGET_GZIP {
        bail!(
            "the package is {} bytes over its size budget",
            total.gzip - BUDGET_GZIP
        );
    }
    Ok(())
}

/// What a page loads that imports the package's main entry: the module, and every script that the
/// entry leads to.
fn loaded(pkg: &Path) -> Result<Vec<String>> {
    let mut files = vec!["wasm/underfoot_bg.wasm".to_owned(), "index.js".to_owned()];
    let mut next = 1;
    while let Some(script) = files.get(next).cloned() {
        let path = pkg.join(&script);
        let text = fs::read_to_string(&path).with_context(|| format!("cannot read {script}"))?;
        for import in static_imports(&text) {
            let file = beside(&script, import);
            if !files.contains(&file) {
                files.push(file);
            }
        }
        next += 1;
    }
    Ok(files)
}

/// The place in the package of what `script` calls `import`.
fn beside(script: &str, import: &str) -> String {
    let mut place: Vec<&str> = script.split('/').collect();
    place.pop();
    for step in import.split('/') {
        match step {
            "." => {}
            ".." => {
                place.pop();
            }
            name => place.push(name),
        }
    }
    place.join("/")
}

/// The package's own files that a script imports or exports from: `... from './x.js'`, with or
/// without the space.
fn static_imports(text: &str) -> impl Iterator<Item = &str> {
    let after = text.split("from").skip(1).map(str::trim_start);
    after.filter_map(|rest| {
        let quote = rest.chars().next().filter(|c| matches!(c, '\'' | '"'))?;
        let file = rest[1..].split(quote).next()?;
        file.starts_with('.').then_some(file)
    })
}

fn row(size: &Size, name: &str) {
    println!(
        "{:>9} {:>9} {:>9}  {name}",
        size.raw, size.gzip, size.brotli
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn imports_of_the_packages_own_files_are_found() {
        let text = "import { a } from './a.js';\nexport * from \"./b/c.js\";\nimport x from 'other';import{c}from\"./d.js\";\n// from here\n";
        let found: Vec<_> = static_imports(text)
            .map(|f| beside("index.js", f))
            .collect();
        assert_eq!(found, ["a.js", "b/c.js", "d.js"]);
        assert_eq!(beside("lib/module.js", "../wasm/x.js"), "wasm/x.js");
    }
}
