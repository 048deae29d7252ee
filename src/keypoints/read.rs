//! Reads a recording from any tree of named values, so that every host gives the same errors.

use super::node::{Node, unknown};
use super::read_feet::read_feet;
use super::read_setup::read_setup;
use super::recording::{Person, RawFrame, Recording};
use crate::decimal::decimal;
use crate::{Error, ErrorCode};

/// Most people kept from one frame; more are refused rather than silently dropped.
const MAX_PEOPLE: usize = 64;

/// Reads a whole recording in the contract's form.
///
/// # Errors
/// The first field that cannot be used, with its path and reason.
pub fn read_recording<N: Node>(root: &N) -> Result<Recording, Error> {
    if !root.is_object() {
        return Err(Error::bad(
            "recording",
            "must be an object with `layout`, `image` and `frames`",
        ));
    }
    let mut setup = read_setup(root)?;
    let list = root
        .get("frames")
        .ok_or_else(|| Error::bad("frames", "missing"))?;
    let n = list
        .list_len()
        .ok_or_else(|| Error::bad("frames", "must be a list"))?;
    if n == 0 {
        return Err(Error::new(
            ErrorCode::Empty,
            "frames",
            "the recording holds no frame",
        ));
    }
    let mut frames = Vec::new();
    let mut before = f64::NEG_INFINITY;
    for i in 0..n {
        let path = format!("frames[{i}]");
        let node = list.at(i).filter(N::is_object);
        let node = node.ok_or_else(|| Error::bad(&*path, "must be an object"))?;
        let frame = read_frame(&node, &path, setup.layout.count())?;
        // Equal times are a camera's ordinary repeat and are dropped later; a step back is not.
        if frame.t_ms < before {
            let [now, before] = [frame.t_ms, before].map(|t| decimal(t, 3));
            let reason = format!("{now} is before the frame before it ({before})");
            return Err(Error::new(
                ErrorCode::TimeOrder,
                format!("{path}.t_ms"),
                reason,
            ));
        }
        before = frame.t_ms;
        // A frame with nobody in it may have a misspelt list of points.
        if frame.people.is_empty() {
            let known = ["t_ms", "points", "people", "feet"];
            unknown(&node, "frames[].", &known, &mut setup.unknown);
        }
        frames.push(frame);
    }
    Ok(Recording { setup, frames })
}

fn read_frame<N: Node>(node: &N, path: &str, count: usize) -> Result<RawFrame, Error> {
    let t_path = format!("{path}.t_ms");
    let t_ms = node
        .get("t_ms")
        .ok_or_else(|| Error::bad(&*t_path, "missing"))?;
    let t_ms = t_ms
        .number()
        .ok_or_else(|| Error::bad(&*t_path, "must be a number"))?;
    if !t_ms.is_finite() {
        return Err(Error::bad(t_path, "not a finite number"));
    }
    let mut people = Vec::new();
    if let Some(list) = node.get("people") {
        let path = format!("{path}.people");
        let n = list
            .list_len()
            .ok_or_else(|| Error::bad(&*path, "must be a list"))?;
        if n > MAX_PEOPLE {
            return Err(Error::bad(path, format!("more than {MAX_PEOPLE} people")));
        }
        for i in 0..n {
            let Some(points) = list.at(i).filter(|p| !p.is_null()) else {
                continue;
            };
            people.push(read_points(&points, &format!("{path}[{i}]"), count)?);
        }
    } else if let Some(points) = node.get("points") {
        people.push(read_points(&points, &format!("{path}.points"), count)?);
    }
    let feet = read_feet(node, path)?;
    Ok(RawFrame { t_ms, people, feet })
}

fn read_points<N: Node>(list: &N, path: &str, count: usize) -> Result<Person, Error> {
    let n = list
        .list_len()
        .ok_or_else(|| Error::bad(path, "must be a list of points or null"))?;
    if n != count {
        return Err(Error::bad(
            path,
            format!("has {n} points, the layout has {count}"),
        ));
    }
    let mut points = Vec::with_capacity(n);
    for i in 0..n {
        let field = |axis: &str| format!("{path}[{i}]{axis}");
        let Some(point) = list.at(i).filter(|p| !p.is_null()) else {
            points.push([f64::NAN, f64::NAN, 0.0]);
            continue;
        };
        let len = point
            .list_len()
            .ok_or_else(|| Error::bad(field(""), "must be [x, y, score]"))?;
        if !(2..=3).contains(&len) {
            return Err(Error::bad(field(""), "must be [x, y, score]"));
        }
        let mut out = [0.0, 0.0, 1.0];
        for (k, axis) in [".x", ".y", ".score"].into_iter().enumerate().take(len) {
            // What is not a number, or null, was not seen.
            out[k] = match point.at(k).filter(|v| !v.is_null()) {
                None => f64::NAN,
                Some(v) => v
                    .number()
                    .ok_or_else(|| Error::bad(field(axis), "must be a number"))?,
            };
            if out[k].is_infinite() {
                return Err(Error::bad(field(axis), "not a finite number"));
            }
        }
        points.push(out);
    }
    Ok(points)
}
