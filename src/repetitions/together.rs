//! All repetitions of a set once more, together.
//!
//! Whether a movement leaves rest gently or at once shows too little in one repetition to tell when
//! it did. But a lifter moves alike in all of them, and the camera sees all of them alike: one shape
//! and one bend (see [`ramp`](super::ramp)) are fitted to the whole set, by Gauss and Newton's steps
//! over what each repetition's own numbers leave of it.

use super::phase::Repetition;
use super::ramp::{Fitted, Known};
use super::refine::{SHAPE, Sample, Times, refine};
use nalgebra::{Matrix2, Vector2};

/// Bend of what is read from hips in sight: mean and SD, about what perspective does in simulated
/// bodies (`reps` of tests/sim).
pub(super) const BEND: (f64, f64) = (0.0, 0.08);
/// The same where shoulders stand in for hidden hips.
const BEND_HIDDEN: (f64, f64) = (0.1, 0.25);
/// One repetition's shape and bend differ by this from the set's, SD.
const APART: [f64; 2] = [0.05, 0.02];
/// Hips seen in so many of the frames below half of the way tell by themselves ...
const SEEN: f64 = 0.85;
/// ... and in fewer than this are hidden.
const HIDDEN: f64 = 0.5;
/// Steps toward the set's numbers, each no longer than this in the shape.
const STEPS: usize = 5;
const LONGEST: f64 = 0.4;
/// Worth of numbers that are held.
const HELD: f64 = 1e5;

/// One repetition's samples.
pub(super) struct Part {
    /// Its number in the set.
    which: usize,
    samples: Vec<Sample>,
    /// The first and the last sample of it.
    range: (usize, usize),
    /// Where it starts and ends, ms.
    t_ms: [f64; 2],
    hidden: bool,
}

impl Part {
    /// Repetition number `which`, and the samples around it.
    pub fn new(which: usize, rep: &Repetition, around: &[Sample]) -> Self {
        let most = around.iter().map(|s| s.drop).fold(0.0, f64::max);
        let deep = || around.iter().filter(|s| s.drop > 0.5 * most);
        let seen = deep().filter(|s| s.hips.is_finite()).count() as f64;
        let seen = seen / deep().count().max(1) as f64;
        let mut samples = Vec::with_capacity(around.len());
        for s in around {
            // What shoulders and head say is bent more.
            let drop = if seen > SEEN { s.hips } else { s.drop };
            if drop.is_finite() {
                samples.push(Sample { drop, ..*s });
            }
        }
        let at = |t_ms: f64| samples.partition_point(|s| s.t_ms < t_ms);
        Self {
            which,
            range: (at(rep.start_ms), at(rep.end_ms)),
            t_ms: [rep.start_ms, rep.end_ms],
            hidden: seen < HIDDEN,
            samples,
        }
    }
}

/// Times of the repetitions of one set, with their numbers.
pub(super) fn together(parts: &[Part]) -> Vec<(usize, Times)> {
    let hidden = 2 * parts.iter().filter(|p| p.hidden).count() > parts.len();
    let before = Known::new(SHAPE, if hidden { BEND_HIDDEN } else { BEND });
    let apart = Matrix2::from_diagonal(&Vector2::from(APART.map(|sd| sd * sd)));
    let mut set = Known {
        mean: before.mean,
        worth: Matrix2::from_diagonal_element(HELD),
    };
    let mut t_ms: Vec<[f64; 2]> = Vec::with_capacity(parts.len());
    t_ms.extend(parts.iter().map(|p| p.t_ms));
    let mut variance = Matrix2::zeros();
    for _ in 0..STEPS {
        let mut worth = before.worth;
        let mut pull = before.worth * (before.mean - set.mean);
        for i in 0..parts.len() {
            let Some((times, Some(Fitted { pull: g, tells, .. }))) = one(parts, i, set, &t_ms)
            else {
                continue;
            };
            t_ms[i] = [times.start_ms, times.end_ms];
            let blur = (Matrix2::identity() + tells * apart).try_inverse();
            let share = blur.unwrap_or_else(Matrix2::zeros);
            worth += share * tells;
            pull += share * g;
        }
        variance = worth.try_inverse().unwrap_or(variance);
        let step = variance * pull;
        set.mean += step * (LONGEST / step[0].abs().max(LONGEST));
    }
    set.worth = (variance + apart).try_inverse().unwrap_or(before.worth);
    let mut out = Vec::with_capacity(parts.len());
    for (i, part) in parts.iter().enumerate() {
        if let Some((times, _)) = one(parts, i, set, &t_ms) {
            out.push((part.which, times));
        }
    }
    out
}

/// One of them by itself: the standing beside it lasts no longer than to its neighbours.
fn one(
    parts: &[Part],
    i: usize,
    known: Known,
    t_ms: &[[f64; 2]],
) -> Option<(Times, Option<Fitted>)> {
    let part = parts.get(i)?;
    let last = i.checked_sub(1).and_then(|k| t_ms.get(k));
    let next = t_ms.get(i + 1);
    let beside = [
        last.map_or(f64::NEG_INFINITY, |t| t[1]),
        next.map_or(f64::INFINITY, |t| t[0]),
    ];
    refine(&part.samples, part.range, known, beside)
}
