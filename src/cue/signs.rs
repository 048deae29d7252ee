//! Words for what was seen: signs, how often, when in the lift, and the numbers behind them.

use super::text::{Say, exact, listed, with_error};
use crate::findings::{Habits, Pattern, Way};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::{Channel, Check};
use crate::thresholds::Thresholds;

pub(super) fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => Say::Left.english(),
        Side::Right => Say::Right.english(),
    }
}

/// One sign of one foot, both feet, or the body.
fn sign(check: Check, way: Way, side: Option<Side>) -> String {
    let (one, both) = match (check, way) {
        (Check::HeelLift, Way::High) => (Say::SignHeelOne, Say::SignHeelBoth),
        (Check::KneeIn, Way::High) => (Say::SignKneeInOne, Say::SignKneeInBoth),
        (Check::KneeIn, Way::Low) => (Say::SignKneeOutOne, Say::SignKneeOutBoth),
        (Check::FootRoll, Way::High) => (Say::SignRollInOne, Say::SignRollInBoth),
        (Check::FootRoll, Way::Low) => (Say::SignRollOutOne, Say::SignRollOutBoth),
        (Check::Forward, Way::High) => (Say::SignForward, Say::SignForward),
        (Check::LoadLeft, _) => (Say::SignLoadOne, Say::SignLoadBoth),
        (Check::HeelLift | Check::Forward, Way::Low) => (Say::Other, Say::Other),
    };
    match side {
        Some(side) => one.with(&[("side", side_word(side))]),
        None => both.plain(),
    }
}

/// The foot that a channel beyond a line speaks of.
fn foot(channel: Channel, way: Way) -> Option<Side> {
    match (channel.check(), way) {
        (Check::LoadLeft, Way::High) => Some(Side::Left),
        (Check::LoadLeft, Way::Low) => Some(Side::Right),
        _ => channel.side(),
    }
}

/// Signs in words, the strongest first: both feet's as one, at most `most` of them.
/// `carrying`: the foot that a load which moves to and fro is on most.
pub(super) fn signs(shown: &[(Channel, Way)], most: usize, carrying: Option<Side>) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut done: Vec<(Check, Option<Way>)> = Vec::new();
    for (channel, way) in shown {
        // The load to either side is one sign; every other line is its own.
        let load = channel.check() == Check::LoadLeft;
        let key = (channel.check(), (!load).then_some(*way));
        if done.contains(&key) {
            continue;
        }
        done.push(key);
        let mut sides = shown
            .iter()
            .filter(|(c, w)| c.check() == key.0 && (load || w == way))
            .map(|(c, w)| foot(*c, *w));
        let first = sides.next().flatten();
        let both = sides.next().is_some();
        words.push(match carrying {
            Some(side) if both && load => Say::SignLoadMost.with(&[("side", side_word(side))]),
            _ => sign(key.0, *way, if both { None } else { first }),
        });
    }
    words.truncate(most);
    listed(&words)
}

pub(super) fn often(n: usize, all: usize) -> String {
    if n == all {
        let say = if all == 1 {
            Say::OftenOnly
        } else {
            Say::OftenAll
        };
        say.plain()
    } else {
        Say::OftenSome.with(&[("n", &n.to_string()), ("all", &all.to_string())])
    }
}

pub(super) fn when(onset: Option<f64>) -> String {
    match onset {
        None => String::new(),
        Some(p) if p < 0.35 => Say::WhenEarly.plain(),
        Some(p) if p < 0.8 => Say::WhenDown.plain(),
        Some(p) if p <= 1.15 => Say::WhenBottom.plain(),
        Some(_) => Say::WhenUp.plain(),
    }
}

/// The number behind a sign.
pub(super) fn evidence(
    channel: Channel,
    way: Way,
    habits: &Habits,
    thresholds: &Thresholds,
) -> Option<String> {
    let value = habits.get(channel, way).value?;
    let band = thresholds.band(channel);
    let line = match way {
        Way::Low => band.low?,
        Way::High => band.high?,
    };
    let say = match (channel.check(), way) {
        (Check::HeelLift, _) => Say::WhyHeel,
        (Check::Forward, _) => Say::WhyForward,
        (Check::KneeIn, Way::High) => Say::WhyKneeIn,
        (Check::KneeIn, Way::Low) => Say::WhyKneeOut,
        (Check::FootRoll, Way::High) => Say::WhyRollIn,
        (Check::FootRoll, Way::Low) => Say::WhyRollOut,
        (Check::LoadLeft, _) => Say::WhyLoad,
    };
    // Outward and rightward values are negative; the words carry the sign.
    let turned = |v: f64| match (channel.check(), way) {
        (Check::LoadLeft, Way::Low) => 100.0 - v,
        (_, Way::Low) => -v,
        _ => v,
    };
    let side = foot(channel, way).map_or("", side_word);
    Some(say.with(&[
        ("side", side),
        ("value", &with_error(turned(value.value), value.sd)),
        ("line", &exact(turned(line))),
    ]))
}

/// Names of channels as a list; a check's both sides as one.
pub(super) fn names(channels: &[Channel]) -> String {
    let mut words = Vec::new();
    for check in Check::ALL {
        let of: Vec<&Channel> = channels.iter().filter(|c| c.check() == check).gather();
        let Some(first) = of.first() else { continue };
        let (one, both) = match check {
            Check::HeelLift => (Say::NameHeel, Say::NameHeels),
            Check::KneeIn => (Say::NameKnee, Say::NameKnees),
            Check::FootRoll => (Say::NameRoll, Say::NameRolls),
            Check::Forward => (Say::NameForward, Say::NameForward),
            Check::LoadLeft => (Say::NameLoad, Say::NameLoad),
        };
        words.push(match first.side() {
            Some(side) if of.len() == 1 => one.with(&[("side", side_word(side))]),
            _ => both.plain(),
        });
    }
    listed(&words)
}

/// Name of one channel.
pub(crate) fn name_of(channel: Channel) -> String {
    names(&[channel])
}

/// Unit of a check, as it follows a number.
pub(crate) const fn unit_of(check: Check) -> &'static str {
    match check {
        Check::HeelLift => " mm",
        Check::KneeIn | Check::FootRoll => "°",
        Check::Forward | Check::LoadLeft => " %",
    }
}

/// Signs, how often and when: the finding's sentence.
pub(super) fn sentence(pattern: &Pattern, habits: &Habits) -> String {
    let mut text = Say::Finding.with(&[
        ("signs", &signs(&pattern.shown, 2, pattern.carrying())),
        ("often", &often(pattern.reps.len(), habits.reps)),
        ("when", &when(pattern.onset(habits))),
    ]);
    if let Some(side) = pattern.probable {
        text.push(' ');
        text.push_str(&Say::Probably.with(&[("side", side_word(side))]));
    }
    if pattern.trend(habits).is_some_and(|t| t.growing) {
        text.push(' ');
        text.push_str(Say::Growing.english());
    }
    text
}
