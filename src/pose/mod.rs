//! One frame's people become one lifter's pose.

mod types;

pub use types::{Pose, Seen};
