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
//!
//! ```
//! use underfoot::keypoints::{ImageSize, Layout, Setup};
//! use underfoot::{Options, Session};
//!
//! let layout = Layout::named("blazepose-33").expect("one of the known layouts");
//! let image = ImageSize { width: 1280.0, height: 720.0 };
//! let mut session = Session::new(Setup::new(layout, image), Options::default());
//! // For each picture its time, and everybody found in it; here nobody.
//! let live = session.push(0.0, &[])?;
//! assert!(!live.standing_known);
//! // A time that goes back is refused, and the session goes on.
//! assert!(session.push(-40.0, &[]).is_err());
//! # Ok::<(), underfoot::Error>(())
//! ```
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
mod intake;
pub mod keypoints;
mod least_squares;
pub mod live;
pub mod matrix;
pub mod measures;
mod order;
pub mod picture;
pub mod plausibility;
pub mod pose;
pub mod record;
pub mod repetitions;
pub mod report;
pub mod session;
pub mod standing;
mod stands;
pub mod statistics;
mod steady;
pub mod thresholds;
mod turned;
#[cfg(all(target_arch = "wasm32", feature = "serde"))]
mod wasm;

pub use analyze::analyze;
pub use error::{Error, ErrorCode};
pub use live::{Live, Seen};
pub use repetitions::Phase;
pub use session::{Options, Session};
