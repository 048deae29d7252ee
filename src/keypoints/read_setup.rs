//! Reads what is said of a recording before its frames.

use super::joint::Joint;
use super::layout::Layout;
use super::marks::read_marks;
use super::node::{Node, choice, number_in, section, unknown, whole};
use super::recording::{CameraHint, Carry, Footwear, ImageSize, Lifter, Load, Setup};
use crate::Error;

/// What a recording holds, and each of its sections.
const KNOWN: [&str; 9] = [
    "layout",
    "image",
    "lifter",
    "load",
    "camera",
    "footwear",
    "estimator",
    "marks",
    "frames",
];
const SECTIONS: [(&str, &[&str]); 4] = [
    ("image", &["width", "height"]),
    ("lifter", &["height_m"]),
    ("load", &["body_kg", "bar_kg", "carry"]),
    ("camera", &["hfov_deg", "mirrored", "pitch_deg", "roll_deg"]),
];

/// Reads everything but the frames.
///
/// # Errors
/// As [`read_recording`](super::read_recording).
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
    unknown(root, "", &KNOWN, &mut setup.unknown);
    for (name, known) in SECTIONS {
        if let Some(node) = root.get(name) {
            unknown(&node, &format!("{name}."), known, &mut setup.unknown);
        }
    }
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
    setup.marks = read_marks(root, image)?;
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
