//! Known systematic errors of pose estimators, as data.

use super::channel::{Channel, Check};
use crate::keypoints::{BEARINGS, Marks, Side, about, is_estimator};

/// What an estimator's points make of a check as the lifter squats, against standing: errors that neither frames
/// nor repetitions average out. At the bottom of a deep squat, by [`BEARINGS`], in the check's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habit {
    /// What is read where 0 is true (50 % of the load).
    pub offset: [f64; BEARINGS.len()],
    /// Standard deviation of what is left of the error beyond noise, fit and assumptions, once both are taken off:
    /// it differs between people.
    pub spread: [f64; BEARINGS.len()],
}

impl Habit {
    const fn spread(spread: [f64; BEARINGS.len()]) -> Self {
        Self {
            offset: [0.0; BEARINGS.len()],
            spread,
        }
    }

    const NONE: Self = Self::spread([0.0; BEARINGS.len()]);
}

/// An estimator's profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    /// Name as recordings carry it in `estimator`.
    pub name: &'static str,
    /// Error of every joint per axis, of the shank's length in the picture.
    pub joint: f64,
    /// By check, in the order of [`Check::ALL`].
    pub habits: [Habit; Check::ALL.len()],
    /// Of the knee where it lies on the shin's axis in the picture; where that was not measured, as of the one that was.
    pub followed: Habit,
    /// How it was measured.
    pub source: &'static str,
}

/// Points that err by noise alone: drawn or simulated ones.
pub const PLAIN: Profile = Profile {
    name: "simulated",
    joint: 0.0018,
    habits: [Habit::NONE; Check::ALL.len()],
    followed: Habit::spread([1.5; BEARINGS.len()]),
    source: "exact points with noise; what the error of every joint must be for errors over standard errors to be 1",
};

/// Used when the estimator is not named or not known: nothing is taken off, and all that the worst known one
/// does is spread.
pub const GENERIC: Profile = Profile {
    name: "generic",
    joint: 0.004,
    habits: [
        Habit::spread([40.0, 40.0, 60.0, 50.0, 40.0, 40.0, 60.0, 40.0, 40.0, 40.0]),
        Habit::spread([4.7, 16.4, 12.0, 6.7, 3.2, 3.5, 12.0, 7.2, 4.7, 4.7]),
        Habit::spread([6.5, 4.5, 25.0, 7.1, 6.3, 1.9, 11.0, 8.3, 6.5, 6.5]),
        Habit::spread([7.0, 13.0, 6.0, 7.6, 6.8, 7.6, 6.0, 13.0, 7.0, 7.0]),
        Habit::spread([2.7, 11.2, 28.0, 5.0, 2.7, 5.0, 28.0, 11.2, 2.7, 2.7]),
    ],
    followed: Habit::spread([2.5, 9.0, 12.0, 2.5, 2.5, 2.5, 12.0, 3.0, 2.5, 2.5]),
    source: "as wide as the widest of the measured ones",
};

/// All profiles that are known.
///
/// What an estimator does to its points is taken off these before anything is measured (src/keypoints/offsets.rs);
/// here is what is left of it in the checks.
pub const MEASURED: [Profile; 4] = [
    Profile {
        name: "mediapipe-pose",
        joint: 0.004,
        habits: [
            Habit::spread([40.0, 40.0, 60.0, 50.0, 40.0, 40.0, 60.0, 40.0, 40.0, 40.0]),
            Habit::NONE,
            Habit::NONE,
            Habit {
                offset: [0.0, 0.0, -5.5, 0.0, 0.0, 0.0, -5.5, 0.0, 0.0, 0.0],
                ..Habit::spread([0.0, 0.0, 2.5, 0.0, 0.0, 0.0, 2.5, 0.0, 0.0, 0.0])
            },
            Habit::spread([0.0, 6.0, 0.0, 0.0, 0.0, 0.0, 0.0, 6.0, 0.0, 0.0]),
        ],
        followed: Habit::spread([0.5; BEARINGS.len()]),
        source: "2026-12-01, 129 rendered people in five views, full model, no smoothing: underfoot-sim profile FOLDER. Heel: \
                 it follows a lift by 0 to 0.7 only, so what is left is over that",
    },
    Profile {
        name: "optical-markers",
        joint: 0.004,
        habits: [
            Habit::spread([1.5, 1.8, 2.5, 1.8, 1.5, 1.8, 2.5, 1.8, 1.5, 1.5]),
            Habit::spread([1.5, 3.5, 6.0, 3.5, 1.5, 3.5, 6.0, 3.5, 1.5, 1.5]),
            Habit::NONE,
            Habit::spread([6.0, 4.5, 2.5, 4.5, 6.0, 4.5, 2.5, 4.5, 6.0, 6.0]),
            Habit::spread([2.7, 5.0, 10.0, 5.0, 2.7, 5.0, 10.0, 5.0, 2.7, 2.7]),
        ],
        followed: Habit::spread([1.5; BEARINGS.len()]),
        source: "2026-11-30, UI-PRMD squats of five people: what errors over standard errors lacked to 1 in underfoot-sim \
                 validate --brief --only real-rep --seed 4711",
    },
    Profile {
        name: Marks::FOLLOWED,
        joint: 0.004,
        habits: [
            Habit::spread([40.0; BEARINGS.len()]),
            Habit::spread([2.4, 2.4, 12.0, 0.5, 0.5, 0.5, 12.0, 2.4, 2.4, 2.4]),
            Habit::spread([30.0; BEARINGS.len()]),
            Habit::spread([7.0; BEARINGS.len()]),
            Habit::spread([10.0; BEARINGS.len()]),
        ],
        followed: Habit::NONE,
        source: "2026-11-30, 12 rendered close-ups with marks 3 px off: heels and rolls come from the picture, knees lack 2.4 \
                 degrees from behind to errors over standard errors of 1",
    },
    PLAIN,
];

/// Errors of a check at one bearing and depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Err {
    offset: f64,
    /// As [`Habit::spread`].
    pub spread: f64,
}

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

/// Share of an error at the bottom that is there at a depth (0 standing, 1 at a deep bottom): a knee's grows evenly,
/// the others' set in soon (fits by eye to the columns of `underfoot-sim profile`).
fn share(check: Check, depth: f64) -> f64 {
    let depth = depth.clamp(0.0, 1.0);
    match check {
        Check::KneeIn => depth,
        _ => 1.3 * depth / (depth + 0.3),
    }
}

impl Err {
    /// A reading without what the estimator is known to do to it.
    pub fn correct(&self, reading: f64) -> f64 {
        reading - self.offset
    }
}

impl Profile {
    /// The profile of an estimator; how its name is written (upper case, blanks, underscores) does not matter, and the
    /// variant that was measured may follow.
    pub fn of(name: Option<&str>) -> &'static Self {
        name.and_then(|n| MEASURED.iter().find(|p| is_estimator(n, p.name)))
            .unwrap_or(&GENERIC)
    }

    /// What a channel's keypoints may err by beyond this profile where the feet's picture is at
    /// hand: an estimator of which nothing is known is then taken to be as restless about the feet
    /// as the worst one, so that it does not pull what the picture sees, and raises no alarm
    /// where the picture lost the foot.
    pub fn restless(&self, channel: Channel, azimuth: f64) -> f64 {
        let of_feet = matches!(channel.check(), Check::HeelLift | Check::FootRoll);
        if !of_feet || MEASURED.iter().any(|p| p == self) {
            return 0.0;
        }
        GENERIC.at(channel, azimuth, 1.0).spread
    }

    /// Errors of a channel seen from a bearing (rad) at a depth.
    pub(super) fn at(&self, channel: Channel, azimuth: f64, depth: f64) -> Err {
        let check = Check::ALL.iter().position(|&c| c == channel.check());
        let habit = &self.habits[check.unwrap_or(0)];
        self.of_habit(habit, channel, azimuth, depth)
    }

    /// The same of a knee that lies on its shin's axis in the picture.
    pub(super) fn followed(&self, channel: Channel, azimuth: f64, depth: f64) -> Err {
        self.of_habit(&self.followed, channel, azimuth, depth)
    }

    fn of_habit(&self, habit: &Habit, channel: Channel, azimuth: f64, depth: f64) -> Err {
        let degrees = azimuth.to_degrees();
        let bearing = match channel.side() {
            Some(Side::Left) => degrees,
            Some(Side::Right) => -degrees,
            None => degrees.abs(),
        };
        let [offset, spread] = [&habit.offset, &habit.spread].map(|list| between(list, bearing));
        let share = share(channel.check(), depth);
        let aside = crate::angle::sin(azimuth).abs();
        Err {
            offset: offset * share,
            spread: crate::angle::hypot(spread, from_the_side(channel.check(), aside)),
        }
    }
}

/// A value between the bearings at which it is known, degrees.
fn between(list: &[f64; BEARINGS.len()], bearing: f64) -> f64 {
    let (before, after, part) = about(bearing);
    list[before] + (list[after] - list[before]) * part
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nothing that a known estimator does, corrected or not, goes beyond the unknown one's spread: a knee is
    /// usually within 6.5 degrees of where squats have it.
    #[test]
    fn an_unknown_estimator_is_as_wide_as_the_worst_known_one() {
        // What is followed from marks is no estimator.
        let estimators = |p: &Profile| p.name != Marks::FOLLOWED;
        for profile in MEASURED.into_iter().filter(estimators) {
            for (habit, generic) in profile.habits.iter().zip(GENERIC.habits) {
                for k in 0..BEARINGS.len() {
                    let wide = generic.spread[k];
                    assert!(wide + 0.11 >= habit.spread[k], "{} {k}", profile.name);
                    assert!(
                        wide + 0.11 >= 0.9 * habit.offset[k].abs(),
                        "{} {k}",
                        profile.name
                    );
                }
            }
        }
    }

    #[test]
    fn a_name_is_known_however_it_is_written() {
        for name in [
            "MediaPipe Pose",
            "mediapipe_pose",
            "MediaPipePose",
            "MediaPipe Pose (full)",
        ] {
            assert_eq!(Profile::of(Some(name)), &MEASURED[0], "{name}");
        }
    }

    #[test]
    fn a_variant_that_was_not_measured_is_not_known() {
        assert_eq!(Profile::of(Some("mediapipe-pose")).name, "mediapipe-pose");
        assert_eq!(
            Profile::of(Some("mediapipe-pose-full")).name,
            "mediapipe-pose"
        );
        for name in [
            None,
            Some("mediapipe-pose-lite"),
            Some("mediapipe"),
            Some(""),
        ] {
            assert_eq!(Profile::of(name).name, "generic", "{name:?}");
        }
    }

    /// Both legs of a lifter filmed from the front are alike, and what lies between two bearings is between their
    /// values; behind, the last bearing meets the first.
    #[test]
    fn errors_go_by_the_bearing_as_a_leg_sees_it() {
        let list: [f64; BEARINGS.len()] = std::array::from_fn(|k| k as f64);
        for (bearing, value) in [
            (0.0, 4.0),
            (16.0, 4.5),
            (180.0, 9.0),
            (-180.0, 9.0),
            (-174.0, 4.5),
        ] {
            assert!((between(&list, bearing) - value).abs() < 1e-9, "{bearing}");
        }
        let at = |channel, degrees: f64| MEASURED[0].at(channel, degrees.to_radians(), 1.0);
        let (left, right) = (Channel::FootRollLeft, Channel::FootRollRight);
        assert_eq!(at(left, 40.0), at(right, -40.0));
        assert_eq!(at(Channel::Forward, 145.0), at(Channel::Forward, -145.0));
        // In standing nothing is taken off.
        let none = MEASURED[0].at(Channel::KneeInLeft, 0.0, 0.0);
        assert!(none.correct(3.0) == 3.0);
    }
}
