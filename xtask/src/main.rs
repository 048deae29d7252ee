//! The project's commands. `cargo xtask` alone lists them.

mod analyze;
mod browser;
mod bundle;
mod fields;
mod frames;
mod fuzz;
mod glue;
mod json;
mod notices;
mod npm;
mod paths;
mod picture;
mod provenance;
mod run;
mod serve;
mod setup;
mod site;
mod size;
mod test;
mod y4m;

use std::process::ExitCode;

use anyhow::Result;

const USAGE: &str = "\
cargo xtask serve [--port N]                the page on localhost, everything set up first
cargo xtask test [STEP...] [-- FILTER...]   every check; STEP is lint, native, wasm, page or package
cargo xtask analyze FILE... [--series] [--frames CLIP.y4m]
                                            one report a line for recordings (JSON or JSON.gz)
cargo xtask matrix [PART-OF-A-NAME...]       the packed package in every kind of project (all bundlers)
cargo xtask build                           the npm package's files in target/pkg, with their sizes
cargo xtask package                         the same, packed by npm into target/npm
cargo xtask site [--to FOLDER]              the page as a folder for any static host, with its sizes
cargo xtask picture                         the README's pictures, from the example
cargo xtask fields                          the package's page of fields, from invented sets
cargo xtask setup                           what the other commands install when they need it
cargo xtask validate [--clips FOLDER] [ARG...]
                                            the measured error figures, of rendered clips with --clips
cargo xtask fuzz [--seconds N] [--seed N] [--pushes N]
                                            hostile frames, set-ups and files through the core";

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let command = args.next().unwrap_or_default();
    let rest: Vec<String> = args.collect();
    let done = match command.as_str() {
        // Its own exit codes: 2 is for input that cannot be used.
        "analyze" => return analyze::main(rest),
        "serve" => serve::main(rest),
        "test" => test::main(rest),
        "matrix" => test::matrix(&rest),
        "build" => bundle::build(),
        "package" => bundle::package(),
        "site" => site::main(rest),
        "picture" => picture::main(),
        "fields" => fields::main(),
        "setup" => setup::everything(),
        "validate" => validate(rest),
        "fuzz" => fuzz::main(rest),
        "" | "help" | "-h" | "--help" => {
            println!("{USAGE}");
            Ok(())
        }
        other => {
            eprintln!("no command `{other}`\n\n{USAGE}");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("error: {e:#}");
            ExitCode::FAILURE
        }
    }
}

/// The simulator is a crate of its own: it is large, and `analyze` must not wait for it.
fn validate(args: Vec<String>) -> Result<()> {
    let run = ["run", "-q", "-p", "underfoot-sim", "--profile", "xtask"];
    run::cargo(run).args(["--", "validate"]).args(args).done()
}
