//! What to film next, when a likely fault could not be told from this view.

use super::text::Say;
use crate::angle::{cos, sin_cos};
use crate::findings::{Carried, Habits};
use crate::keypoints::Side;
use crate::measures::{Channel, Check};
use crate::report::Unseen;

/// How far from exactly in front or at the side still counts as that view: within 30 degrees.
const NEAR: f64 = 0.866;

/// What to film next; `None` when a heel was told, and the knee or the roll of both feet.
pub(super) fn next(habits: &Habits, azimuth_deg: Option<f64>) -> Option<Say> {
    if habits.reps == 0 {
        return Some(Say::FilmStill);
    }
    let told = |check: Check, side: Side| habits.told(Channel::of(check, side));
    let lateral = |s: &Side| told(Check::KneeIn, *s) || told(Check::FootRoll, *s);
    let along = azimuth_deg.map(|a| sin_cos(a.to_radians()));
    if blind(habits, azimuth_deg) || !Side::BOTH.iter().all(lateral) {
        let there = along.is_some_and(|(_, cos)| cos.abs() > NEAR);
        return Some(advice(habits, Check::KneeIn, there, Say::FilmFront));
    }
    if !Side::BOTH.iter().any(|s| told(Check::HeelLift, *s)) {
        let there = along.is_some_and(|(sin, _)| sin.abs() > NEAR);
        return Some(advice(habits, Check::HeelLift, there, Say::FilmSide));
    }
    None
}

/// The camera stands in front or behind, and yet a knee was not seen: one far off its line can
/// hide there, so that nothing found does not mean nothing there.
pub(super) fn blind(habits: &Habits, azimuth_deg: Option<f64>) -> bool {
    let there = azimuth_deg.is_some_and(|a| cos(a.to_radians()).abs() > NEAR);
    let unseen = |check: Check, side| habits.carried(Channel::of(check, side)) == Carried::Unseen;
    there && Side::BOTH.iter().any(|s| unseen(Check::KneeIn, *s))
}

/// The way out of the commonest reason why a check's two sides were not told. `there`: the camera
/// already stands where that check is seen best.
fn advice(habits: &Habits, check: Check, there: bool, turn: Say) -> Say {
    // The side of which least was said decides.
    let (carried, why) = Side::BOTH
        .map(|s| Channel::of(check, s))
        .into_iter()
        .filter(|c| !habits.told(*c))
        .map(|c| (habits.carried(c), habits.why(c)))
        .min_by_key(|(carried, _)| *carried != Carried::Unseen)
        .unwrap_or_default();
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
