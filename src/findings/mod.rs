//! From values to verdicts, and from the verdicts of a set to what it shows.

mod belief;
mod contact;
mod habit;
mod pattern;
mod resting;
mod score;
mod sideways;
mod trend;
mod verdict;

pub use contact::{contact, contacts};
pub use habit::{Carried, Habit, Habits, Way};
pub use pattern::{Foot, Load, Pattern, Shown, find};
pub use resting::{Inward, KNEE_LINE_DEG, ROLL_LINE_DEG, RestingShape};
pub use score::{ratio, score};
pub use trend::trend;
pub use verdict::{Beyond, SURE, beyond, normal_cdf, verdict};

use crate::measures::Channel;
use crate::report::{Mark, Verdict};
use crate::thresholds::Thresholds;

/// Fills in the verdict, the score and whether the coach changed the line, from the mark's value
/// and its own standard error. Without a usable value the mark becomes unseen.
pub fn judge(channel: Channel, mark: &mut Mark, thresholds: &Thresholds) {
    let band = thresholds.band(channel);
    mark.threshold_changed = band.changed;
    match mark.own().and_then(|e| Some((e, beyond(e, band)?))) {
        Some((e, beyond)) => {
            mark.verdict = verdict(&beyond);
            mark.score = Some(score(e.value, band));
        }
        None => {
            mark.verdict = Verdict::Unseen;
            mark.value = None;
            mark.score = None;
            mark.evidence = None;
        }
    }
}
