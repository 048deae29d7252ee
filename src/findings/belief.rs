//! How much speaks for a finding, or for there being none.

use super::habit::{Carried, Habits};
use super::pattern::{Load, Pattern};
use crate::measures::{Channel, Check, Way};

/// Some heel, knee or foot was clear, and nothing is probably or now and then beyond a line.
pub(super) fn enough(habits: &Habits) -> bool {
    let main = |c: &Channel| {
        matches!(c.check(), Check::HeelLift | Check::KneeIn | Check::FootRoll)
            && habits.carried(*c) == Carried::Clear
    };
    let suspect = |c: &Channel| {
        [Way::Low, Way::High]
            .iter()
            .any(|w| habits.get(*c, *w).suspect())
    };
    Channel::ALL.iter().any(main) && !Channel::ALL.iter().any(suspect)
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
