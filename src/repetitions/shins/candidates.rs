//! Candidates: maxima of the smoothed displacement between two minima.

use super::trajectory::{Coords, KneeTrajectory, mean};
use crate::gather::Gather;
use crate::statistics::quantile;

/// A valley between two candidates that lies above this share of the smaller one is within one
/// repetition: a bounce at the bottom, or coming half up and going down again. Half the drop is
/// at least 0.51 of the knees' way.
/// tuned: `reps`
const WITHIN: f64 = 0.42;
/// The curve has turned when it goes back by this much, or by the signal's error.
/// tuned: `reps`
const TURN: f64 = 0.06;

/// A valley is no lower than what the signal is below for this share of the time.
/// tuned: `reps`
const SELDOM: f64 = 0.05;

/// Samples above this share of its height give a candidate its own direction.
/// tuned: `reps`
const UPPER: f64 = 0.8;

/// One candidate between two valleys, as indices and heights of the signal.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
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
    /// Direction of its displacement: the set's, or its own where they differ; and its size along it.
    pub own: Coords,
    pub unit: f64,
}

/// Standing beside a candidate is looked at for so long, ms, where it has come down to this share.
/// tuned: `reps`
const BESIDE_MS: f64 = 400.0;
const FOOT: f64 = 0.12;
/// A valley within by this share of the height makes it one that says little of the others.
/// tuned: `reps`
const PIECES: f64 = 0.3;
/// A candidate is taken to last at least this long, ms.
/// tuned: `reps`
const SHORTEST_MS: f64 = 30.0;

impl Candidate {
    /// Time over half the height, ms.
    pub fn lasts(&self, trajectory: &KneeTrajectory) -> f64 {
        let t = |i: usize| trajectory.time(i);
        (t(self.half.1) - t(self.half.0)).max(SHORTEST_MS)
    }

    /// How much it looks like a squat: large and long, and of a piece.
    pub fn weight(&self, trajectory: &KneeTrajectory) -> f64 {
        let height = self.height.max(0.01);
        let piece = if self.back > PIECES * height {
            0.02
        } else {
            1.0
        };
        height * height * height * self.lasts(trajectory) * piece
    }

    /// Index ranges of the standing on either side, within a interval.
    pub fn standing(
        &self,
        trajectory: &KneeTrajectory,
        from: usize,
        to: usize,
    ) -> [(usize, usize); 2] {
        let t = |i: usize| trajectory.time(i);
        let low = |valley: usize| {
            let base = trajectory.smooth.get(valley).copied().unwrap_or(0.0);
            let level = base + FOOT * (self.top - base);
            move |i: &usize| trajectory.smooth.get(*i).is_some_and(|&y| y < level)
        };
        let before = (self.from..self.half.0).rev().find(low(self.from));
        let before = before.unwrap_or(self.from);
        let after = (self.half.1..self.to).find(low(self.to)).unwrap_or(self.to);
        let first = trajectory
            .t_ms
            .partition_point(|&x| x < t(before) - BESIDE_MS);
        let last = trajectory
            .t_ms
            .partition_point(|&x| x < t(after) + BESIDE_MS);
        [(first.max(from), before + 1), (after, last.min(to))]
    }
}

#[derive(Clone, Copy)]
struct Extremum {
    at: usize,
    y: f64,
}

/// The candidates of all intervals, in order.
#[inline(never)]
pub(super) fn candidates(trajectory: &KneeTrajectory) -> Vec<Candidate> {
    let mut out = Vec::new();
    let turn = TURN.max(trajectory.noise);
    for &(from, to) in &trajectory.intervals {
        let (mut valleys, mut peaks) = extrema(&trajectory.smooth, from, to, turn);
        let mut backs = vec![0.0; peaks.len()];
        let low = low(&trajectory.smooth[from..to]);
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
            let high = |i: &usize| trajectory.smooth[*i] >= level || trajectory.smooth[*i].is_nan();
            let left = (before.at..peak.at).rev().take_while(high).last();
            let right = (peak.at..after.at).take_while(high).last();
            let mut candidate = Candidate {
                from: before.at,
                peak: peak.at,
                to: after.at,
                height: peak.y - base,
                top: peak.y,
                half: (left.unwrap_or(peak.at), right.unwrap_or(peak.at)),
                back: backs[k],
                own: trajectory.direction,
                unit: 1.0,
            };
            if trajectory.off_axis_weight > 0.0 {
                let level = peak.y - (1.0 - UPPER) * (peak.y - base);
                let upper =
                    |i: usize| before.at <= i && i < after.at && trajectory.smooth[i] >= level;
                candidate.own = mean(&trajectory.steady, &upper);
                candidate.unit = peak.y;
            }
            out.push(candidate);
        }
    }
    out
}

/// Valleys and the peaks between them.
fn extrema(y: &[f64], from: usize, to: usize, turn: f64) -> (Vec<Extremum>, Vec<Extremum>) {
    let (mut valleys, mut peaks) = (Vec::new(), Vec::new());
    let finite = (from..to).filter(|&i| y[i].is_finite());
    let mut finite = finite.map(|at| Extremum { at, y: y[at] });
    let Some(first) = finite.next() else {
        return (valleys, peaks);
    };
    // A interval begins in standing.
    let (mut low, mut high, mut rising) = (first, first, false);
    for now in finite {
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
        let last = Extremum {
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
    let mut finite = y.iter().copied().filter(|y| y.is_finite()).gather();
    quantile(&mut finite, SELDOM).unwrap_or(0.0)
}

/// The valley that is most likely within a repetition, if any is.
fn shallowest(valleys: &[Extremum], peaks: &[Extremum], low: f64) -> Option<usize> {
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
