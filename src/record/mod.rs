//! The same lifter's sets over time: better, worse, or no real change.

mod change;
pub mod statistics;
mod summary;
mod words;

pub use change::{Basis, Change, Outcome, between_day_sem, compare};
pub use summary::SetSummary;
