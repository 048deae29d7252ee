//! How far the lifter has gone down, from whatever is seen.

use crate::keypoints::{Part, Side};
use crate::pose::Pose;

/// What the drop was read from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// Hips above the ankles, px along the picture's vertical.
    Hips(f64),
    /// Shoulders above the ankles, px.
    Shoulders(f64),
    /// Knees above the ankles, px (feet and shins only).
    Knees(f64),
}

impl Height {
    /// Reads the best that the pose shows.
    pub fn of(pose: &Pose) -> Option<Self> {
        let ankle = any(pose, Part::Ankle)?;
        if let Some(hip) = any(pose, Part::Hip) {
            Some(Self::Hips(ankle - hip))
        } else if let Some(shoulder) = any(pose, Part::Shoulder) {
            Some(Self::Shoulders(ankle - shoulder))
        } else {
            any(pose, Part::Knee).map(|knee| Self::Knees(ankle - knee))
        }
    }

    /// The number, px.
    pub fn px(self) -> f64 {
        match self {
            Self::Hips(v) | Self::Shoulders(v) | Self::Knees(v) => v,
        }
    }
}

/// Mean y of a pair, or of the one that is seen.
fn any(pose: &Pose, part: Part) -> Option<f64> {
    match Side::BOTH.map(|s| pose.of(part, s).map(|p| p.y)) {
        [Some(a), Some(b)] => Some((a + b) / 2.0),
        [a, b] => a.or(b),
    }
}
