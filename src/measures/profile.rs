//! Known systematic errors of pose estimators, as data.

use super::channel::{Channel, Check};
use crate::angle::sin;
use crate::keypoints::Side;

/// Errors of an estimator's points that come with the squat itself: they do not average out over
/// frames or repetitions. Standard deviations in a squat against standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    /// Name as recordings carry it in `estimator`.
    pub name: &'static str,
    /// Error of every joint per axis, of the shank's length in the picture.
    pub joint: f64,
    /// Errors of the checks in their own units, in the order of [`Check::ALL`]: seen from the front
    /// or rear; from the side; on the far side seen from the side.
    pub checks: [[f64; 3]; 5],
    /// How it was measured.
    pub source: &'static str,
}

/// Used when the estimator is not named or not known.
pub const GENERIC: Profile = Profile {
    name: "generic",
    joint: 0.004,
    checks: [[1.5, 2.5, 2.5], [0.0; 3], [0.0; 3], [0.0; 3], [0.0; 3]],
    source: "common practice, no source: about 0.75 px at a shank of 190 px; heel 1.5 mm for skin, \
             shoe and a foot that is not stiff, from the side 2.5 (left of the errors of UI-PRMD heels)",
};

/// All profiles that were measured, by `underfoot-sim profile` on the rendered clips in
/// `tests/data/clips`: root mean square of curve less truth at the bottom of each repetition.
pub const MEASURED: [Profile; 1] = [Profile {
    name: "mediapipe-pose",
    joint: 0.004,
    checks: [
        [18.0, 20.0, 45.0],
        [1.7, 6.0, 21.0],
        [5.0, 9.0, 23.0],
        [4.0, 5.5, 5.5],
        [0.8, 24.0, 24.0],
    ],
    source: "six clips, full model, no smoothing: heel 10, 16 and 38 mm, knee 2.0 (less \
             the noise, which is counted apart: 1.7), 6.2 and 21, roll 4.9, 8.8 and 23 degrees, forward 4.6 and 5.7 %, load 0.9 and 24 points; heel \
             raised, because other figures' heel points were seen to rise by 14 to 37 mm",
}];

/// What seeing from the side adds for every estimator; `aside` is 0 from the front, 1 from the side.
///
/// The foot's near edge hides its far one, whose toe point is then a guess. And where a knee's ray
/// grazes the sphere of the shank, moving sources one by one tells too little: in simulated squats
/// from the side the knee's error was about twice its budget.
fn from_the_side(check: Check, aside: f64) -> f64 {
    match check {
        Check::FootRoll => 11.0 * aside.powi(8),
        Check::KneeIn => 9.0 * aside.powi(8),
        _ => 0.0,
    }
}

/// What tells one name from another.
fn letters(name: &str) -> impl Iterator<Item = u8> + '_ {
    let kept = name.bytes().filter(u8::is_ascii_alphanumeric);
    kept.map(|b| b.to_ascii_lowercase())
}

impl Profile {
    /// The profile of an estimator; how its name is written (upper case, blanks, underscores) doesn't
    /// matter.
    pub fn of(name: Option<&str>) -> &'static Self {
        name.and_then(|n| MEASURED.iter().find(|p| letters(n).eq(letters(p.name))))
            .unwrap_or(&GENERIC)
    }

    /// What a channel's keypoints may err by beyond this profile where the feet's picture is at
    /// hand: an estimator of which nothing is known is then taken to be as restless about the feet
    /// as the measured one, so that it does not pull what the picture sees, and raises no alarm
    /// where the picture lost the foot.
    pub fn restless(&self, channel: Channel, azimuth: f64) -> f64 {
        let of_feet = matches!(channel.check(), Check::HeelLift | Check::FootRoll);
        if !of_feet || MEASURED.iter().any(|p| p == self) {
            return 0.0;
        }
        let measured = MEASURED.iter().map(|p| p.of_channel(channel, azimuth));
        measured.fold(0.0, f64::max)
    }

    /// Systematic error of a channel at full depth, seen from a bearing (rad).
    pub fn of_channel(&self, channel: Channel, azimuth: f64) -> f64 {
        let check = Check::ALL.iter().position(|&c| c == channel.check());
        let [front, near, far] = self.checks[check.unwrap_or(0)];
        let aside = sin(azimuth);
        // The camera on the lifter's left has the right leg on the far side.
        let is_far = match channel.side() {
            Some(Side::Left) => aside < 0.0,
            Some(Side::Right) => aside > 0.0,
            None => false,
        };
        let side = if is_far { far } else { near };
        let w = aside * aside;
        let own = (front * front * (1.0 - w) + side * side * w).sqrt();
        crate::angle::hypot(own, from_the_side(channel.check(), aside.abs()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_known_however_it_is_written() {
        for name in [
            "mediapipe-pose",
            "MediaPipe Pose",
            "mediapipe_pose",
            "MediaPipePose",
        ] {
            assert_eq!(Profile::of(Some(name)), &MEASURED[0], "{name}");
        }
        for name in ["mediapipe", "another", ""] {
            assert_eq!(Profile::of(Some(name)), &GENERIC, "{name}");
        }
        assert_eq!(Profile::of(None), &GENERIC);
    }
}
