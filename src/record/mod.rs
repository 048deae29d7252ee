//! The same lifter's sets over time: better, worse, or no real change.

mod change;
mod read;
mod summary;
mod words;

pub use change::{Basis, Change, Outcome, between_day_sem, compare};
pub use read::read_history;
pub use summary::SetSummary;
