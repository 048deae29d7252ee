//! The report: plain values, as the contract names them. Every stage's words end here.

mod parts;
mod result;

pub use parts::{
    Contact, Contacts, Cue, Finding, FindingKind, FootSet, Note, Series, SeriesSd, Trend,
};
pub use result::{Checks, Mark, Opposite, RepResult, Tempo, Verdict};

pub use crate::keypoints::Sides;
pub use crate::measures::Unseen;
pub use crate::standing::{Standing, View};
use crate::thresholds::Thresholds;

/// What one recording shows.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Report {
    /// Version of this form; 1.
    pub schema: u32,
    /// Where the camera stood, when standing was found.
    pub view: Option<View>,
    /// The quiet standing that everything is read against.
    pub standing: Option<Standing>,
    /// The repetitions, in order.
    pub reps: Vec<RepResult>,
    /// Feet that were set elsewhere after the first standing, in order.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub feet_set: Vec<FootSet>,
    /// What the set shows.
    pub finding: Finding,
    /// The one thing to do.
    pub cue: Cue,
    /// The lines it was judged by, all of them, when the coach changed any.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub thresholds: Option<Thresholds>,
    /// What could not be seen and why, and other plain remarks.
    pub notes: Vec<Note>,
    /// Curves, when asked for.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub series: Option<Series>,
}

/// The report's version number.
pub const SCHEMA: u32 = 1;
