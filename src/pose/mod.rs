//! One frame's people become one lifter's pose.

mod jumps;
mod pair;
mod person;
mod post;
mod reader;
mod score;
mod sides;
mod tracker;
mod types;

pub(crate) use pair::mean;
pub use tracker::PoseTracker;
pub use types::{Pose, Seen};
