//! What can be said while a set goes on.

use crate::measures::Channel;
use crate::repetitions::Phase;
use crate::report::{Sides, View};

/// The state after a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Live {
    /// Where in the lift.
    pub phase: Phase,
    /// Repetitions finished so far.
    pub reps: usize,
    /// Quiet standing has been fitted: values can be measured.
    pub standing_known: bool,
    /// A repetition became final with this frame (its number, from 1).
    pub finished: Option<usize>,
}

/// What this view can show, said before the first repetition.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// Where the camera stands.
    pub view: View,
    /// Standard error to be expected at the bottom of a deep squat, by [`Channel::index`], in the
    /// check's unit; `None` where nothing can be measured.
    pub expected_sd: [Option<f64>; Channel::COUNT],
}

#[cfg(feature = "serde")]
impl serde::Serialize for Seen {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use crate::measures::{Check, largest_sd};
        use serde::ser::SerializeStruct;
        let sd = |check: Check, side| {
            self.expected_sd[Channel::of(check, side).index()].filter(|&sd| sd <= largest_sd(check))
        };
        let mut out = serializer.serialize_struct("Seen", 1 + Check::ALL.len())?;
        out.serialize_field("view", &self.view)?;
        for check in Check::ALL {
            let [left, right] = crate::keypoints::Side::BOTH.map(|s| sd(check, s));
            if Channel::of(check, crate::keypoints::Side::Left)
                .side()
                .is_some()
            {
                out.serialize_field(check.name(), &Sides { left, right })?;
            } else {
                out.serialize_field(check.name(), &left)?;
            }
        }
        out.end()
    }
}
