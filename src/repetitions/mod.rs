//! Repetitions: where each begins, turns and ends.
//!
//! Whole bodies. Each frame updates the feet (planted or not, `feet`) and the hips' drop below standing
//! (`drop_estimator`: robust fusion of hips, shoulders and head; `drop_signal`: smoothed). The `detector`
//! is a state machine over both: searching for standing, standing, lifting. A lift that ends is accepted or
//! rejected by its height, duration and `evidence` of a trunk bend. Dips under the bar are told from
//! shallow squats by where they were done, while the set goes on (`rack_live`) and once it is over
//! (`rack_final`).
//!
//! Instants. A movement profile (`profile`: minimum jerk toward a cosine) is fitted by least squares to the
//! drop of one repetition (`profile_fit`, from the first guess in `instants`), and after the set to all of
//! them with one shape (`set_fit`).
//!
//! Feet and shins alone (`shins`). The whole set is counted at once: the knees' displacement along the
//! direction that squats take them, candidates at its extrema, log-odds for each, and a profile fit.
//!
//! Units: drops are fractions of the pelvis' standing height above the ankles, distances in the picture are
//! shank lengths, times are ms. Every constant says where its number comes from: `published:`, `measured:`
//! or `tuned:`. tuned: `reps` stands for: by hand, on simulated sets of `underfoot-sim reps`, November 2026.
//! What is tuned is judged on sets drawn anew (`error_rate`) and on real ones (`real_bodies`, `real_shins`).

mod detector;
mod drop_estimator;
mod drop_signal;
mod evidence;
mod feet;
mod fusion;
mod hips;
mod instants;
mod knees;
mod lift;
mod median_filter;
mod phase;
mod position;
mod posture;
mod prior;
mod profile;
mod profile_fit;
mod rack_final;
mod rack_live;
mod regression;
mod set_fit;
mod shins;

pub use detector::{Detector, Followed};
pub(crate) use hips::add_unfooted;
pub use phase::{Phase, Progress, Repetition};
