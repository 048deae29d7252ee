//! What the package weighs over the wire, and the most it may.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use crate::{paths, run};

/// Most bytes that a page downloads before it can push a frame, on its own thread or in a worker:
/// scripts and module without its parts, compressed with gzip.
const FIRST_GZIP: u64 = 130_000;

/// One file's sizes in bytes.
#[derive(Default, Deserialize)]
pub struct Size {
    raw: u64,
    gzip: u64,
    brotli: u64,
}

impl Size {
    /// Adds another file's.
    pub fn add(&mut self, other: &Self) {
        self.raw += other.raw;
        self.gzip += other.gzip;
        self.brotli += other.brotli;
    }
}

/// Prints the sizes of the package's files and refuses a first load over the limit. Gives them as a
/// table for its README.
pub fn check(pkg: &Path) -> Result<String> {
    let first = first_load(pkg)?;
    let later: Vec<_> = PARTS
        .map(|(part, _)| format!("wasm/underfoot_{part}.wasm"))
        .into();
    let sizes = sizes(pkg, first.iter().chain(&later))?;
    println!("{:>9} {:>9} {:>9}  bytes", "raw", "gzip", "brotli");
    let mut total = Size::default();
    for (file, size) in first.iter().zip(&sizes) {
        row(size, file);
        total.add(size);
    }
    row(
        &total,
        &format!("together, the first load (at most {FIRST_GZIP} with gzip)"),
    );
    for ((part, when), size) in PARTS.iter().zip(&sizes[first.len()..]) {
        row(size, &format!("wasm/underfoot_{part}.wasm, {when}"));
    }
    println!("first load: {} bytes gzipped", total.gzip);
    if total.gzip > FIRST_GZIP {
        bail!(
            "the first load is {} bytes over its limit",
            total.gzip - FIRST_GZIP
        );
    }
    let mut table = format!(
        "| part | bytes gzipped | fetched |\n|---|---|---|\n| first load: scripts and module | {} | at once |\n",
        total.gzip
    );
    for ((part, when), size) in PARTS.iter().zip(&sizes[first.len()..]) {
        table.push_str(&format!("| {part} | {} | {when} |\n", size.gzip));
    }
    Ok(table)
}

/// Parts of the module, and when they are fetched.
const PARTS: [(&str, &str); 3] = [
    ("report", "with `init()`, or behind a worker's first answer"),
    ("picture", "with the first crop"),
    ("compare", "with the first comparison"),
];

/// Sizes of a folder's files, as they are and compressed.
pub fn sizes<'a>(folder: &Path, files: impl Iterator<Item = &'a String>) -> Result<Vec<Size>> {
    let text = run::program("node", [paths::build_tools().join("sizes.mjs")])
        .args(files.map(|f| folder.join(f)))
        .text()?;
    serde_json::from_str(&text).context("sizes.mjs")
}

/// What a page loads first: the module, and every script that the main entry and the worker lead to.
fn first_load(pkg: &Path) -> Result<Vec<String>> {
    let mut files = vec!["wasm/underfoot_bg.wasm".to_owned()];
    files.extend(["index.js", "worker.js", "worker-main.js"].map(str::to_owned));
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

/// Prints one line of the table.
pub fn row(size: &Size, name: &str) {
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
