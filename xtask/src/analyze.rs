//! `cargo xtask analyze FILE... [--series] [--frames CLIP.y4m]`: one report a line, in the order of the files.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::thread;

use underfoot::keypoints::read_recording;
use underfoot::session::Options;

use crate::frames;
use crate::json::{self, Json};

const USAGE: &str = "usage: cargo xtask analyze FILE... [--series] [--frames CLIP.y4m]";

/// What the command line asks for.
struct Asked {
    files: Vec<PathBuf>,
    options: Options,
    /// The clip of the one recording, YUV4MPEG2.
    frames: Option<PathBuf>,
}

/// Ends with 0, or with 2 and one line on standard error when a file can't be used. Reports of
/// the files before it are printed by then.
pub fn main(args: Vec<String>) -> ExitCode {
    let asked = match asked(args) {
        Ok(asked) => asked,
        Err(e) => return refuse(&format!("{e}; {USAGE}")),
    };
    let mut out = io::stdout().lock();
    for (file, report) in reports(&asked) {
        let line = match report {
            Ok(line) => line,
            // The field comes first; the file is named only where there is a choice.
            Err(e) if asked.files.len() > 1 => return refuse(&format!("{}: {e}", file.display())),
            Err(e) => return refuse(&e),
        };
        if writeln!(out, "{line}").and_then(|()| out.flush()).is_err() {
            // Whoever reads has seen enough.
            return ExitCode::SUCCESS;
        }
    }
    ExitCode::SUCCESS
}

/// Reports in the order of the files, as soon as each is known; several are worked on at once.
fn reports(asked: &Asked) -> impl Iterator<Item = (&Path, Result<String, String>)> {
    let workers = thread::available_parallelism().map_or(1, usize::from);
    let files = &asked.files;
    files.chunks(workers).flat_map(move |some| {
        thread::scope(|scope| {
            let running: Vec<_> = some
                .iter()
                .map(|f| scope.spawn(|| report(f, asked)))
                .collect();
            let done = running.into_iter().map(|r| r.join());
            let done = done
                .map(|r| r.unwrap_or_else(|_| Err("recording: a fault of the reader's".into())));
            some.iter()
                .map(PathBuf::as_path)
                .zip(done)
                .collect::<Vec<_>>()
        })
    })
}

/// One line, without what steers a terminal, and no longer than a few lines of one: names in a file, and a
/// file's own, are a stranger's.
fn refuse(line: &str) -> ExitCode {
    const MOST: usize = 600;
    let mut shown: String = line.chars().take(MOST).collect();
    if line.len() > shown.len() {
        shown.push('…');
    }
    eprintln!("{}", shown.replace(|c: char| c.is_control(), " "));
    ExitCode::from(2)
}

fn asked(args: Vec<String>) -> Result<Asked, lexopt::Error> {
    use lexopt::prelude::*;
    let mut parser = lexopt::Parser::from_args(args);
    let mut files = Vec::new();
    let mut options = Options::default();
    let mut frames = None;
    while let Some(arg) = parser.next()? {
        match arg {
            Long("series") => options.series = true,
            Long("frames") => frames = Some(PathBuf::from(parser.value()?)),
            Value(file) => files.push(PathBuf::from(file)),
            other => return Err(other.unexpected()),
        }
    }
    if files.is_empty() {
        return Err("no file named".into());
    }
    if frames.is_some() && files.len() > 1 {
        return Err("--frames goes with one recording".into());
    }
    Ok(Asked {
        files,
        options,
        frames,
    })
}

fn report(file: &Path, asked: &Asked) -> Result<String, String> {
    let tree = json::parse(read(file)?)?;
    let recording = read_recording(&Json(&tree)).map_err(|e| e.to_string())?;
    drop(tree);
    let report = match &asked.frames {
        Some(clip) => frames::analyze(&recording, clip, &asked.options)?,
        None => underfoot::analyze(&recording, &asked.options).map_err(|e| e.to_string())?,
    };
    serde_json::to_string(&report).map_err(|e| format!("report: {e}"))
}

/// A file's bytes; `-` is standard input.
fn read(file: &Path) -> Result<Vec<u8>, String> {
    let bytes = if file == Path::new("-") {
        let mut bytes = Vec::new();
        io::stdin().lock().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        fs::read(file)
    };
    bytes.map_err(|e| format!("{}: cannot be read: {e}", file.display()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paths;
    use serde_json::{Value, json};
    use underfoot::Session;
    use underfoot::keypoints::{Person, Recording};

    /// Every so many frames one point is odd.
    const EVERY: usize = 7;
    /// The left heel of `blazepose-33`: a point that every check of the left foot reads.
    const POINT: usize = 29;

    /// The contract's words for a value that an estimator may write in a number's place: as JSON text, as the number
    /// that a caller of the core has, and whether it means unseen or is refused.
    const ODD: [(&str, f64, bool); 8] = [
        ("null", f64::NAN, true),
        ("NaN", f64::NAN, true),
        ("-NaN", f64::NAN, true),
        ("Infinity", f64::INFINITY, false),
        ("-Infinity", f64::NEG_INFINITY, false),
        ("1e999", f64::INFINITY, false),
        ("-1e999", f64::NEG_INFINITY, false),
        ("1.8e308", f64::INFINITY, false),
    ];

    fn whole() -> Value {
        let file = paths::root().join("tests/data/recordings/side-heel-lift.json.gz");
        json::parse(fs::read(file).unwrap()).unwrap()
    }

    /// The recording with the odd frames' point changed, as text.
    fn text(change: impl Fn(&mut Value)) -> String {
        let mut tree = whole();
        let frames = tree["frames"].as_array_mut().unwrap();
        for frame in frames.iter_mut().step_by(EVERY) {
            change(frame);
        }
        tree.to_string()
    }

    fn recording(text: &str) -> Result<Recording, String> {
        let tree = json::parse(text.into())?;
        read_recording(&Json(&tree)).map_err(|e| e.to_string())
    }

    /// What the command prints of this text, or says.
    fn command(text: &str) -> Result<String, String> {
        let report = underfoot::analyze(&recording(text)?, &Options::default());
        Ok(serde_json::to_string(&report.map_err(|e| e.to_string())?).unwrap())
    }

    /// The report over the whole recording pushed frame by frame, the odd frames' people changed.
    fn pushed(change: impl Fn(&mut Vec<Person>)) -> Result<String, String> {
        let base = recording(&whole().to_string()).unwrap();
        let mut session = Session::new(base.setup.clone(), Options::default());
        for (i, frame) in base.frames.iter().enumerate() {
            let mut people = frame.people.clone();
            if i % EVERY == 0 {
                change(&mut people);
            }
            let pushed = session.push(frame.t_ms, &people);
            pushed.map_err(|e| format!("frames[{i}].{e}"))?;
        }
        Ok(serde_json::to_string(&session.report()).unwrap())
    }

    /// The contract: a coordinate or score that is null or NaN means that its point is unseen, an infinite one is an
    /// error, in a file, in `analyze` and in `push` alike.
    #[test]
    fn a_number_that_is_none_means_the_same_in_a_file_and_in_a_push() {
        let unseen = command(&text(|f| f["points"][POINT] = Value::Null)).unwrap();
        assert_ne!(unseen, command(&text(|_| {})).unwrap(), "the point matters");
        for (word, number, taken) in ODD {
            for (k, axis) in ["x", "y", "score"].into_iter().enumerate() {
                let file =
                    text(|f| f["points"][POINT][k] = json!("HERE")).replace("\"HERE\"", word);
                let expected = match taken {
                    true => Ok(unseen.clone()),
                    false => Err(format!(
                        "frames[0].points[{POINT}].{axis}: not a finite number"
                    )),
                };
                assert_eq!(command(&file), expected, "{word} as {axis} in a file");
                let push = pushed(|people| people[0][POINT][k] = number);
                assert_eq!(push, expected, "{word} as {axis} in a push");
            }
        }
    }

    /// ... and what is absent: a score that is left out is 1, a point that is null is unseen, and a frame without
    /// points, in any spelling, is a frame left out.
    #[test]
    fn what_is_absent_means_the_same_in_a_file_and_in_a_push() {
        let sure = pushed(|people| people[0][POINT][2] = 1.0).unwrap();
        let short = text(|f| drop(f["points"][POINT].as_array_mut().unwrap().pop()));
        assert_eq!(command(&short).unwrap(), sure, "no score");
        let unseen = pushed(|people| people[0][POINT] = [f64::NAN, f64::NAN, 0.0]).unwrap();
        let none = text(|f| f["points"][POINT] = Value::Null);
        assert_eq!(command(&none).unwrap(), unseen, "no point");
        let nobody = pushed(Vec::clear).unwrap();
        for (k, frame) in [
            json!({ "points": null }),
            json!({ "people": [] }),
            json!({ "people": [null] }),
            json!({}),
            json!({ "points": vec![Value::Null; 33] }),
            json!({ "points": vec![[None, None, Some(0.9)]; 33] }),
        ]
        .into_iter()
        .enumerate()
        {
            let file = text(|f| {
                let t_ms = f["t_ms"].take();
                *f = frame.clone();
                f["t_ms"] = t_ms;
            });
            assert_eq!(command(&file).unwrap(), nobody, "nobody, spelling {k}");
        }
        let mut tree = whole();
        let frames = tree["frames"].as_array_mut().unwrap();
        let mut i = 0;
        frames.retain(|_| {
            i += 1;
            (i - 1) % EVERY != 0
        });
        assert_eq!(command(&tree.to_string()).unwrap(), nobody, "left out");
        for point in ["[1]", "[]", "[1,2,1,0]"] {
            let file = text(|f| f["points"][POINT] = json!("HERE")).replace("\"HERE\"", point);
            let expected = format!("frames[0].points[{POINT}]: must be [x, y, score]");
            assert_eq!(command(&file), Err(expected), "{point}");
        }
    }
}
