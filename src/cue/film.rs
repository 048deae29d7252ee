//! What to film next, when a likely fault could not be told from this view.

use super::text::Say;
use crate::findings::{Carried, Habits};
use crate::measures::{Channel, Check};
use crate::report::Unseen;

/// How far from exactly in front or at the side still counts as that view: within 30 degrees.
const NEAR: f64 = 0.866;

/// What to film next; `None` when heels and knees were both told.
pub(super) fn next(habits: &Habits, azimuth_deg: Option<f64>) -> Option<Say> {
    if habits.reps == 0 {
        return Some(Say::FilmStill);
    }
    let told = |checks: &[Check]| {
        Channel::ALL
            .iter()
            .any(|c| checks.contains(&c.check()) && habits.told(*c))
    };
    let along = azimuth_deg.map(|a| a.to_radians().sin_cos());
    if !told(&[Check::KneeIn, Check::FootRoll]) {
        let there = along.is_some_and(|(_, cos)| cos.abs() > NEAR);
        return Some(advice(habits, Check::KneeIn, there, Say::FilmFront));
    }
    if !told(&[Check::HeelLift]) {
        let there = along.is_some_and(|(sin, _)| sin.abs() > NEAR);
        return Some(advice(habits, Check::HeelLift, there, Say::FilmSide));
    }
    None
}

/// The way out of the commonest reason why a check's two sides were not told. `there`: the camera
/// already stands where that check is seen best.
fn advice(habits: &Habits, check: Check, there: bool, turn: Say) -> Say {
    let mut reasons = Channel::ALL
        .iter()
        .filter(|c| c.check() == check)
        .map(|c| (habits.carried(*c), habits.why(*c)));
    let first = reasons.next().unwrap_or_default();
    // Where one side was seen and the other not, the seen one decides.
    let (carried, why) = match reasons.next() {
        Some(second) if first.0 == Carried::Unseen => second,
        _ => first,
    };
    match (carried, why) {
        (Carried::Unseen, Some(Unseen::Layout)) => Say::FilmPoints,
        (Carried::Unseen, Some(Unseen::Standing)) => Say::FilmStill,
        (Carried::Unseen, Some(Unseen::Missing)) => Say::FilmFrame,
        (Carried::Unseen, Some(Unseen::Noise)) if there => Say::FilmSteady,
        (Carried::Unseen, _) if there => Say::FilmSteady,
        _ if there => Say::FilmMore,
        _ => turn,
    }
}
