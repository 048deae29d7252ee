//! What one pose tells by itself.

use super::knees::pair;
use crate::keypoints::{Part, Side};
use crate::pose::Pose;

/// Height of the hips above the ankles in the picture, px.
pub(super) fn hips_above_ankles(pose: &Pose) -> Option<f64> {
    Some(mean_y(pose, Part::Ankle)? - mean_y(pose, Part::Hip)?)
}

fn mean_y(pose: &Pose, part: Part) -> Option<f64> {
    match Side::BOTH.map(|s| pose.of(part, s).map(|p| p.y)) {
        [Some(a), Some(b)] => Some((a + b) / 2.0),
        [a, b] => a.or(b),
    }
}

/// Height of the hips above the knees in the picture, px.
pub(super) fn hips_above_knees(pose: &Pose) -> Option<f64> {
    Some(mean_y(pose, Part::Knee)? - mean_y(pose, Part::Hip)?)
}

/// Longer shank in the picture, px.
pub(super) fn shank(pose: &Pose) -> Option<f64> {
    let (knees, ankles) = (pair(pose, Part::Knee), pair(pose, Part::Ankle));
    let of = |s: usize| Some((knees[s]? - ankles[s]?).length());
    match [0, 1].map(of) {
        [Some(a), Some(b)] => Some(a.max(b)),
        [a, b] => a.or(b),
    }
    .filter(|&px| px > 3.0)
}

/// A hand is below the knees: reaching for something on the floor.
pub(super) fn hands_low(pose: &Pose) -> bool {
    let low =
        |part, pick: fn(f64, f64) -> f64| match Side::BOTH.map(|s| pose.of(part, s).map(|p| p.y)) {
            [Some(a), Some(b)] => Some(pick(a, b)),
            [a, b] => a.or(b),
        };
    matches!((low(Part::Wrist, f64::max), low(Part::Knee, f64::max)), (Some(w), Some(k)) if w > k)
}
