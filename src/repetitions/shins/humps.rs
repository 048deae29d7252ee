//! Where the signal goes up and comes back: what may be repetitions.

use super::course::{Course, Numbers, mean};
use crate::gather::Gather;
use crate::statistics::quantile;

/// A valley between two humps that lies above this share of the smaller one is within one
/// repetition: a bounce at the bottom, or coming half up and going down again. Half the drop is
/// at least 0.51 of the knees' way.
const WITHIN: f64 = 0.42;
/// The curve has turned when it goes back by this much, or by the signal's error.
const TURN: f64 = 0.06;

/// A valley is no lower than what the signal is below for this share of the time.
const SELDOM: f64 = 0.05;

/// Above this share of its height a hump tells its own way.
const UPPER: f64 = 0.8;

/// One hump between two valleys, as indices and heights of the signal.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hump {
    pub from: usize,
    pub peak: usize,
    pub to: usize,
    /// Above the higher of the two valleys.
    pub height: f64,
    /// At the peak.
    pub top: f64,
    /// Where the upper half begins and ends.
    pub half: (usize, usize),
    /// How far the deepest valley within goes back, and the lower of the two peaks beside it.
    pub back: f64,
    /// The way it takes the knees: the set's, or its own where they differ; how far it goes along it.
    pub own: Numbers,
    pub unit: f64,
}

/// Standing beside a hump is looked at for so long, ms, where it has come down to this share.
const BESIDE_MS: f64 = 400.0;
const FOOT: f64 = 0.12;
/// A valley within by this share of the height makes it one that says little of the others.
const PIECES: f64 = 0.3;
/// A hump is taken to last at least this long, ms.
const SHORTEST_MS: f64 = 30.0;

impl Hump {
    /// Time over half the height, ms.
    pub fn lasts(&self, course: &Course) -> f64 {
        let t = |i: usize| course.time(i);
        (t(self.half.1) - t(self.half.0)).max(SHORTEST_MS)
    }

    /// How much it looks like a squat: large and long, and of a piece.
    pub fn weight(&self, course: &Course) -> f64 {
        let height = self.height.max(0.01);
        let piece = if self.back > PIECES * height {
            0.02
        } else {
            1.0
        };
        height * height * height * self.lasts(course) * piece
    }

    /// Index ranges of the standing on either side, within a stretch.
    pub fn standing(&self, course: &Course, from: usize, to: usize) -> [(usize, usize); 2] {
        let t = |i: usize| course.time(i);
        let low = |valley: usize| {
            let base = course.smooth.get(valley).copied().unwrap_or(0.0);
            let level = base + FOOT * (self.top - base);
            move |i: &usize| course.smooth.get(*i).is_some_and(|&y| y < level)
        };
        let before = (self.from..self.half.0).rev().find(low(self.from));
        let before = before.unwrap_or(self.from);
        let after = (self.half.1..self.to).find(low(self.to)).unwrap_or(self.to);
        let first = course.t_ms.partition_point(|&x| x < t(before) - BESIDE_MS);
        let last = course.t_ms.partition_point(|&x| x < t(after) + BESIDE_MS);
        [(first.max(from), before + 1), (after, last.min(to))]
    }
}

#[derive(Clone, Copy)]
struct Turn {
    at: usize,
    y: f64,
}

/// The humps of all stretches, in order.
#[inline(never)]
pub(super) fn humps(course: &Course) -> Vec<Hump> {
    let mut out = Vec::new();
    let turn = TURN.max(course.noise);
    for &(from, to) in &course.stretches {
        let (mut valleys, mut peaks) = turns(&course.smooth, from, to, turn);
        let mut backs = vec![0.0; peaks.len()];
        let low = low(&course.smooth[from..to]);
        while let Some(k) = shallowest(&valleys, &peaks, low) {
            let valley = valleys.remove(k);
            let (a, b) = (peaks[k - 1], peaks[k]);
            let back = (a.y.min(b.y) - valley.y).max(backs[k - 1]).max(backs[k]);
            let lower = if a.y < b.y { k - 1 } else { k };
            peaks.remove(lower);
            backs.remove(k);
            backs[k - 1] = back;
        }
        for (k, peak) in peaks.iter().enumerate() {
            let (before, after) = (valleys[k], valleys[k + 1]);
            let base = before.y.max(after.y);
            let level = (peak.y + base) / 2.0;
            let high = |i: &usize| course.smooth[*i] >= level || course.smooth[*i].is_nan();
            let left = (before.at..peak.at).rev().take_while(high).last();
            let right = (peak.at..after.at).take_while(high).last();
            let mut hump = Hump {
                from: before.at,
                peak: peak.at,
                to: after.at,
                height: peak.y - base,
                top: peak.y,
                half: (left.unwrap_or(peak.at), right.unwrap_or(peak.at)),
                back: backs[k],
                own: course.way,
                unit: 1.0,
            };
            if course.aside > 0.0 {
                let level = peak.y - (1.0 - UPPER) * (peak.y - base);
                let upper = |i: usize| before.at <= i && i < after.at && course.smooth[i] >= level;
                hump.own = mean(&course.steady, &upper);
                hump.unit = peak.y;
            }
            out.push(hump);
        }
    }
    out
}

/// Valleys and the peaks between them.
fn turns(y: &[f64], from: usize, to: usize, turn: f64) -> (Vec<Turn>, Vec<Turn>) {
    let (mut valleys, mut peaks) = (Vec::new(), Vec::new());
    let known = (from..to).filter(|&i| y[i].is_finite());
    let mut known = known.map(|at| Turn { at, y: y[at] });
    let Some(first) = known.next() else {
        return (valleys, peaks);
    };
    // A stretch begins in standing.
    let (mut low, mut high, mut rising) = (first, first, false);
    for now in known {
        if rising {
            if now.y > high.y {
                high = now;
            } else if high.y - now.y > turn {
                peaks.push(high);
                (low, rising) = (now, false);
            }
        } else if now.y < low.y {
            low = now;
        } else if now.y - low.y > turn {
            valleys.push(low);
            (high, rising) = (now, true);
        }
    }
    // What does not come down again has not been a repetition.
    if rising {
        let last = Turn {
            at: to - 1,
            y: high.y,
        };
        peaks.push(high);
        valleys.push(last);
    } else {
        valleys.push(low);
    }
    (valleys, peaks)
}

/// What the signal is seldom below: swinging back beyond standing lowers no valley beside it.
fn low(y: &[f64]) -> f64 {
    let mut known = y.iter().copied().filter(|y| y.is_finite()).gather();
    quantile(&mut known, SELDOM).unwrap_or(0.0)
}

/// The valley that is most likely within a repetition, if any is.
fn shallowest(valleys: &[Turn], peaks: &[Turn], low: f64) -> Option<usize> {
    let mut best = None;
    for k in 1..peaks.len() {
        let floor = valleys[k - 1].y.min(valleys[k + 1].y).max(low);
        let size = peaks[k - 1].y.min(peaks[k].y) - floor;
        let share = (valleys[k].y - floor) / size.max(1e-6);
        if share > WITHIN && best.is_none_or(|(most, _)| share > most) {
            best = Some((share, k));
        }
    }
    best.map(|(_, k)| k)
}
