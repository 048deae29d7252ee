//! `validate`: the measured error figures.

use std::path::PathBuf;
use underfoot_sim::validate::{self, Options};

fn parse(args: &[String]) -> Result<(Options, bool, Option<PathBuf>), lexopt::Error> {
    use lexopt::prelude::*;
    let mut o = Options::default();
    let (mut brief, mut out) = (false, None);
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("seed") => o.seed = parser.value()?.parse()?,
            Long("sets") => o.sets = parser.value()?.parse()?,
            Long("jobs") => o.jobs = parser.value()?.parse()?,
            Long("only") => o.only = Some(parser.value()?.string()?),
            Long("outliers") => o.outliers = true,
            Long("traits") => o.traits = true,
            Long("brief") => brief = true,
            Long("out") => out = Some(parser.value()?.into()),
            _ => return Err(arg.unexpected()),
        }
    }
    Ok((o, brief, out))
}

pub fn main(args: &[String]) -> Result<(), String> {
    let (options, brief, out) = parse(args).map_err(|e| e.to_string())?;
    let text = if brief {
        validate::brief(&options)?
    } else {
        validate::run(&options)?
    };
    match out {
        Some(path) => std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display())),
        None => {
            print!("{text}");
            Ok(())
        }
    }
}
