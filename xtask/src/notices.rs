//! What the licences of the crates in the module ask for: their names and texts beside it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::run;

const TARGET: &str = "wasm32-unknown-unknown";
/// How licence files' names begin.
const NAMES: [&str; 4] = ["LICENSE", "LICENCE", "COPYING", "NOTICE"];

/// Writes the notices of everything that is linked into the module.
///
/// # Errors
/// A crate without a licence text whose manifest does not say MIT.
pub fn write(to: &Path) -> Result<()> {
    let text = run::cargo(["metadata", "--format-version", "1"])
        .args(["--filter-platform", TARGET])
        .text()?;
    let data: Value = serde_json::from_str(&text)?;
    let packages: BTreeMap<&str, &Value> = list(&data["packages"])
        .filter_map(|p| Some((p["id"].as_str()?, p)))
        .collect();
    let mut out = String::from("What is linked into the WebAssembly module, and its licences.\n");
    // Texts that are alike are given once.
    let mut given: BTreeMap<String, String> = BTreeMap::new();
    for id in linked(&data, &packages)? {
        let package = packages[id];
        let name = format!(
            "{} {}",
            text_of(package, "name"),
            text_of(package, "version")
        );
        let _ = writeln!(out, "\n== {name} ({})", text_of(package, "license"));
        for (file, text) in texts(package, &name)? {
            match given.get(&text) {
                Some(there) => {
                    let _ = writeln!(out, "\n{file}: the same as {there}");
                }
                None => {
                    let _ = writeln!(out, "\n{file}:\n{}", text.trim_end());
                    given.insert(text, format!("{file} of {name}"));
                }
            }
        }
    }
    fs::write(to, out).with_context(|| to.display().to_string())
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text_of<'a>(package: &'a Value, key: &str) -> &'a str {
    package[key].as_str().unwrap_or_default()
}

/// Everything that the crate itself needs at run time, but what runs in the compiler.
fn linked<'a>(data: &'a Value, packages: &BTreeMap<&str, &'a Value>) -> Result<BTreeSet<&'a str>> {
    let root = list(&data["packages"]).find(|p| p["name"] == "underfoot");
    let root = root.and_then(|p| p["id"].as_str());
    let root = root.context("cargo metadata names no `underfoot`")?;
    let mut seen = BTreeSet::new();
    let mut open = vec![root];
    while let Some(id) = open.pop() {
        let node = list(&data["resolve"]["nodes"]).find(|n| n["id"] == id);
        for dep in node.into_iter().flat_map(|n| list(&n["deps"])) {
            let at_run_time = list(&dep["dep_kinds"]).any(|k| k["kind"].is_null());
            let Some(to) = dep["pkg"].as_str() else {
                continue;
            };
            let in_compiler =
                list(&packages[to]["targets"]).any(|t| list(&t["kind"]).any(|k| k == "proc-macro"));
            if at_run_time && !in_compiler && seen.insert(to) {
                open.push(to);
            }
        }
    }
    Ok(seen)
}

/// A package's licence texts: where it leaves a choice, the MIT licence's.
fn texts(package: &Value, name: &str) -> Result<Vec<(String, String)>> {
    let manifest = Path::new(text_of(package, "manifest_path"));
    let dir = manifest.parent().context("a manifest without a folder")?;
    let mut files: Vec<_> = fs::read_dir(dir)?
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| {
            let name = p.file_name().unwrap_or_default().to_string_lossy();
            p.is_file() && NAMES.iter().any(|n| name.to_uppercase().starts_with(n))
        })
        .collect();
    files.sort();
    let is_mit = |p: &Path| p.to_string_lossy().to_uppercase().ends_with("MIT");
    if text_of(package, "license").contains("MIT") && files.iter().any(|p| is_mit(p)) {
        files.retain(|p| is_mit(p) || !p.to_string_lossy().contains("LICENSE-"));
    }
    let declared = text_of(package, "license");
    if files.is_empty() && declared.contains("MIT") {
        let authors: Vec<_> = list(&package["authors"])
            .filter_map(Value::as_str)
            .collect();
        let by = authors.join(", ");
        let text = format!(
            "No file in the crate; its manifest says {declared}, by {by}. The text is that of LICENSE-MIT."
        );
        return Ok(vec![("licence".into(), text)]);
    }
    if files.is_empty() {
        bail!("{name} carries no licence text");
    }
    let read = |p: std::path::PathBuf| -> Result<_> {
        let file = p
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        Ok((file, fs::read_to_string(&p)?))
    };
    files.into_iter().map(read).collect()
}
