//! From values to verdicts, and from the verdicts of a set to what it shows.

mod belief;
mod contact;
mod habit;
mod judge;
mod pattern;
mod resting;
mod score;
mod sideways;
mod sight;
mod trend;
mod verdict;

pub use crate::measures::Way;
pub use belief::OF_A_FOOT;
pub use contact::{contact, contacts};
pub use habit::{Carried, Habit, Habits};
pub use judge::judge;
pub use pattern::{Foot, Load, Pattern, Shown, find};
pub use resting::{Inward, KNEE_LINE_DEG, ROLL_LINE_DEG, RestingShape};
pub use score::{ratio, score};
pub use sight::{best, shows};
pub use trend::trend;
pub use verdict::{Beyond, SURE, beyond, normal_cdf, verdict};
