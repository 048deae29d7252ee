//! One repetition's values and verdicts.

use crate::keypoints::Sides;
use crate::measures::{Channel, Check, Excursion, Unseen};

/// How sure it is on which side of the line a value lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "lowercase")
)]
pub enum Verdict {
    /// Nothing in the repetition passes a line, either way, with at least 90 % probability.
    Clear,
    /// Neither is sure.
    Unsure,
    /// Something passes a line with at least 90 % probability.
    Fault,
    /// Not seen from here, or not by this layout.
    #[default]
    Unseen,
}

/// How far a check goes the other way.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Opposite {
    /// Signed, in the check's unit.
    pub value: f64,
    /// Its standard error.
    pub sd: f64,
    /// When, ms.
    pub at_ms: f64,
}

/// One check's result in one repetition (the contract's R).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Mark {
    /// The excursion that goes furthest beyond a line, or comes closest to one, signed, in the
    /// check's unit; `None` when unseen.
    pub value: Option<f64>,
    /// Its standard error; kept when unseen if it is known.
    pub sd: Option<f64>,
    /// The furthest it goes down and up, with what their errors share.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub ways: [Option<Excursion>; 2],
    /// Probability that the repetition is no squat.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub doubt: f64,
    /// Its value in standing: of a knee; else 0.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub standing: f64,
    /// When, ms.
    pub at_ms: Option<f64>,
    /// 0 (none) to 100; `None` when unseen.
    pub score: Option<f64>,
    /// How sure.
    pub verdict: Verdict,
    /// `"keypoints"`, `"picture"` or `"both"`; `None` when unseen.
    pub evidence: Option<&'static str>,
    /// The largest excursion the other way, where the band has two lines.
    pub opposite: Option<Opposite>,
    /// The value less that in standing, where the value itself is absolute: of a knee.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub from_standing: Option<f64>,
    /// Where in the lift it peaked: 0 start, 1 bottom, 2 end.
    pub peak_phase: Option<f64>,
    /// Where in the lift it set in, same scale.
    pub onset: Option<f64>,
    /// Why it was not seen.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub why: Option<Unseen>,
    /// The coach changed this check's threshold.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "std::ops::Not::not"))]
    pub threshold_changed: bool,
}

/// Seconds going down, at the bottom, and coming up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Tempo {
    /// Descent, s.
    pub down_s: f64,
    /// Held at the bottom, s.
    pub pause_s: f64,
    /// Ascent, s.
    pub up_s: f64,
}

/// The five checks of one repetition, by channel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Checks(pub [Mark; Channel::COUNT]);

impl Checks {
    /// The mark of a channel.
    pub fn get(&self, channel: Channel) -> &Mark {
        &self.0[channel.index()]
    }

    /// The mark of a channel, to be written.
    pub fn get_mut(&mut self, channel: Channel) -> &mut Mark {
        &mut self.0[channel.index()]
    }

    fn sides(&self, check: Check) -> Sides<Mark> {
        use crate::keypoints::Side;
        Sides {
            left: *self.get(Channel::of(check, Side::Left)),
            right: *self.get(Channel::of(check, Side::Right)),
        }
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Checks {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut out = serializer.serialize_struct("Checks", Check::ALL.len())?;
        for check in [Check::HeelLift, Check::KneeIn, Check::FootRoll] {
            out.serialize_field(check.name(), &self.sides(check))?;
        }
        out.serialize_field(Check::Forward.name(), self.get(Channel::Forward))?;
        out.serialize_field(Check::LoadLeft.name(), self.get(Channel::LoadLeft))?;
        out.end()
    }
}

/// One repetition.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RepResult {
    /// From 1.
    pub index: usize,
    /// Leaves standing, ms.
    pub start_ms: f64,
    /// Lowest point, ms.
    pub bottom_ms: f64,
    /// Stands again, ms.
    pub end_ms: f64,
    /// Pelvis drop as a fraction of its standing height; `None` when hips and shins are unseen.
    pub depth: Option<f64>,
    /// Inclination of the thighs at the bottom, degrees: + = the hip joint is lower than the knee joint.
    /// No line is drawn on it.
    pub thigh_deg: Mark,
    /// Nearer a quarter squat than a half squat.
    pub shallow: bool,
    /// Seconds down, paused, up.
    pub tempo: Tempo,
    /// The five checks.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub checks: Checks,
}
