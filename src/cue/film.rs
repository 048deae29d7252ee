//! What to film next: the view in which what is in doubt is judged best, or what keeps it from being
//! judged in this one.

use super::text::Say;
use crate::findings::{Carried, Habits, best, shows};
use crate::keypoints::Side;
use crate::measures::{Channel, Check};
use crate::report::Unseen;

/// What to film next; `None` when everything was told. What is probably beyond a line comes first, then
/// what this view could have shown, then what it can't.
pub(super) fn next(habits: &Habits, azimuth_deg: Option<f64>) -> Option<Say> {
    if habits.reps == 0 {
        return Some(Say::FilmStill);
    }
    let untold = |shown: bool| {
        [Check::KneeIn, Check::FootRoll, Check::HeelLift]
            .into_iter()
            .filter(|check| shows(*check, azimuth_deg) == shown)
            .flat_map(|check| Side::BOTH.map(|side| Channel::of(check, side)))
            .find(|c| !habits.told(*c))
    };
    let suspect = Channel::ALL.into_iter().find(|c| habits.suspect(*c));
    let channel = suspect.or_else(|| untold(true)).or_else(|| untold(false))?;
    Some(advice(habits, channel, azimuth_deg))
}

/// The way out of the reason why a channel was not told.
fn advice(habits: &Habits, channel: Channel, azimuth_deg: Option<f64>) -> Say {
    let check = channel.check();
    let there = best(check, azimuth_deg);
    match (habits.carried(channel), habits.why(channel)) {
        (Carried::Unseen, Some(Unseen::Layout)) => Say::FilmPoints,
        (Carried::Unseen, Some(Unseen::Standing)) => Say::FilmStill,
        // No view would show more of what is no squat.
        (Carried::Unseen, Some(Unseen::NotASquat)) => Say::FilmMore,
        (Carried::Unseen, _) if there && far(channel, azimuth_deg) => Say::FilmOther,
        (Carried::Unseen, Some(Unseen::Missing)) => Say::FilmFrame,
        (Carried::Unseen, _) if there => Say::FilmSteady,
        _ if there => Say::FilmMore,
        _ if matches!(check, Check::HeelLift | Check::Forward) => Say::FilmSide,
        _ => Say::FilmFront,
    }
}

/// A heel on the side away from the camera.
fn far(channel: Channel, azimuth_deg: Option<f64>) -> bool {
    let left = azimuth_deg.is_some_and(|a| a > 0.0);
    let away = if left { Side::Right } else { Side::Left };
    channel.check() == Check::HeelLift && channel.side() == Some(away)
}
