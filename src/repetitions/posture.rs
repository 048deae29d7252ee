//! Posture of a single frame.

use crate::pose::Pose;

/// Longer shank in the picture, px; `None` for one too short to measure anything by.
pub(super) fn shank(pose: &Pose) -> Option<f64> {
    pose.shank().filter(|&px| px > 3.0)
}
