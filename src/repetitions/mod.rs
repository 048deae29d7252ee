//! Repetitions: where each begins, turns and ends.

mod agree;
mod curve;
mod detector;
mod dips;
mod ease;
mod ending;
mod feet;
mod habits;
mod hips;
mod home;
mod judge;
mod knees;
mod late;
mod lift;
mod phase;
mod places;
mod posture;
mod ramp;
mod refine;
mod relation;
mod shins;
mod show;
mod signal;
mod station;
mod together;
mod under_way;
mod upright;
mod whereabouts;

pub use detector::Detector;
pub(crate) use hips::add_unfooted;
pub use phase::{Phase, Progress, Repetition};
