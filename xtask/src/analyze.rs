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
