//! How well a standing, squatting person explains a repetition, against something else.

mod aspects;
mod doubt;
mod model;

pub use aspects::{Aspect, Aspects, read};
pub use doubt::{Doubts, SQUAT};
pub use model::{Weighed, weigh};

use crate::standing::StandingFit;

/// A misfit from which on nobody who stands explains the points (measured: 0.6 to 1.9 on rendered,
/// real and invented squats; 2.9 and more on shuffled joints, push-ups and films upside down).
const NOBODY: f64 = 2.6;

/// Somebody who stands explains the points of quiet standing.
pub(crate) fn somebody(fit: &StandingFit) -> bool {
    fit.misfit < NOBODY
}
