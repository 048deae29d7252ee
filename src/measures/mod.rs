//! What is measured, per frame and per repetition, in the lifter's space.

mod arms;
mod assumed;
mod balance;
mod channel;
pub mod com;
mod drop;
mod errors;
mod excursion;
mod foot;
mod footing;
mod geometry;
mod imagine;
mod legs;
mod measurer;
mod normal;
mod peaks;
mod profile;
mod refine;
mod series;
mod settle;
mod shanks;
mod sighting;
pub mod smoothing;
mod tracks;
mod trunk;
mod unseen;

pub use channel::{Channel, Check, Estimate, Evidence};
pub use excursion::{Excursion, Support, Way};
pub use measurer::{Measurer, PictureEvidence, fuse, largest_sd};
pub use peaks::{Peak, peaks, phase, thigh_at_bottom};
pub use profile::{GENERIC, Habit, MEASURED, PLAIN, Profile};
pub use refine::refine;
pub use series::{Curves, FootHeights, MeasureSeries, series};
pub use settle::settle;
pub use unseen::Unseen;
