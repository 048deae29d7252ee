//! `cargo xtask test`: every check, in steps that can be chosen.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

use anyhow::{Context, Result, bail};

use crate::serve::Running;
use crate::{browser, bundle, npm, paths, provenance, run, setup, site};

const WASM: &str = "wasm32-unknown-unknown";

/// A step's name and what it does with the arguments after `--`.
type Step = (&'static str, fn(&[String]) -> Result<()>);

const STEPS: [Step; 5] = [
    ("lint", lint),
    ("native", native),
    ("wasm", wasm),
    ("package", package),
    ("page", page),
];

/// `cargo xtask test [STEP...] [-- FILTER...]`
pub fn main(args: Vec<String>) -> Result<()> {
    let mut parts = args.splitn(2, |a| a == "--");
    let named = parts.next().unwrap_or_default();
    let filter = parts.next().unwrap_or_default();
    if let Some(other) = named
        .iter()
        .find(|n| STEPS.iter().all(|s| s.0 != n.as_str()))
    {
        bail!(
            "no step `{other}`; there are {}",
            STEPS.map(|s| s.0).join(", ")
        );
    }
    let chosen = STEPS
        .iter()
        .filter(|s| named.is_empty() || named.iter().any(|n| n == s.0));
    // All chosen steps run, so that one run shows everything that is wrong.
    let mut failed = Vec::new();
    let mut times = Vec::new();
    for (name, step) in chosen {
        eprintln!("\n== {name}");
        let start = Instant::now();
        let done = step(filter);
        times.push((name, start.elapsed(), done.is_ok()));
        if let Err(e) = done {
            eprintln!("error in step {name}: {e:#}");
            failed.push(*name);
        }
    }
    summary(&times);
    if !failed.is_empty() {
        bail!("failed: {}", failed.join(", "));
    }
    Ok(())
}

fn summary(times: &[(&&str, Duration, bool)]) {
    println!();
    for (name, time, ok) in times {
        let word = if *ok { "ok" } else { "FAILED" };
        println!("step {name:8} {:6.1} s  {word}", time.as_secs_f64());
    }
}

/// Form, warnings, types of the scripts, and what native users would have to compile.
fn lint(_: &[String]) -> Result<()> {
    run::cargo(["fmt", "--all", "--check"]).done()?;
    let deny = ["--", "-D", "warnings"];
    run::cargo(["clippy", "-q", "--workspace", "--all-targets"])
        .args(deny)
        .done()?;
    setup::wasm_target()?;
    run::cargo([
        "clippy",
        "-q",
        "-p",
        "underfoot",
        "--all-targets",
        "--target",
        WASM,
    ])
    .args(deny)
    .done()?;
    native_has_no_web_crates()?;
    provenance::check()?;
    scripts_form()?;
    docs()
}

/// Form of the scripts and styles; `--write` in place of `--check` sets it right.
fn scripts_form() -> Result<()> {
    setup::page_tests()?;
    let tests = paths::root().join("tests/page");
    let prettier = tests.join("node_modules/prettier/bin/prettier.cjs");
    run::program(
        "node",
        [prettier.as_path(), Path::new("--check"), Path::new(".")],
    )
    .args(["--log-level", "warn"])
    .dir(&paths::root())
    .done()
}

/// A Rust program that uses the core alone must not get the browser's crates with it.
fn native_has_no_web_crates() -> Result<()> {
    let tree = run::cargo([
        "tree",
        "-p",
        "underfoot",
        "-e",
        "normal",
        "--prefix",
        "none",
    ])
    .text()?;
    let web = ["wasm-bindgen", "js-sys", "web-sys", "serde-wasm-bindgen"];
    let found = tree
        .lines()
        .find(|l| web.iter().any(|w| l.split(' ').next() == Some(w)));
    match found {
        Some(line) => bail!("a native build of `underfoot` depends on `{line}`"),
        None => Ok(()),
    }
}

fn docs() -> Result<()> {
    run::cargo(["doc", "-q", "-p", "underfoot", "--no-deps"])
        .env("RUSTDOCFLAGS", "-D warnings")
        .done()
}

/// How long the tests' fuzzing lasts, s.
const FUZZ_SECONDS: &str = "30";

/// Tests of the core, the simulator and these commands on this machine, and hostile input.
fn native(filter: &[String]) -> Result<()> {
    let others = ["--exclude", "xtask", "--exclude", "xtask-wasm"];
    run::cargo(["test", "--workspace"])
        .args(others)
        .args(filter)
        .done()?;
    // In its own profile: what it links is compiled for it already.
    run::cargo(["test", "-p", "xtask", "--profile", "xtask"])
        .args(filter)
        .done()?;
    if filter.is_empty() {
        // Other cases every day; a failure prints its own, which is the seed that repeats it.
        let today = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH)?;
        let seed = today.as_secs() / 86_400 * 1_000_000;
        let args = ["--seconds", FUZZ_SECONDS, "--seed", &seed.to_string()];
        crate::fuzz::main(args.map(String::from).to_vec())?;
    }
    Ok(())
}

/// Tests of the core and its bindings, compiled to WebAssembly, in a headless browser.
fn wasm(filter: &[String]) -> Result<()> {
    setup::wasm_target()?;
    let browser = browser::need()?;
    run::cargo([
        "test",
        "-p",
        "underfoot",
        "--target",
        WASM,
        "--test",
        "wasm*",
    ])
    .args(filter)
    .env("CHROMEDRIVER", browser.driver)
    .env("WASM_BINDGEN_TEST_TIMEOUT", "120")
    .done()
}

/// The package as npm packs it, in other people's kinds of projects.
fn package(filter: &[String]) -> Result<()> {
    let dir = paths::root().join("tests/package");
    setup::page()?;
    npm::install(&dir)?;
    bundle::package()?;
    node_tests(&dir, filter, None)
}

/// `cargo xtask matrix`: every way of setting the packed package up, as a table.
pub fn matrix(parts: &[String]) -> Result<()> {
    let dir = paths::root().join("tests/package");
    setup::page()?;
    npm::install(&dir)?;
    bundle::package()?;
    let browser = browser::need()?;
    run::program("node", [dir.join("matrix.mjs")])
        .args(parts)
        .env("CHROMIUM", browser.chromium)
        .env("UNDERFOOT_PKG", paths::pkg()?)
        .env("UNDERFOOT_TARBALLS", paths::target()?.join("npm"))
        .done()
}

/// The page in a headless browser, and the types of its scripts.
fn page(filter: &[String]) -> Result<()> {
    let dir = paths::root().join("tests/page");
    setup::page()?;
    setup::page_tests()?;
    let pkg = bundle::assemble()?;
    types(&dir)?;
    node_tests(&paths::root().join("tests/share"), filter, None)?;
    site::make(&paths::target()?.join("site"), &pkg)?;
    let server = Running::start(0, pkg)?;
    node_tests(&dir, filter, Some(&server.url()))
}

/// Types of the page's scripts, from their JSDoc and the package's declarations.
fn types(tests: &Path) -> Result<()> {
    // The page imports ../pkg/index.js, which exists only on the server; to the checker www and
    // the target folder are one.
    let (www, target) = (paths::root().join("www"), paths::target()?);
    let config = serde_json::json!({
        "extends": www.join("tsconfig.json"),
        "compilerOptions": { "rootDirs": [www, target] },
        "include": [www.join("**/*.js")],
        "exclude": [www.join("vendor")],
    });
    let file = target.join("tsconfig.json");
    fs::write(&file, config.to_string())?;
    let tsc = tests.join("node_modules/typescript/bin/tsc");
    run::program("node", [tsc.as_path(), Path::new("-p"), &file]).done()
}

/// Runs a folder's test files with Node's runner; a filter chooses files by parts of their names.
fn node_tests(dir: &Path, filter: &[String], url: Option<&str>) -> Result<()> {
    let mut files = test_files(dir)?;
    files.retain(|f| {
        filter.is_empty() || filter.iter().any(|part| f.to_string_lossy().contains(part))
    });
    if files.is_empty() {
        eprintln!("no file of {} is chosen", dir.display());
        return Ok(());
    }
    let browser = browser::need()?;
    let pkg = paths::pkg()?;
    let mut node = run::program("node", ["--test", "--test-concurrency=1"]).dir(dir);
    if let Some(url) = url {
        node = node.env("UNDERFOOT_URL", url);
    }
    node.args(files)
        .env("CHROMIUM", browser.chromium)
        .env("CHROMEDRIVER", browser.driver)
        .env("UNDERFOOT_PKG", pkg)
        .env("UNDERFOOT_SITE", paths::target()?.join("site"))
        .env("UNDERFOOT_TARBALLS", paths::target()?.join("npm"))
        .done()
}

/// The folder's own test files, `*.test.mjs`.
fn test_files(dir: &Path) -> Result<Vec<PathBuf>> {
    let entries = fs::read_dir(dir).with_context(|| format!("no {}", dir.display()))?;
    let mut files: Vec<_> = entries
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    files.sort();
    if files.is_empty() {
        bail!("{} holds no *.test.mjs", dir.display());
    }
    Ok(files)
}
