//! Reads earlier reports back from a host's tree, as much of them as a comparison needs.

use super::summary::SetSummary;
use crate::keypoints::{Node, Side};
use crate::measures::{Channel, Check};
use crate::statistics::mean;
use crate::thresholds;
use crate::{Error, ErrorCode};

/// Most repetitions read from one report.
const MAX_REPS: usize = 10_000;

/// Two reports or more, oldest first. A report may carry `day`, a whole number that those of one
/// day share (days since any start); those without one count as one day.
///
/// # Errors
/// For a list of fewer than two, for what is no report of schema 1, for a `day` that is no whole
/// number, and for `thresholds` that are none. Checks that a report lacks count as unseen.
pub fn read_history<N: Node>(root: &N) -> Result<Vec<SetSummary>, Error> {
    let count = root
        .list_len()
        .ok_or_else(|| Error::bad("reports", "must be a list"))?;
    if count < 2 {
        return Err(Error::new(
            ErrorCode::Empty,
            "reports",
            "a comparison needs at least two",
        ));
    }
    let mut sets = Vec::new();
    for i in 0..count {
        let path = format!("reports[{i}]");
        let node = root.at(i).filter(N::is_object);
        let node = node.ok_or_else(|| Error::bad(&*path, "must be an object"))?;
        sets.push(report(&node, &path)?);
    }
    Ok(sets)
}

fn report<N: Node>(node: &N, path: &str) -> Result<SetSummary, Error> {
    if node.get("schema").and_then(|s| s.number()) != Some(1.0) {
        return Err(Error::bad(format!("{path}.schema"), "must be 1"));
    }
    let day = match node.get("day") {
        None => None,
        Some(day) => match day.number() {
            Some(d) if d.fract() == 0.0 && d.abs() < 1e9 => Some(d as i64),
            _ => {
                let reason = "must be a whole number of days";
                return Err(Error::bad(format!("{path}.day"), reason));
            }
        },
    };
    let lines = node.get("thresholds").map(|n| thresholds::read(&n));
    let lines = lines.transpose().map_err(|e| {
        let field = format!("{path}.{}", e.field());
        Error::new(e.code(), field, e.reason())
    })?;
    let reps = node
        .get("reps")
        .ok_or_else(|| Error::bad(format!("{path}.reps"), "missing"))?;
    let n = reps
        .list_len()
        .ok_or_else(|| Error::bad(format!("{path}.reps"), "must be a list"))?;
    let mut out = SetSummary {
        day,
        lines,
        azimuth_deg: node
            .get("view")
            .and_then(|v| v.get("azimuth_deg")?.number())
            .filter(|a| a.is_finite()),
        ..SetSummary::default()
    };
    let mut errors: [Vec<f64>; Channel::COUNT] = Default::default();
    for rep in (0..n.min(MAX_REPS)).filter_map(|i| reps.at(i)) {
        for channel in Channel::ALL {
            if let Some((value, sd)) = mark(&rep, channel) {
                out.values[channel.index()].push(value);
                errors[channel.index()].push(sd);
            }
        }
    }
    for (sd, list) in out.sd.iter_mut().zip(&errors) {
        *sd = mean(list).unwrap_or(0.0);
    }
    Ok(out)
}

fn mark<N: Node>(rep: &N, channel: Channel) -> Option<(f64, f64)> {
    let check: Check = channel.check();
    let node = rep.get(check.name())?;
    let node = match channel.side() {
        Some(Side::Left) => node.get("left")?,
        Some(Side::Right) => node.get("right")?,
        None => node,
    };
    let of = |name: &str| node.get(name)?.number().filter(|v| v.is_finite());
    Some((of("value")?, of("sd")?))
}
