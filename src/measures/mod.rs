//! What is measured, per frame and per repetition, in the lifter's space.

mod channel;

pub use channel::{Channel, Check, Estimate, Evidence};
