//! `validate`: the measured error figures.

use std::path::{Path, PathBuf};
use underfoot::thresholds::Thresholds;
use underfoot_sim::rendered;
use underfoot_sim::validate::{self, Options};

/// What the command line asks for.
#[derive(Default)]
struct Asked {
    options: Options,
    brief: bool,
    out: Option<PathBuf>,
    /// Measure rendered clips in this folder instead.
    clips: Option<PathBuf>,
    /// ... without their pictures.
    keypoints: bool,
    /// Every value goes there, one clip a line.
    values: Option<PathBuf>,
}

fn parse(args: &[String]) -> Result<Asked, lexopt::Error> {
    use lexopt::prelude::*;
    let mut asked = Asked::default();
    let o = &mut asked.options;
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("seed") => o.seed = parser.value()?.parse()?,
            Long("sets") => o.sets = parser.value()?.parse()?,
            Long("jobs") => o.jobs = parser.value()?.parse()?,
            Long("only") => o.only = Some(parser.value()?.string()?),
            Long("outliers") => o.outliers = true,
            Long("traits") => o.traits = true,
            Long("brief") => asked.brief = true,
            Long("out") => asked.out = Some(parser.value()?.into()),
            Long("clips") => asked.clips = Some(parser.value()?.into()),
            Long("keypoints") => asked.keypoints = true,
            Long("values") => asked.values = Some(parser.value()?.into()),
            _ => return Err(arg.unexpected()),
        }
    }
    Ok(asked)
}

/// Errors on the rendered clips of a folder.
fn clips(asked: &Asked, folder: &Path) -> Result<String, String> {
    let only = asked.options.only.as_deref().unwrap_or_default();
    let scored = rendered::over(folder, only, asked.options.jobs, |clip| {
        let scored = rendered::score(clip, !asked.keypoints)?;
        let line = asked
            .values
            .is_some()
            .then(|| rendered::line(clip, &scored));
        Ok((scored.values, scored.reps, line))
    })?;
    if let Some(path) = &asked.values {
        let lines: Vec<&str> = scored.iter().filter_map(|s| s.2.as_deref()).collect();
        let text = lines.join("\n") + "\n";
        std::fs::write(path, text).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    let [there, found] = [0, 1].map(|k| scored.iter().map(|s| s.1[k]).sum::<usize>());
    let values: Vec<_> = scored.into_iter().flat_map(|s| s.0).collect();
    let mut out = rendered::text(&values);
    out.push_str(&format!("\n{found} of {there} repetitions found.\n"));
    let lines = Thresholds::default();
    let wrong = rendered::wrong(&values, |check| {
        let band = lines.of(check);
        [
            band.low.unwrap_or(f64::NEG_INFINITY),
            band.high.unwrap_or(f64::INFINITY),
        ]
    });
    out.push_str(&format!(
        "{} cells told clear or a fault that are not, of {} seen:\n",
        wrong.len(),
        values.iter().filter(|v| v.said.is_some()).count()
    ));
    for line in wrong {
        out.push_str(&format!("{line}\n"));
    }
    Ok(out)
}

pub fn main(args: &[String]) -> Result<(), String> {
    let asked = parse(args).map_err(|e| e.to_string())?;
    let text = if let Some(folder) = &asked.clips {
        clips(&asked, folder)?
    } else if asked.brief {
        validate::brief(&asked.options)?
    } else {
        validate::run(&asked.options)?
    };
    match asked.out {
        Some(path) => std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display())),
        None => {
            print!("{text}");
            Ok(())
        }
    }
}
