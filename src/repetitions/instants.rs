//! Instants of a repetition (start, bottom, end): a first guess from where the signal crosses levels, then
//! a fit.
//!
//! Smooth human movements leave rest too slowly to see it happen, so the instants come from fitting the
//! profile of a whole repetition (see [`profile_fit`](super::profile_fit)).

use super::prior::Prior;
use super::profile_fit::{Fitted, RepSamples, fit};

/// A sample of the drop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    /// Time, ms.
    pub t_ms: f64,
    /// Drop below standing, fraction of the pelvis' standing height.
    pub drop: f64,
    /// The same of the hips alone; NaN where they were not seen.
    pub hips: f64,
}

/// The times of one repetition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Instants {
    /// Leaves standing, ms.
    pub start_ms: f64,
    /// Arrives at the bottom, ms.
    pub bottom_ms: f64,
    /// Leaves the bottom, ms.
    pub bottom_end_ms: f64,
    /// Stands, ms.
    pub end_ms: f64,
    /// Drop at the bottom below where the repetition started.
    pub depth: f64,
}

/// Share of the drop that counts as the bottom's neighbourhood.
/// tuned: `reps`
const NEAR: f64 = 0.955;
/// A curve that turns back by this share has reached the top.
/// tuned: `reps`
const TURN: f64 = 0.06;
/// A curve that comes up to this share within the bottom bounces there, or has failed.
/// tuned: `reps`
const BACK: f64 = 0.93;
/// A curve that comes up to this share of the drop has left the bottom for good.
/// tuned: `reps`
const DIP: f64 = 0.64;
/// Standing before and after is used for so long, ms.
/// tuned: `reps`
const REST_MS: f64 = 700.0;
/// What rises for no longer is a joint that leapt, not the next ramp, ms.
/// tuned: `reps`
const LEAP_MS: f64 = 200.0;
/// The shape of a movement before anything is known of the lifter's.
/// tuned: `reps`
pub(crate) const SHAPE: (f64, f64) = (0.1, 0.6);

/// Finds the times of the repetition whose drop stands out of `curve[from..=to]`, and what the fit
/// tells where there is one. `known` is what is known of how the lifter moves; the one before ends
/// and the next begins at `beside`, ms.
pub(crate) fn fit_instants(
    signal: &[Sample],
    (from, to): (usize, usize),
    prior: Prior,
    beside: [f64; 2],
) -> Option<(Instants, Option<Fitted>)> {
    let n = signal.len();
    let to = to.min(n.checked_sub(1)?);
    let y = |i: usize| clean(signal, i);
    let low = (from..=to).map(y).fold(f64::NEG_INFINITY, f64::max);
    if low.is_nan() || low <= 0.0 {
        return None;
    }
    let first = (from..=to).find(|&i| y(i) >= NEAR * low)?;
    let below = |i: &usize| y(*i) < 0.4 * low;
    let down = (0..first).rev().find(below).unwrap_or(0);
    // The way up is the last one: a failed attempt comes half up before.
    let deepest = (from..=to).rev().find(|&i| y(i) >= NEAR * low)?;
    let top = (deepest..=to).fold(deepest, |top, i| if y(i) < y(top) { i } else { top });
    let left = (deepest..=top).rev().find(|&i| y(i) >= 0.4 * low)?;
    let up = (left..n).find(below).unwrap_or(n - 1);
    let edge = (first..=left).rev().find(|&i| y(i) >= DIP * low)?;
    let hump = || (first..=edge).rev().take_while(|&i| y(i) >= DIP * low);
    let most = hump().map(y).fold(0.0, f64::max);
    let last = hump().find(|&i| y(i) >= NEAR * most)?;
    let t = |i: usize| signal.get(i).map_or(0.0, |s| s.t_ms);

    let mut before = standing_level(signal, down, low, Toward::Back);
    let mut after = standing_level(signal, up, low, Toward::On);
    let at = |t_ms: f64| signal.partition_point(|s| s.t_ms < t_ms);
    before.index = before.index.max(at(beside[0]).min(down));
    after.index = after.index.min(at(beside[1]).max(up));
    let centre = (t(first) + t(last)) / 2.0;
    // Coming half up and going down again on the way: the way down ends at the first turn.
    let turn = peak(signal, down, first, low);
    let broken = turn < first || (first..=last).any(|i| y(i) < BACK * low);
    let (bottom_to, bottom_from) = if broken {
        let reach = if turn < first { t(turn) } else { centre };
        let near = |i: &usize| y(*i) >= BACK * y(turn) && t(*i) <= reach;
        let from = |i: &usize| y(*i) >= BACK * most && t(*i) >= centre;
        (
            (turn..=last).take_while(near).last().unwrap_or(turn),
            (first..=last).rev().take_while(from).last().unwrap_or(last),
        )
    } else {
        let split = signal.partition_point(|s| s.t_ms <= centre);
        (split.checked_sub(1)?, split)
    };
    let bottom = level(signal, turn.min(bottom_to), bottom_to, y(turn));
    let fitted = fit(&RepSamples {
        phases: [
            signal.get(before.index..=bottom_to)?,
            signal.get(bottom_from..=after.index)?,
        ],
        levels: [before.level, bottom, after.level],
        broken,
        prior,
    });
    // A profile that does not fit must not lead out of what was seen.
    let fits = |f: &Fitted| {
        let [start, bottom, leaves, end] = f.t_ms;
        start <= t(down + 1) && t(down) < bottom && leaves < t(up) && t(left) <= end
    };
    let fitted = fitted.filter(fits);
    let edge = [t(before.index), t(after.index)];
    // Otherwise the way from 0.4 of the drop to the bottom takes about half of the whole.
    let seen = [
        2.0 * t(down) - t(first),
        t(first),
        t(last),
        2.0 * t(up) - t(last),
    ];
    let [start_ms, bottom_ms, bottom_end_ms, end_ms] = fitted.map_or(seen, |f| f.t_ms);
    let times = Instants {
        start_ms: start_ms.max(edge[0]).min(bottom_ms),
        bottom_ms,
        bottom_end_ms,
        end_ms: end_ms.min(edge[1]).max(bottom_end_ms),
        depth: low - before.level,
    };
    Some((times, fitted))
}

/// Where the curve turns by [`TURN`] for the first time after `from`, at the latest `to`.
fn peak(signal: &[Sample], from: usize, to: usize, low: f64) -> usize {
    let mut best = from;
    for i in from..=to {
        let y = clean(signal, i);
        if y > clean(signal, best) {
            best = i;
        } else if y < clean(signal, best) - 2.0 * TURN * low {
            return best;
        }
    }
    to
}

/// Mean of the curve over a stretch of the bottom; its highest point when there is no stretch.
fn level(signal: &[Sample], from: usize, to: usize, highest: f64) -> f64 {
    let samples = signal.get(from..=to).unwrap_or(&[]);
    if samples.len() < 4 {
        return highest;
    }
    let mean = samples.iter().map(|s| s.drop).sum::<f64>() / samples.len() as f64;
    // Of a turn without a pause the mean is too low.
    0.5 * (mean + highest)
}

/// Median of three: single outliers go, edges stay.
fn clean(signal: &[Sample], i: usize) -> f64 {
    let at = |i: usize| signal.get(i).map(|s| s.drop);
    let Some(b) = at(i) else { return f64::NAN };
    match (i.checked_sub(1).and_then(at), at(i + 1)) {
        (Some(a), Some(c)) => a.max(b).min(a.min(b).max(c)),
        _ => b,
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Toward {
    Back,
    On,
}

struct StandingLevel {
    /// Farthest sample of the standing.
    index: usize,
    /// Its level.
    level: f64,
}

/// Walks from the foot of a ramp into the standing beyond, until the next ramp begins.
fn standing_level(signal: &[Sample], foot: usize, low: f64, toward: Toward) -> StandingLevel {
    let mut i = foot;
    let mut best = clean(signal, foot);
    let mut best_at = foot;
    let mut risen = None;
    let t = |i: usize| signal.get(i).map_or(0.0, |s| s.t_ms);
    loop {
        let next = match toward {
            Toward::Back => i.checked_sub(1),
            Toward::On => Some(i + 1).filter(|&j| j < signal.len()),
        };
        let Some(next) = next else { break };
        let y = clean(signal, next);
        if (t(next) - t(best_at)).abs() > REST_MS {
            break;
        }
        if y > best + TURN * low {
            let edge = *risen.get_or_insert(i);
            if (t(next) - t(edge)).abs() > LEAP_MS {
                break;
            }
        } else {
            risen = None;
        }
        // The standing begins where the curve has come down for good.
        if y < best - 0.01 * low {
            best = y;
            best_at = next;
        }
        i = next;
    }
    i = risen.unwrap_or(i);
    // The level is the mean of the flat part.
    let (a, b) = (i.min(best_at), i.max(best_at));
    let (mut sum, mut n) = (0.0, 0.0);
    for s in signal.get(a..=b).unwrap_or(&[]) {
        sum += s.drop;
        n += 1.0;
    }
    let level = if n > 0.0 { sum / n } else { best };
    StandingLevel {
        index: i,
        level: crate::order::within(level, -0.25 * low, 0.35 * low),
    }
}
