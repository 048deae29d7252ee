//! Feet and shins as a person or a detector marked them in one still picture.

use super::joint::{Joint, Part, Side};
use super::node::Node;
use super::recording::ImageSize;
use crate::Error;
use crate::gather::Gather;

/// What can be marked of each leg.
pub(crate) const MARKED: [Part; 5] = [
    Part::Knee,
    Part::Ankle,
    Part::Heel,
    Part::BigToe,
    Part::SmallToe,
];

/// Joints marked in one still picture of standing. With the pictures, feet and shins are followed from there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks {
    /// Time of the picture, ms.
    pub t_ms: f64,
    joints: [Option<[f64; 2]>; Joint::COUNT],
}

/// A mark may lie this far outside the picture, of its longer side: a finger misses an edge by a few pixels (common
/// practice, no source).
const EDGE: f64 = 0.02;

impl Marks {
    /// Name of the estimator of points that are followed from marks, as recordings carry it.
    pub const FOLLOWED: &'static str = "followed-from-marks";

    /// Marks of a picture of this size, by joint, px.
    ///
    /// # Errors
    /// Names the joint that can't be marked, or lies outside the picture; or says that no leg is marked whole: knee,
    /// ankle, heel and a toe of one foot are the least.
    pub fn new(
        t_ms: f64,
        joints: impl IntoIterator<Item = (Joint, [f64; 2])>,
        image: ImageSize,
    ) -> Result<Self, Error> {
        if !t_ms.is_finite() {
            return Err(Error::bad("marks.t_ms", "not a finite number"));
        }
        let mut marks = Self {
            t_ms,
            joints: [None; Joint::COUNT],
        };
        for (joint, at) in joints {
            let path = || format!("marks.joints.{}", joint.name());
            let marked = |side| MARKED.iter().any(|&part| Joint::of(part, side) == joint);
            if !Side::BOTH.into_iter().any(marked) {
                return Err(Error::bad(
                    path(),
                    "only knees, ankles, heels and toes are marked",
                ));
            }
            if !at.iter().all(|v| v.is_finite()) {
                return Err(Error::bad(path(), "not a finite number"));
            }
            let size = [image.width, image.height];
            let beside = EDGE * image.width.max(image.height);
            if at
                .iter()
                .zip(size)
                .any(|(v, size)| !(-beside..=size + beside).contains(v))
            {
                return Err(Error::bad(path(), "outside the picture"));
            }
            marks.joints[joint.index()] = Some(at);
        }
        let whole = |side| {
            let is = |part| marks.at(Joint::of(part, side)).is_some();
            let toe = is(Part::BigToe) || is(Part::SmallToe);
            toe && [Part::Knee, Part::Ankle, Part::Heel].into_iter().all(is)
        };
        if !Side::BOTH.into_iter().any(whole) {
            let reason = "one leg at least needs knee, ankle, heel and a toe";
            return Err(Error::bad("marks.joints", reason));
        }
        Ok(marks)
    }

    /// Where a joint was marked, px.
    pub fn at(&self, joint: Joint) -> Option<[f64; 2]> {
        self.joints[joint.index()]
    }

    /// Every joint that can be marked: the order of the points that are followed from marks.
    pub(crate) fn joints() -> Vec<Joint> {
        let sides = Side::BOTH.into_iter();
        sides
            .flat_map(|side| MARKED.map(|part| Joint::of(part, side)))
            .gather()
    }
}

/// `marks: {t_ms, joints: {left_heel: [x, y], ...}}` of a recording.
///
/// # Errors
/// The first field that cannot be used, with its path and the reason.
pub fn read_marks<N: Node>(root: &N, image: ImageSize) -> Result<Option<Marks>, Error> {
    match root.get("marks") {
        None => Ok(None),
        Some(node) => marks_of(&node, image).map(Some),
    }
}

/// The same of `{t_ms, joints}` itself.
///
/// # Errors
/// As the reader of recordings has it.
pub fn marks_of<N: Node>(node: &N, image: ImageSize) -> Result<Marks, Error> {
    if !node.is_object() {
        return Err(Error::bad(
            "marks",
            "must be an object with `t_ms` and `joints`",
        ));
    }
    let t_ms = node
        .get("t_ms")
        .ok_or_else(|| Error::bad("marks.t_ms", "missing"))?
        .number()
        .ok_or_else(|| Error::bad("marks.t_ms", "must be a number"))?;
    let list = node.get("joints").filter(N::is_object);
    let list = list.ok_or_else(|| Error::bad("marks.joints", "must be an object"))?;
    let mut joints = Vec::new();
    for key in list.keys() {
        let path = || format!("marks.joints.{key}");
        let joint =
            Joint::from_name(&key).ok_or_else(|| Error::bad(path(), "not a joint's name"))?;
        // Null: not seen.
        let Some(point) = list.get(&key) else {
            continue;
        };
        let number = |i| point.at(i).and_then(|v| v.number());
        match (point.list_len(), number(0), number(1)) {
            (Some(2), Some(x), Some(y)) => joints.push((joint, [x, y])),
            _ => return Err(Error::bad(path(), "must be [x, y]")),
        }
    }
    Marks::new(t_ms, joints, image)
}
