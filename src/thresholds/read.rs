//! Reads changed lines from a host's tree: `{ knee_in_deg: { low?, high? }, ... }`.

use super::{Lines, Thresholds};
use crate::keypoints::Node;
use crate::{Error, ErrorCode};

/// The default lines with those of `root` in their place.
///
/// # Errors
/// As [`Thresholds::with`]; also for a `root` or a check that is no object, and for a line that is
/// no number.
pub fn read<N: Node>(root: &N) -> Result<Thresholds, Error> {
    let bad = |field: String, reason: &str| Error::new(ErrorCode::BadOption, field, reason);
    if !root.is_object() {
        return Err(bad("thresholds".to_owned(), "must be an object"));
    }
    let mut out = Thresholds::default();
    for check in root.keys() {
        let Some(node) = root.get(&check) else {
            continue;
        };
        if !node.is_object() {
            return Err(bad(
                format!("thresholds.{check}"),
                "must be an object with `low` and `high`",
            ));
        }
        let line = |name: &str| match node.get(name) {
            None => Ok(None),
            Some(value) => match value.number() {
                Some(number) => Ok(Some(number)),
                None => Err(bad(
                    format!("thresholds.{check}.{name}"),
                    "must be a number",
                )),
            },
        };
        let lines = Lines {
            low: line("low")?,
            high: line("high")?,
        };
        out = out.with(&check, lines)?;
    }
    Ok(out)
}
