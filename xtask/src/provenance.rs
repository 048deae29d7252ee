//! Where the core's numbers come from: a constant says so in its comment.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::paths;

/// What a comment says of a number: a publication, a measurement, or by which command it was tuned.
const MARKS: [&str; 3] = ["published:", "measured:", "tuned:"];
/// Modules whose numbers all have one.
const WHOLE: [&str; 1] = ["src/repetitions"];
/// Numbers without one in the rest of src; it may only fall.
const LEFT: usize = 357;

/// Fails where a constant has no provenance.
pub fn check() -> Result<()> {
    let root = paths::root();
    let mut files = vec![];
    sources(&root.join("src"), &mut files)?;
    let (mut whole, mut rest) = (vec![], 0);
    for file in files {
        let text = fs::read_to_string(&file).with_context(|| file.display().to_string())?;
        let path = file.strip_prefix(&root)?;
        let found = without(&text);
        if WHOLE.iter().any(|folder| path.starts_with(folder)) {
            let lines = found.iter();
            whole.extend(lines.map(|(line, name)| format!("{}:{line} {name}", path.display())));
        } else {
            rest += found.len();
        }
    }
    if !whole.is_empty() {
        bail!("no `published:`, `measured:` or `tuned:` in the comments of {whole:#?}");
    }
    if rest > LEFT {
        bail!(
            "{rest} numbers in the rest of src say nothing of themselves, {LEFT} did: name the source of new ones"
        );
    }
    Ok(())
}

fn sources(folder: &Path, files: &mut Vec<PathBuf>) -> Result<()> {
    for entry in fs::read_dir(folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.is_dir() {
            sources(&path, files)?;
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    Ok(())
}

/// Line and name of each numeric constant whose comment has no mark. Constants that follow one another share
/// the comment above the first; indices and lengths of arrays are no measured quantities; tests' own numbers are
/// left out.
fn without(text: &str) -> Vec<(usize, String)> {
    let (mut comment, mut found) = (String::new(), vec![]);
    let mut last_was_constant = false;
    for (i, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.starts_with("#[cfg(test)]") {
            break;
        }
        if let Some(words) = line.strip_prefix("///") {
            if last_was_constant {
                comment.clear();
            }
            comment += words;
            last_was_constant = false;
        } else if let Some((name, value)) = constant(line) {
            let number = value.bytes().any(|b| b.is_ascii_digit());
            let mut words = ["Index", "Indices", "Number of"].iter();
            let index = words.any(|word| comment.contains(word));
            if number && !index && !MARKS.iter().any(|mark| comment.contains(mark)) {
                found.push((i + 1, name.to_owned()));
            }
            last_was_constant = true;
        } else if !line.starts_with("#[") {
            comment.clear();
            last_was_constant = false;
        }
    }
    found
}

/// Name and value of a line that begins a constant of numbers.
fn constant(line: &str) -> Option<(&str, &str)> {
    let (start, value) = line.split_once('=')?;
    let (_, start) = start.split_once("const ")?;
    let (name, kind) = start.split_once(':')?;
    let mut kinds = ["f64", "usize", "u8", "u32", "i32"].iter();
    let numeric = kinds.any(|number| kind.contains(number));
    (numeric && !line.starts_with("//")).then_some((name, value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_numbers_without_a_source() {
        let text = "
/// A step, m.
/// tuned: `reps`
const A: f64 = 1.0;
const B: f64 = 2.0;

const C: f64 = 3.0;
/// Longest, ms.
pub(super) const D: [f64; 2] = [4.0, 5.0];
/// Index of a parameter.
const E: usize = 6;
const F: &str = \"7\";
/// From another.
const G: f64 = A;
#[cfg(test)]
const H: f64 = 8.0;
";
        let names: Vec<_> = without(text).into_iter().map(|(_, name)| name).collect();
        assert_eq!(names, ["C", "D"]);
    }
}
