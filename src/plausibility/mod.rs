//! How well a standing, squatting person explains a repetition, against something else.

mod aspects;
mod doubt;
mod model;

pub use aspects::{Aspect, Aspects, read};
pub use doubt::{Doubts, SQUAT};
pub use model::{Weighed, weigh};
