//! The npm package: the core compiled to WebAssembly, its glue, and the files of pkg-template.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::{glue, notices, paths, run, setup, size};

/// The module and its glue are called `underfoot_bg.wasm` and `underfoot.js`.
const NAME: &str = "underfoot";
const TARGET: &str = "wasm32-unknown-unknown";

/// `cargo xtask build`: fills target/pkg and checks its size.
pub fn build() -> Result<()> {
    setup::page()?;
    let pkg = assemble()?;
    let sizes = size::check(&pkg)?;
    let costs = run::program(
        "node",
        [paths::build_tools().join("costs.mjs"), pkg.clone()],
    )
    .text()?;
    let readme = pkg.join("README.md");
    let text = fs::read_to_string(&readme)?.replace("{{sizes}}", sizes.trim_end());
    fs::write(&readme, text.replace("{{costs}}", costs.trim_end()))?;
    println!("{}", pkg.display());
    Ok(())
}

/// `cargo xtask package`: the same, packed by npm.
pub fn package() -> Result<()> {
    build()?;
    let out = paths::target()?.join("npm");
    fresh(&out)?;
    run::program("npm", ["pack", "--ignore-scripts", "--pack-destination"])
        .args([&out])
        .dir(&paths::pkg()?)
        .done()
}

/// Compiles the module and puts the package together; gives its folder.
pub fn assemble() -> Result<PathBuf> {
    let module = compile()?;
    let made = paths::target()?.join("bindgen");
    fresh(&made)?;
    run::cargo([
        "run",
        "-q",
        "-p",
        "xtask-wasm",
        "--profile",
        "xtask",
        "--",
        "bindgen",
    ])
    .args([&module, &made, Path::new(NAME)])
    .done()?;
    for file in modules(&made)? {
        optimise(&file)?;
    }

    let pkg = paths::pkg()?;
    fresh(&pkg)?;
    copy_tree(&paths::root().join("pkg-template"), &pkg)?;
    copy_tree(&made, &pkg.join("wasm"))?;
    inline(&pkg.join("wasm"))?;
    for file in ["package.json", "lib/version.js"] {
        fill_version(&pkg.join(file))?;
    }
    glue::one_file(&pkg, &pkg.join(format!("wasm/{NAME}.js")))?;
    notices::write(&pkg.join("THIRD-PARTY.txt"))?;
    example(&pkg)?;
    for licence in ["LICENSE-MIT", "LICENSE-APACHE"] {
        fs::copy(paths::root().join(licence), pkg.join(licence)).context(licence)?;
    }
    Ok(pkg)
}

/// The core as a module, not yet usable from JavaScript.
fn compile() -> Result<PathBuf> {
    // Panic messages hold file names; they must not tell where this machine keeps its sources.
    let mut flags = vec![remap(&paths::root(), NAME)];
    for sources in registry_sources() {
        flags.push(remap(&sources, "crates"));
    }
    // Where the component rust-src is installed, the library's own are this machine's too.
    let library = run::program("rustc", ["--print", "sysroot"]).text()?;
    flags.push(remap(
        &Path::new(library.trim()).join("lib/rustlib/src/rust"),
        "rust",
    ));
    let flags = serde_json::to_string(&flags)?;
    run::cargo([
        "rustc",
        "-p",
        NAME,
        "--lib",
        "--profile",
        "module",
        "--target",
        TARGET,
    ])
    .args(["--crate-type", "cdylib", "--config"])
    .args([format!("target.{TARGET}.rustflags={flags}")])
    // Less inlining than opt-level s does by itself: smaller by 2 %. Less of what asks for it by
    // `#[inline]`, which are the library's iterators, would save 2.5 % more and make a frame 6 % longer.
    .args(["--", "-C", "llvm-args=-inline-threshold=20"])
    .done()?;
    Ok(paths::target()?.join(format!("{TARGET}/module/{NAME}.wasm")))
}

fn remap(from: &Path, to: &str) -> String {
    format!("--remap-path-prefix={}={to}", from.display())
}

/// Where cargo unpacks the crates of each registry.
fn registry_sources() -> Vec<PathBuf> {
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| std::env::home_dir().map(|h| h.join(".cargo")));
    let all = home.and_then(|h| fs::read_dir(h.join("registry/src")).ok());
    let mut folders: Vec<_> = all
        .into_iter()
        .flatten()
        .filter_map(|e| Some(e.ok()?.path()))
        .collect();
    folders.sort();
    folders
}

fn optimise(module: &Path) -> Result<()> {
    let tool = paths::build_tools().join("node_modules/binaryen/bin/wasm-opt");
    run::program("node", [tool.as_path(), module])
        .args([
            "-ocimfs",
            "0",
            "-Oz",
            "--strip-producers",
            "--strip-target-features",
            "-o",
        ])
        .args([module])
        .done()
}

/// The recording that the package carries for its first snippets.
fn example(to: &Path) -> Result<()> {
    let recording = paths::root().join("tests/data/recordings/front-knees-in.json.gz");
    let script = paths::build_tools().join("example.mjs");
    run::program("node", [script, recording, to.to_path_buf()]).done()
}

/// The module and its parts, `NAME_*.wasm`.
fn modules(dir: &Path) -> Result<Vec<PathBuf>> {
    let mut files: Vec<_> = fs::read_dir(dir)?
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "wasm"))
        .collect();
    files.sort();
    Ok(files)
}

/// The module and its parts as text, for the entry that needs no second file.
fn inline(dir: &Path) -> Result<()> {
    let mut script = String::new();
    for file in modules(dir)? {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let name = name.trim_start_matches(NAME).trim_start_matches('_');
        let name = if name == "bg" { "module" } else { name };
        let text = STANDARD.encode(fs::read(&file)?);
        script.push_str(&format!("export const {name} = \"{text}\";\n"));
    }
    fs::write(dir.join(format!("{NAME}_base64.js")), script)?;
    Ok(())
}

/// The version is Cargo's, so that crate and package can't differ.
fn fill_version(path: &Path) -> Result<()> {
    let text =
        fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))?;
    fs::write(path, text.replace("{{version}}", &version()?))?;
    Ok(())
}

fn version() -> Result<String> {
    let text = run::cargo(["metadata", "--no-deps", "--format-version", "1"]).text()?;
    let data: serde_json::Value = serde_json::from_str(&text)?;
    let packages = data["packages"].as_array();
    let own = packages.and_then(|all| all.iter().find(|p| p["name"] == NAME));
    let version = own.and_then(|p| p["version"].as_str());
    version
        .map(str::to_owned)
        .context("cargo metadata names no version")
}

/// An empty folder.
fn fresh(dir: &Path) -> Result<()> {
    if dir.exists() {
        fs::remove_dir_all(dir).with_context(|| format!("cannot empty {}", dir.display()))?;
    }
    fs::create_dir_all(dir).with_context(|| format!("cannot make {}", dir.display()))
}

fn copy_tree(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    let entries = fs::read_dir(from).with_context(|| format!("cannot read {}", from.display()))?;
    for entry in entries {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            if entry.file_name() != "node_modules" {
                copy_tree(&entry.path(), &target)?;
            }
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
