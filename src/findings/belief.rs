//! How much speaks for a finding, or for there being none.

use super::habit::{Carried, Habits};
use super::pattern::{Load, Pattern};
use super::sight::shows;
use crate::keypoints::Side;
use crate::measures::{Channel, Check};

/// Checks of each foot by themselves.
pub const OF_A_FOOT: [Check; 3] = [Check::HeelLift, Check::KneeIn, Check::FootRoll];

/// Heels, knees and rolls that this view can show were clear on both feet, and nothing is probably
/// beyond a line.
pub(super) fn enough(habits: &Habits, azimuth_deg: Option<f64>) -> bool {
    let clear = |c: &Channel| habits.carried(*c) == Carried::Clear;
    let shown = OF_A_FOOT
        .into_iter()
        .filter(|c| shows(*c, azimuth_deg))
        .flat_map(|check| Side::BOTH.map(|side| Channel::of(check, side)));
    let (mut any, mut all) = (false, true);
    for channel in shown {
        any = true;
        all &= clear(&channel);
    }
    all && any && !Channel::ALL.iter().any(|c| habits.suspect(*c))
}

/// Mean probability of the leading sign's repetitions, less where only some repetitions show it;
/// half of the doubt goes when two kinds of signs agree, and a third of the belief when load
/// share and feet disagree (common practice, no source: it orders sets, it is no probability).
pub(super) fn confidence(habits: &Habits, pattern: &Pattern) -> f64 {
    let Some(habit) = pattern.leading(habits) else {
        return 0.0;
    };
    let share = pattern.reps.len() as f64 / habit.seen.max(1) as f64;
    let mut belief = habit.probability * (0.5 + 0.5 * share.min(1.0));
    let first = pattern.shown.first().map(|(c, _)| c.check());
    let second = pattern.shown.iter().any(|(c, _)| Some(c.check()) != first);
    if pattern.load == Load::Disagrees {
        belief *= 2.0 / 3.0;
    } else if second || pattern.load == Load::Agrees {
        belief = 1.0 - (1.0 - belief) / 2.0;
    }
    belief.clamp(0.0, 1.0)
}

/// Share of the six main channels that came out clear.
pub(super) fn confidence_of_none(habits: &Habits, enough: bool) -> f64 {
    if !enough {
        return 0.0;
    }
    let main = Channel::ALL
        .iter()
        .filter(|c| c.side().is_some() && habits.carried(**c) == Carried::Clear);
    main.count() as f64 / 6.0
}
