//! Repetitions: where each begins, turns and ends.

mod detector;
mod edge;
mod feet;
mod judge;
mod phase;
mod refine;
mod signal;

pub use detector::Detector;
pub use phase::{Phase, Progress, Repetition};
pub use signal::Source;
