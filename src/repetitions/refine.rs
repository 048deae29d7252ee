//! When a repetition started, turned and ended, from its whole curve.
//!
//! Smooth human movements leave rest too slowly to see it happen, so each end is found by fitting
//! the shape of a whole movement (see [`edge`](super::edge)) to the part that stands out of the
//! noise.

use super::edge::{Ramp, fit};

/// A sample of the drop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    /// Time, ms.
    pub t_ms: f64,
    /// Drop below standing, fraction of the pelvis' standing height.
    pub drop: f64,
}

/// The times of one repetition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Times {
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
const NEAR: f64 = 0.955;
/// The lower half of a ramp tells the edge at its foot; the samples up to here are used.
const UPPER: f64 = 0.62;
/// A curve that turns back by this share has reached the top.
const TURN: f64 = 0.06;
/// Standing before and after is used for so long, ms.
const REST_MS: f64 = 700.0;

/// Finds the times of the repetition whose drop stands out of `curve[from..=to]`.
pub(crate) fn refine(curve: &[Sample], from: usize, to: usize) -> Option<Times> {
    let n = curve.len();
    let to = to.min(n.checked_sub(1)?);
    let y = |i: usize| clean(curve, i);
    let low = (from..=to).map(y).fold(f64::NEG_INFINITY, f64::max);
    if low.is_nan() || low <= 0.0 {
        return None;
    }
    let first = (from..=to).find(|&i| y(i) >= NEAR * low)?;
    let last = (first..=to).rev().find(|&i| y(i) >= NEAR * low)?;
    let below = |i: &usize| y(*i) < 0.4 * low;
    let down = (0..first).rev().find(below).unwrap_or(0);
    let up = (last..n).find(below).unwrap_or(n - 1);
    let t = |i: usize| curve.get(i).map_or(0.0, |s| s.t_ms);

    let before = rest(curve, down, low, Way::Back);
    let after = rest(curve, up, low, Way::On);
    let high_down = (down..=first)
        .find(|&i| y(i) >= UPPER * low)
        .unwrap_or(first);
    let high_up = (last..=up)
        .rev()
        .find(|&i| y(i) >= UPPER * low)
        .unwrap_or(last);
    let start = fit(&Ramp {
        samples: curve.get(before.index..=high_down)?,
        height: low,
        base: before.level,
        flip: false,
        back: false,
    });
    let end = fit(&Ramp {
        samples: curve.get(high_up..=after.index)?,
        height: low,
        base: after.level,
        flip: false,
        back: true,
    });
    // Without a pause the descent's end is the ascent's start: neither may use the other's samples.
    let middle = (t(first) + t(last)) / 2.0;
    let settle = |a: usize, b: usize| 1.2 * (t(b) - t(a)).abs();
    let reach = (t(first) + settle(down, first)).min(middle);
    let bottom_to = (first..=last)
        .take_while(|&i| y(i) >= 0.93 * low && t(i) <= reach)
        .last()
        .unwrap_or(first);
    let reach = (t(last) - settle(up, last)).max(middle);
    let bottom_from = (first..=last)
        .rev()
        .take_while(|&i| y(i) >= 0.93 * low && t(i) >= reach)
        .last()
        .unwrap_or(last);
    let bottom = fit(&Ramp {
        samples: curve.get(down..=bottom_to)?,
        height: low - before.level,
        base: 0.0,
        flip: true,
        back: true,
    });
    let bottom_end = fit(&Ramp {
        samples: curve.get(bottom_from..=up)?,
        height: low - after.level,
        base: 0.0,
        flip: true,
        back: false,
    });
    let start_ms = start.unwrap_or(t(before.index));
    let end_ms = end.unwrap_or(t(after.index));
    let mut bottom_ms = bottom.unwrap_or(t(first)).max(t(first));
    let mut bottom_end_ms = bottom_end.unwrap_or(t(last)).min(t(last));
    if bottom_ms > bottom_end_ms {
        let middle = (bottom_ms + bottom_end_ms) / 2.0;
        (bottom_ms, bottom_end_ms) = (middle, middle);
    }
    Some(Times {
        start_ms: start_ms.min(bottom_ms),
        bottom_ms,
        bottom_end_ms,
        end_ms: end_ms.max(bottom_end_ms),
        depth: low - before.level,
    })
}

/// Median of three: single outliers go, edges stay.
fn clean(curve: &[Sample], i: usize) -> f64 {
    let at = |i: usize| curve.get(i).map(|s| s.drop);
    let Some(b) = at(i) else { return f64::NAN };
    match (i.checked_sub(1).and_then(at), at(i + 1)) {
        (Some(a), Some(c)) => a.max(b).min(a.min(b).max(c)),
        _ => b,
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Back,
    On,
}

struct Rest {
    /// Farthest sample of the standing.
    index: usize,
    /// Its level.
    level: f64,
}

/// Walks from the foot of a ramp into the standing beyond, until the next ramp begins.
fn rest(curve: &[Sample], foot: usize, low: f64, way: Way) -> Rest {
    let mut i = foot;
    let mut best = clean(curve, foot);
    let mut best_at = foot;
    let t = |i: usize| curve.get(i).map_or(0.0, |s| s.t_ms);
    loop {
        let next = match way {
            Way::Back => i.checked_sub(1),
            Way::On => Some(i + 1).filter(|&j| j < curve.len()),
        };
        let Some(next) = next else { break };
        let y = clean(curve, next);
        if y > best + TURN * low || (t(next) - t(best_at)).abs() > REST_MS {
            break;
        }
        // The standing begins where the curve has come down for good.
        if y < best - 0.01 * low {
            best = y;
            best_at = next;
        }
        i = next;
    }
    // The level is the mean of the flat part.
    let (a, b) = (i.min(best_at), i.max(best_at));
    let (mut sum, mut n) = (0.0, 0.0);
    for s in curve.get(a..=b).unwrap_or(&[]) {
        sum += s.drop;
        n += 1.0;
    }
    let level = if n > 0.0 { sum / n } else { best };
    Rest {
        index: i,
        level: crate::order::within(level, -0.25 * low, 0.35 * low),
    }
}
