//! The package's page that shows each field of a report on a picture, made from invented sets.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result};

use crate::serve::Running;
use crate::{browser, bundle, paths, run, setup};

/// A picture's name, and the view and the fault of its set.
const SETS: [(&str, &str, Option<&str>); 10] = [
    ("knee-inside", "front", Some("knee-in")),
    ("knee-outside", "front", Some("knee-out")),
    ("heel", "side", Some("heel")),
    ("roll-inward", "front", Some("roll-in")),
    ("roll-outward", "front", Some("roll-out")),
    ("forward", "side", Some("forward")),
    ("load", "front", Some("shift")),
    ("time", "side", None),
    ("thigh", "side", None),
    ("standing", "oblique", None),
];
/// An invented lifter whose faults are all plain ones (tuned: the second of twelve).
const SEED: &str = "10";

/// `cargo xtask fields`: pkg-template/docs.
pub fn main() -> Result<()> {
    setup::page()?;
    setup::page_tests()?;
    let made = paths::target()?.join("fields");
    fs::create_dir_all(&made)?;
    for (name, view, fault) in SETS {
        simulate(&made, view, fault)?;
        let from = made.join(format!("sim-{view}-{SEED}.json"));
        fs::rename(&from, made.join(format!("{name}.json")))
            .with_context(|| from.display().to_string())?;
    }
    let server = Running::start(0, bundle::assemble()?)?;
    let script = paths::root().join("tests/page/fields.mjs");
    run::program("node", [script, made])
        .env("UNDERFOOT_URL", server.url())
        .env("CHROMIUM", browser::need()?.chromium)
        .done()
}

/// Three repetitions of the invented lifter, written into a folder.
fn simulate(into: &Path, view: &str, fault: Option<&str>) -> Result<()> {
    let run = ["run", "-q", "-p", "underfoot-sim", "--profile", "xtask"];
    let mut make = run::cargo(run)
        .args(["--", "make", "--layout", "halpe-26", "--noise", "0.5"])
        .args(["--view", view, "--seed", SEED, "--out"])
        .args([into]);
    if let Some(fault) = fault {
        make = make.args(["--fault", fault]);
    }
    make.done()
}
