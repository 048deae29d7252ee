//! Repetitions: where each begins, turns and ends.

mod detector;
mod signal;

pub(crate) use detector::ratio;
pub use detector::{Detector, Phase, Repetition};
pub use signal::Height;
