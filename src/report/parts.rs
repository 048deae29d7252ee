//! The parts of a report beside the repetitions.

use crate::keypoints::Sides;
use crate::measures::{Channel, Check};

/// What kind of weight shift the set shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FindingKind {
    /// Weight toward the toes, heels light or up.
    Forward,
    /// Arch drops, knee inside the foot.
    Inward,
    /// Both of the above: one finding, one cue.
    ForwardInward,
    /// Weight on the outer edges.
    Outward,
    /// One foot out and carrying, the other in, or the load off to one side.
    Sideways,
    /// Nothing beyond the lines.
    None,
    /// Too little was seen to say.
    #[default]
    NotEnoughSeen,
    /// What was filmed is no squat.
    NotSquats,
}

impl FindingKind {
    /// The name it has in every report, such as `forward-inward`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Inward => "inward",
            Self::ForwardInward => "forward-inward",
            Self::Outward => "outward",
            Self::Sideways => "sideways",
            Self::None => "none",
            Self::NotEnoughSeen => "not-enough-seen",
            Self::NotSquats => "not-squats",
        }
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for FindingKind {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// How a check runs over the set.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Trend {
    /// Change per repetition, in the check's unit.
    pub per_rep: f64,
    /// Its standard error.
    pub sd: f64,
    /// Grows beyond doubt (95 %).
    pub growing: bool,
}

/// What the set shows.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Finding {
    /// Which shift.
    pub kind: FindingKind,
    /// `left`, `right`, `both`, or `None` when it has no side.
    pub side: Option<&'static str>,
    /// Repetitions (from 1) that show it.
    pub reps: Vec<usize>,
    /// Where in the lift it sets in: 0 start, 1 bottom, 2 end.
    pub onset: Option<f64>,
    /// Steady or growing, for the check that carries the finding.
    pub trend: Option<Trend>,
    /// 0 to 1.
    pub confidence: f64,
    /// Names of the checks that were judged on both feet in most repetitions.
    pub judged: Vec<&'static str>,
    /// Names of the others.
    pub not_judged: Vec<&'static str>,
    /// Sentences about a foot's resting shape.
    pub resting_shape: Vec<String>,
    /// The finding in one sentence.
    pub sentence: String,
}

/// The one thing to do.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Cue {
    /// Stable name of the cue, one of [`crate::cue::CUE_IDS`].
    pub id: &'static str,
    /// The foot it is for: `left`, `right`, `both`, or `None`.
    pub side: Option<&'static str>,
    /// The cue in plain words.
    pub text: String,
    /// Two sentences with the evidence.
    pub why: Vec<String>,
    /// How to film the next set, when a likely fault could not be seen.
    pub film_next: Option<String>,
    /// Stable name of that advice, one of [`crate::cue::FILM_IDS`].
    pub film_next_id: Option<&'static str>,
    /// When to look again, days.
    pub look_again_days: u32,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// A foot, or both, set elsewhere after the standing that the set began with.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FootSet {
    /// When it was first seen to stand there, ms.
    pub at_ms: f64,
    /// `left` or `right`, told by its picture; `both` when the keypoints told that the feet were set
    /// anew, which they can't do of one foot or by how far.
    pub side: &'static str,
    /// How far along itself, mm.
    pub along_mm: Option<f64>,
    /// How far toward the other foot, mm.
    pub toward_mm: Option<f64>,
    /// By how much it was turned out, degrees.
    pub turned_out_deg: Option<f64>,
}

/// A plain remark.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Note {
    /// Stable name, one of [`crate::cue::NOTE_CODES`].
    pub code: &'static str,
    /// The remark in English.
    pub text: String,
}

/// State of one contact point of a foot: geometry, not pressure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "lowercase")
)]
pub enum Contact {
    /// As in standing.
    Planted,
    /// Between planted and lifted.
    Light,
    /// Off the floor beyond doubt.
    Lifted,
    /// Not seen.
    #[default]
    Unseen,
}

/// The three contact points of one foot over time.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Contacts {
    /// Heel.
    pub heel: Vec<Contact>,
    /// Base of the big toe.
    pub big_toe: Vec<Contact>,
    /// Base of the little toe.
    pub small_toe: Vec<Contact>,
}

/// Curves over time; every list has the length of `t_ms`, `None` where unseen.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Series {
    /// Times, ms.
    pub t_ms: Vec<f64>,
    /// Heel lift, mm.
    pub heel_lift_mm: Sides<Vec<Option<f64>>>,
    /// Knee in, degrees.
    pub knee_in_deg: Sides<Vec<Option<f64>>>,
    /// Foot roll, degrees.
    pub foot_roll_deg: Sides<Vec<Option<f64>>>,
    /// Forward shift, % of foot length.
    pub forward_pct: Vec<Option<f64>>,
    /// Left foot's share, %.
    pub load_left_pct: Vec<Option<f64>>,
    /// Standard errors of the above, by check.
    pub sd: SeriesSd,
    /// Contact states.
    pub contacts: Sides<Contacts>,
}

/// Standard errors beside [`Series`].
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[allow(missing_docs)] // same names and units as in Series
pub struct SeriesSd {
    pub heel_lift_mm: Sides<Vec<Option<f64>>>,
    pub knee_in_deg: Sides<Vec<Option<f64>>>,
    pub foot_roll_deg: Sides<Vec<Option<f64>>>,
    pub forward_pct: Vec<Option<f64>>,
    pub load_left_pct: Vec<Option<f64>>,
}

impl Series {
    /// Sets a channel's curve and its standard errors.
    pub(crate) fn set(
        &mut self,
        channel: Channel,
        values: Vec<Option<f64>>,
        sds: Vec<Option<f64>>,
    ) {
        let sided = |sides: &mut Sides<Vec<Option<f64>>>, list| {
            if let Some(side) = channel.side() {
                *sides.get_mut(side) = list;
            }
        };
        match channel.check() {
            Check::HeelLift => {
                sided(&mut self.heel_lift_mm, values);
                sided(&mut self.sd.heel_lift_mm, sds);
            }
            Check::KneeIn => {
                sided(&mut self.knee_in_deg, values);
                sided(&mut self.sd.knee_in_deg, sds);
            }
            Check::FootRoll => {
                sided(&mut self.foot_roll_deg, values);
                sided(&mut self.sd.foot_roll_deg, sds);
            }
            Check::Forward => {
                self.forward_pct = values;
                self.sd.forward_pct = sds;
            }
            Check::LoadLeft => {
                self.load_left_pct = values;
                self.sd.load_left_pct = sds;
            }
        }
    }
}
