//! Known systematic errors of pose estimators, as data.

use crate::keypoints::{Joint, Part, Side};

/// Errors of an estimator's points that come with the squat itself: they do not average out over
/// frames or repetitions. Standard deviations per axis, of the shank's length in the picture, at
/// full depth against standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    /// Name as recordings carry it in `estimator`.
    pub name: &'static str,
    /// Hips, knees, ankles, heels, big toes, little toes, shoulders, anything else.
    pub joints: [f64; 8],
    /// How it was measured.
    pub source: &'static str,
}

/// Used when the estimator is not named or not known.
pub const GENERIC: Profile = Profile {
    name: "generic",
    joints: [0.004; 8],
    source: "common practice, no source: about 0.75 px at a shank of 190 px",
};

/// All profiles that were measured.
pub const MEASURED: [Profile; 0] = [];

impl Profile {
    /// The profile of an estimator.
    pub fn of(name: Option<&str>) -> &'static Self {
        name.and_then(|n| MEASURED.iter().find(|p| p.name == n))
            .unwrap_or(&GENERIC)
    }

    /// Systematic error of a joint, of the shank's length in the picture.
    pub fn of_joint(&self, joint: Joint) -> f64 {
        let parts = [
            Part::Hip,
            Part::Knee,
            Part::Ankle,
            Part::Heel,
            Part::BigToe,
            Part::SmallToe,
            Part::Shoulder,
        ];
        let place = parts
            .iter()
            .position(|&p| Side::BOTH.iter().any(|&s| Joint::of(p, s) == joint));
        self.joints[place.unwrap_or(7)]
    }
}
