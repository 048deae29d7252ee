//! Reads a recording from any tree of named values, so that every host gives the same errors.

use super::joint::Joint;
use super::layout::Layout;
use super::read_feet::read_feet;
use super::recording::{
    CameraHint, Carry, Footwear, ImageSize, Lifter, Load, Person, RawFrame, Recording, Setup,
};
use crate::decimal::decimal;
use crate::{Error, ErrorCode};

/// One value in a host's tree (a JSON value, a JavaScript value).
///
/// The reader walks it and never keeps it. A host says what is there; the reader decides what is
/// allowed.
pub trait Node: Sized {
    /// The member called `key`; `None` when absent or null, or when this is no object.
    fn get(&self, key: &str) -> Option<Self>;
    /// Names of an object's members; empty when this is no object.
    fn keys(&self) -> Vec<String>;
    /// Length when this is a list.
    fn list_len(&self) -> Option<usize>;
    /// Element `i` of a list; `None` when out of range.
    fn at(&self, i: usize) -> Option<Self>;
    /// The number, if it is one (may be non-finite).
    fn number(&self) -> Option<f64>;
    /// The text, if it is text.
    fn text(&self) -> Option<String>;
    /// The truth value, if it is one.
    fn boolean(&self) -> Option<bool>;
    /// Whether this is null or undefined.
    fn is_null(&self) -> bool;
    /// Whether this is an object with named members (not a list).
    fn is_object(&self) -> bool;
}

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
    let setup = read_setup(root)?;
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
    let mut frames = Vec::with_capacity(n);
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
        frames.push(frame);
    }
    Ok(Recording { setup, frames })
}

/// Reads everything but the frames.
///
/// # Errors
/// As [`read_recording`].
pub fn read_setup<N: Node>(root: &N) -> Result<Setup, Error> {
    let layout = root
        .get("layout")
        .ok_or_else(|| Error::bad("layout", "missing"))?;
    let layout = read_layout(&layout)?;
    let image = root
        .get("image")
        .ok_or_else(|| Error::bad("image", "missing"))?;
    let side = |key: &str| {
        let path = format!("image.{key}");
        let value = number_in(&image, key, &path, 1.0, 100_000.0)?;
        value.ok_or_else(|| Error::bad(path, "missing"))
    };
    let image = ImageSize {
        width: side("width")?,
        height: side("height")?,
    };
    let mut setup = Setup::new(layout, image);
    if let Some(node) = section(root, "lifter")? {
        setup.lifter = Lifter {
            height_m: number_in(&node, "height_m", "lifter.height_m", 0.8, 2.6)?,
        };
    }
    if let Some(node) = section(root, "load")? {
        setup.load = Load {
            body_kg: number_in(&node, "body_kg", "load.body_kg", 15.0, 400.0)?,
            bar_kg: number_in(&node, "bar_kg", "load.bar_kg", 0.0, 1000.0)?,
            carry: choice(
                &node,
                "carry",
                "load.carry",
                &[
                    ("back", Carry::Back),
                    ("front", Carry::Front),
                    ("overhead", Carry::Overhead),
                    ("goblet", Carry::Goblet),
                    ("none", Carry::None),
                ],
            )?
            .unwrap_or_default(),
        };
    }
    if let Some(node) = section(root, "camera")? {
        let mirrored = match node.get("mirrored") {
            None => false,
            Some(v) => v
                .boolean()
                .ok_or_else(|| Error::bad("camera.mirrored", "must be true or false"))?,
        };
        setup.camera = CameraHint {
            hfov_deg: number_in(&node, "hfov_deg", "camera.hfov_deg", 5.0, 170.0)?,
            mirrored,
            pitch_deg: number_in(&node, "pitch_deg", "camera.pitch_deg", -90.0, 90.0)?,
            roll_deg: number_in(&node, "roll_deg", "camera.roll_deg", -180.0, 180.0)?,
        };
    }
    setup.footwear = choice(
        root,
        "footwear",
        "footwear",
        &[
            ("barefoot", Footwear::Barefoot),
            ("flat", Footwear::Flat),
            ("raised-heel", Footwear::RaisedHeel),
        ],
    )?;
    if let Some(node) = root.get("estimator") {
        let name = node
            .text()
            .ok_or_else(|| Error::bad("estimator", "must be text"))?;
        setup.estimator = Some(name);
    }
    Ok(setup)
}

fn read_layout<N: Node>(node: &N) -> Result<Layout, Error> {
    if let Some(name) = node.text() {
        let known = Layout::NAMES.join(", ");
        return Layout::named(&name).ok_or_else(|| {
            Error::bad(
                "layout",
                format!("not a known layout (known: {known}, or a joint map)"),
            )
        });
    }
    if !node.is_object() {
        return Err(Error::bad("layout", "must be a name or {count, joints}"));
    }
    let count = whole(node, "count", "layout.count")?;
    let joints = node.get("joints").filter(N::is_object);
    let joints = joints.ok_or_else(|| Error::bad("layout.joints", "must be an object"))?;
    let mut pairs = Vec::new();
    for key in joints.keys() {
        let path = format!("layout.joints.{key}");
        let joint =
            Joint::from_name(&key).ok_or_else(|| Error::bad(&*path, "not a joint's name"))?;
        pairs.push((joint, whole(&joints, &key, &path)?));
    }
    Layout::custom(count, pairs)
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
            let value = point.at(k).and_then(|v| v.number());
            let value = value.ok_or_else(|| Error::bad(field(axis), "must be a number"))?;
            if !value.is_finite() {
                return Err(Error::bad(field(axis), "not a finite number"));
            }
            out[k] = value;
        }
        points.push(out);
    }
    Ok(points)
}

fn section<N: Node>(root: &N, key: &str) -> Result<Option<N>, Error> {
    match root.get(key) {
        Some(node) if !node.is_object() => Err(Error::bad(key, "must be an object")),
        other => Ok(other),
    }
}

fn number_in<N: Node>(
    node: &N,
    key: &str,
    path: &str,
    low: f64,
    high: f64,
) -> Result<Option<f64>, Error> {
    let Some(value) = node.get(key) else {
        return Ok(None);
    };
    let value = value
        .number()
        .ok_or_else(|| Error::bad(path, "must be a number"))?;
    if !value.is_finite() {
        return Err(Error::bad(path, "not a finite number"));
    }
    if !(low..=high).contains(&value) {
        let [low, high] = [low, high].map(|bound| decimal(bound, 3));
        return Err(Error::bad(path, format!("must be from {low} to {high}")));
    }
    Ok(Some(value))
}

fn whole<N: Node>(node: &N, key: &str, path: &str) -> Result<usize, Error> {
    let value = node.get(key).and_then(|v| v.number());
    match value {
        Some(v) if v >= 0.0 && v.fract() == 0.0 && v <= f64::from(u16::MAX) => Ok(v as usize),
        _ => Err(Error::bad(path, "must be a whole number")),
    }
}

fn choice<N: Node, T: Copy>(
    node: &N,
    key: &str,
    path: &str,
    known: &[(&str, T)],
) -> Result<Option<T>, Error> {
    let Some(value) = node.get(key) else {
        return Ok(None);
    };
    let text = value.text();
    let found = text.and_then(|t| known.iter().find(|(name, _)| *name == t));
    let found = found.ok_or_else(|| {
        let names: Vec<&str> = known.iter().map(|k| k.0).collect();
        Error::bad(path, format!("must be one of {}", names.join(", ")))
    })?;
    Ok(Some(found.1))
}
