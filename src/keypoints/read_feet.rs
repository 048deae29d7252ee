//! Reads what the feet's tracked pictures said of a frame.

use super::joint::Side;
use super::node::Node;
use super::recording::{TrackedFeet, TrackedFoot};
use crate::Error;

/// A value and a standard error no larger than these can be a foot's: mm or degrees.
const MOST: f64 = 1000.0;
/// ... nor is one known better than this: a thousandth of a pixel is less.
const LEAST_SD: f64 = 1e-3;
/// No point of a picture lies further out than this, px.
const FAR_PX: f64 = 1e6;

/// A frame's `feet: { left?: F, right?: F }`, with `F = { heel_lift_mm?: [value, sd],
/// foot_roll_deg?: [value, sd], shin_px?: [[x, y], [x, y]], contacts_px?: [[x, y] or null, 3 of them], set_by?: [mm along, mm
/// toward the other foot, degrees turned out] }`.
///
/// # Errors
/// The first field that cannot be used, with its path below `frame` and the reason.
pub(super) fn read_feet<N: Node>(frame: &N, path: &str) -> Result<Option<TrackedFeet>, Error> {
    let mut out = TrackedFeet::default();
    let Some(feet) = frame.get("feet") else {
        return Ok(None);
    };
    if !feet.is_object() {
        return Err(Error::bad(format!("{path}.feet"), "must be an object"));
    }
    for (side, name) in Side::BOTH.into_iter().zip(["left", "right"]) {
        let Some(foot) = feet.get(name) else { continue };
        let path = format!("{path}.feet.{name}");
        if !foot.is_object() {
            return Err(Error::bad(path, "must be an object"));
        }
        out[side.index()] = Some(TrackedFoot {
            heel_lift_mm: estimate(&foot, "heel_lift_mm", &path)?,
            foot_roll_deg: estimate(&foot, "foot_roll_deg", &path)?,
            shin_px: shin(&foot, &path)?,
            contacts_px: contacts(&foot, &path)?,
            set_by: set_by(&foot, &path)?,
        });
    }
    Ok(Some(out))
}

fn estimate<N: Node>(foot: &N, key: &str, path: &str) -> Result<Option<[f64; 2]>, Error> {
    let Some(pair) = foot.get(key) else {
        return Ok(None);
    };
    match numbers(&pair) {
        Some([value, sd]) if value.abs() <= MOST && (LEAST_SD..=MOST).contains(&sd) => {
            Ok(Some([value, sd]))
        }
        _ => Err(Error::bad(
            format!("{path}.{key}"),
            "must be [value, standard error], the error from 0.001 to 1000",
        )),
    }
}

fn set_by<N: Node>(foot: &N, path: &str) -> Result<Option<[f64; 3]>, Error> {
    let Some(list) = foot.get("set_by") else {
        return Ok(None);
    };
    let number = |i| list.at(i)?.number().filter(|v| v.abs() <= MOST);
    match (list.list_len(), number(0), number(1), number(2)) {
        (Some(3), Some(along), Some(toward), Some(out)) => Ok(Some([along, toward, out])),
        _ => Err(Error::bad(
            format!("{path}.set_by"),
            "must be [mm along, mm toward the other foot, degrees out]",
        )),
    }
}

fn contacts<N: Node>(foot: &N, path: &str) -> Result<[Option<[f64; 2]>; 3], Error> {
    let mut out = [None; 3];
    let Some(list) = foot.get("contacts_px") else {
        return Ok(out);
    };
    let bad = || {
        Error::bad(
            format!("{path}.contacts_px"),
            "must be three of [x, y] or null",
        )
    };
    if list.list_len() != Some(out.len()) {
        return Err(bad());
    }
    for (i, slot) in out.iter_mut().enumerate() {
        let Some(point) = list.at(i).filter(|p| !p.is_null()) else {
            continue;
        };
        let at = numbers(&point).filter(|at| at.iter().all(|v| v.abs() <= FAR_PX));
        *slot = Some(at.ok_or_else(bad)?);
    }
    Ok(out)
}

fn shin<N: Node>(foot: &N, path: &str) -> Result<Option<[[f64; 2]; 2]>, Error> {
    let Some(list) = foot.get("shin_px") else {
        return Ok(None);
    };
    let end = |i| numbers(&list.at(i)?).filter(|at| at.iter().all(|v| v.abs() <= FAR_PX));
    match (list.list_len(), end(0), end(1)) {
        (Some(2), Some(ankle), Some(knee)) => Ok(Some([ankle, knee])),
        _ => Err(Error::bad(
            format!("{path}.shin_px"),
            "must be [[x, y], [x, y]], ankle and knee",
        )),
    }
}

/// Two finite numbers.
fn numbers<N: Node>(pair: &N) -> Option<[f64; 2]> {
    let number = |i| pair.at(i)?.number().filter(|v| v.is_finite());
    (pair.list_len() == Some(2)).then_some(())?;
    Some([number(0)?, number(1)?])
}
