//! Posture of a single frame.

use crate::keypoints::{Part, Side};
use crate::pose::{Pose, mean, of_pair};

/// Height of the hips above the ankles in the picture, px.
pub(super) fn hips_above_ankles(pose: &Pose) -> Option<f64> {
    Some(mean_y(pose, Part::Ankle)? - mean_y(pose, Part::Hip)?)
}

fn ys(pose: &Pose, part: Part) -> [Option<f64>; 2] {
    Side::BOTH.map(|s| pose.of(part, s).map(|p| p.y))
}

fn mean_y(pose: &Pose, part: Part) -> Option<f64> {
    mean(ys(pose, part))
}

/// Height of the hips above the knees in the picture, px.
pub(super) fn hips_above_knees(pose: &Pose) -> Option<f64> {
    Some(mean_y(pose, Part::Knee)? - mean_y(pose, Part::Hip)?)
}

/// Longer shank in the picture, px; `None` for one too short to measure anything by.
pub(super) fn shank(pose: &Pose) -> Option<f64> {
    pose.shank().filter(|&px| px > 3.0)
}

/// A hand is below the knees: reaching for something on the floor.
pub(super) fn hands_low(pose: &Pose) -> bool {
    let lower = |part| of_pair(ys(pose, part), f64::max);
    matches!((lower(Part::Wrist), lower(Part::Knee)), (Some(w), Some(k)) if w > k)
}
