//! Reads a squatting lifter's feet from 2D keypoints.
//!
//! Data goes one way, and every stage is a module that can be read, tested and replaced alone:
//!
//! ```text
//! keypoints -> pose -> standing -> measures -> repetitions -> findings -> cue -> record
//! ```
//!
//! The core knows no browser, no JSON and no clock: it is told the time. World axes are
//! x = lifter's left, y = up, z = forward, in metres, with the origin on the floor midway
//! between the ankles in quiet standing. Image axes are x right, y down, in pixels.
#![forbid(unsafe_code)]

pub mod analyze;
mod angle;
mod assemble;
pub mod cue;
mod decay;
mod decimal;
pub mod error;
pub mod findings;
mod gather;
pub mod keypoints;
pub mod live;
pub mod measures;
mod order;
pub mod picture;
pub mod pose;
pub mod record;
pub mod repetitions;
pub mod report;
pub mod session;
pub mod standing;
mod stands;
pub mod thresholds;
#[cfg(all(target_arch = "wasm32", feature = "serde"))]
mod wasm;

pub use analyze::analyze;
pub use error::{Error, ErrorCode};
pub use live::{Live, Seen};
pub use repetitions::Phase;
pub use session::{Options, Session};
