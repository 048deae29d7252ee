//! Reads a squatting lifter's feet from 2D keypoints: a recording goes in, one cue comes out.
//!
//! ```
//! use underfoot::keypoints::Recording;
//! use underfoot::{Options, analyze};
//!
//! # let file = std::fs::File::open("tests/data/recordings/front-knees-in.json.gz")?;
//! # let text = std::io::read_to_string(flate2::read::GzDecoder::new(file))?;
//! // JSON: an estimator's points for each picture of three squats, filmed from the front.
//! let recording: Recording = serde_json::from_str(&text)?;
//! let report = analyze(&recording, &Options::default())?;
//! assert_eq!(report.reps.len(), 3);
//! println!("{}", report.finding.sentence);
//! println!("{}", report.cue.text);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! | module | for |
//! |---|---|
//! | [`analyze()`] | a whole recording at once |
//! | [`Session`] | a set frame by frame, as from a camera, with what is seen so far |
//! | [`keypoints`] | recordings, layouts of pose estimators, what is known of the scene |
//! | [`report`] | every value with its standard error, the finding, the cue |
//! | [`Options`], [`thresholds`] | what the caller chooses; where the fault lines are |
//! | [`record`] | earlier sets against later ones: better, worse, or no real change |
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
//!
//! Inside, data goes one way, and every stage is a module that can be read, tested and replaced alone:
//!
//! ```text
//! keypoints -> pose -> standing -> measures -> repetitions -> findings -> cue -> record
//! ```
//!
//! The core knows no browser, no JSON and no clock: it is told the time. World axes are
//! x = lifter's left, y = up, z = forward, in metres, with the origin on the floor midway
//! between the ankles in quiet standing. Image axes are x right, y down, in pixels.
//!
//! Modules that these pages leave out are the stages themselves: public for this project's own tests and
//! simulator, and free to change in any version.
#![forbid(unsafe_code)]

pub mod analyze;
mod angle;
#[doc(hidden)]
pub mod cue;
mod decay;
mod decimal;
pub mod error;
#[doc(hidden)]
pub mod findings;
mod gather;
mod intake;
pub mod keypoints;
mod least_squares;
pub mod live;
#[doc(hidden)]
pub mod matrix;
#[doc(hidden)]
pub mod measures;
mod order;
#[doc(hidden)]
pub mod picture;
#[doc(hidden)]
pub mod plausibility;
#[doc(hidden)]
pub mod pose;
pub mod record;
#[doc(hidden)]
pub mod repetitions;
pub mod report;
pub mod session;
#[doc(hidden)]
pub mod standing;
mod stands;
#[doc(hidden)]
pub mod statistics;
mod steady;
pub mod thresholds;
mod turned;
#[cfg(all(target_arch = "wasm32", feature = "serde"))]
mod wasm;

pub use analyze::analyze;
pub use error::{Error, ErrorCode};
pub use live::{Live, Seen};
pub use measures::{Channel, Check, Estimate};
pub use picture::{GreyError, GreyView, Picture};
pub use repetitions::Phase;
pub use session::{Options, Session};
