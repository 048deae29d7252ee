//! Samples of one candidate with the standing on either side, and the first guess of its profile.

use super::candidates::Candidate;
use super::knee_profile::{
    AFTER, BEFORE, BOTTOM, DOWN, Fitted, HIPS, KneePrior, KneeSample, PAUSE, Parameters, SHAPE,
    SHORTEST_MS, SINK, START, UP, fit, fraction,
};
use super::trajectory::KneeTrajectory;
use crate::gather::Gather;

/// Standing before and after is used for so long, ms.
/// tuned: `reps`
const REST_MS: f64 = 800.0;
/// Standing ends where the curve goes up again by this share of the height.
/// tuned: `reps`
const TURN: f64 = 0.05;
/// ... and lies below this one.
/// tuned: `reps`
const FOOT: f64 = 0.15;
/// The shape's spread from one repetition to the next.
/// tuned: `reps`
const SHAPE_SD: f64 = 0.06;
/// Levels of standing, and of the bottom, may be off by this, SD; parts of the deepest.
/// tuned: `reps`
const STANDING_SD: f64 = 0.06;
const BOTTOM_SD: f64 = 0.1;
/// Hips seen in so many samples of a repetition tell its profile.
/// tuned: `reps`
const TELLING: usize = 4;

/// A repetition with its samples.
pub(super) struct CandidateFit {
    samples: Vec<KneeSample>,
    guess: Parameters,
    /// Times that lie within both ways for certain, ms.
    inside: [f64; 2],
}

impl CandidateFit {
    /// Cuts out the samples of a candidate with its standing, and guesses its profile from where it
    /// passes some heights.
    pub fn new(trajectory: &KneeTrajectory, candidate: &Candidate) -> Self {
        let steady = trajectory
            .steady
            .iter()
            .map(|m| trajectory.project(m, candidate));
        let y = &steady.gather();
        let (top, bases) = (y[candidate.peak], [y[candidate.from], y[candidate.to]]);
        let height = top - bases[0].max(bases[1]);
        let interval = trajectory
            .interval(candidate)
            .unwrap_or((candidate.from, candidate.to + 1));
        let t = |i: usize| trajectory.time(i);
        // Where a bounce or a failed attempt begins and ends.
        let (first, last) = if candidate.back > 0.0 {
            let high = |i: &usize| y[*i] > top - 0.5 * height;
            let inside = || (candidate.from..=candidate.to).filter(high);
            let back = 0.7 * candidate.back;
            let turn = |found: Option<usize>| found.unwrap_or(candidate.peak);
            (
                turn(peak(y, inside(), back)),
                turn(peak(y, inside().rev(), back)),
            )
        } else {
            (candidate.peak, candidate.peak)
        };
        let pass = |base: f64, share: f64| base + share * (top - base);
        let below = |i: &usize, level: f64| y[*i] < level;
        let down = |share: f64| {
            let level = pass(bases[0], share);
            (candidate.from..first).rev().find(|i| below(i, level))
        };
        let up = |share: f64| {
            let level = pass(bases[1], share);
            (last..candidate.to).find(|i| below(i, level))
        };
        let down = |share| down(share).unwrap_or(candidate.from);
        let up = |share| up(share).unwrap_or(candidate.to);
        let (a, b) = (t(down(0.3)), t(down(0.75)));
        let (c, d) = (t(up(0.75)), t(up(0.3)));
        let lengths = [b - a, d - c].map(|l| (l / 0.3).max(300.0));
        let start = a - 0.3 * lengths[0];
        let (mut arrives, mut leaves) = (b + 0.4 * lengths[0], c - 0.4 * lengths[1]);
        if arrives > leaves {
            let centre = (arrives + leaves) / 2.0;
            (arrives, leaves) = (centre, centre);
        }
        let arrives = arrives.max(start + SHORTEST_MS);
        let leaves = leaves.max(arrives);
        let end = (d + 0.3 * lengths[1]).max(leaves + SHORTEST_MS);
        let feet = [down(FOOT), up(FOOT)];
        let from = standing_limit(
            (&trajectory.t_ms, y),
            (interval.0..=feet[0]).rev(),
            height,
            start - t(feet[0]),
        );
        let to = standing_limit(
            (&trajectory.t_ms, y),
            feet[1]..interval.1,
            height,
            end - t(feet[1]),
        );
        let (from, to) = (from.unwrap_or(feet[0]), to.unwrap_or(feet[1]));
        let mut samples = Vec::new();
        for k in from..=to {
            if k <= first || k >= last {
                samples.push(KneeSample {
                    t_ms: t(k),
                    knees: trajectory.project(&trajectory.moved[k], candidate),
                    hips: trajectory.hips[k],
                });
            }
        }
        let mut guess = Parameters::from([
            0.0,
            top,
            0.0,
            0.0,
            start,
            arrives - start,
            leaves - arrives,
            end - leaves,
            0.0,
            0.0,
        ]);
        init_hips(&mut samples, &mut guess);
        Self {
            samples,
            guess,
            inside: [b, c],
        }
    }

    /// The numbers when they lead through what was seen, and no farther; else what was thought first.
    pub fn or_guess(&self, numbers: Option<Parameters>) -> Parameters {
        self.bounded(numbers.filter(|p| self.holds(p)).unwrap_or(self.guess))
    }

    /// The profile leads through what was seen.
    fn holds(&self, p: &Parameters) -> bool {
        let [down, up] = self.inside;
        let arrives = p[START] + p[DOWN];
        let leaves = arrives + p[PAUSE];
        p[START] < down
            && down < arrives + 0.2 * p[DOWN]
            && leaves - 0.2 * p[UP] < up
            && up < leaves + p[UP]
    }

    /// No farther than what was seen of the standing on either side.
    fn bounded(&self, mut p: Parameters) -> Parameters {
        let edge = |s: Option<&KneeSample>| s.map(|s| s.t_ms);
        let late = edge(self.samples.first()).map_or(0.0, |t| (t - p[START]).max(0.0));
        let late = late.min(p[DOWN]);
        (p[START], p[DOWN]) = (p[START] + late, p[DOWN] - late);
        let end = p[START] + p[DOWN] + p[PAUSE] + p[UP];
        let early = edge(self.samples.last()).map_or(0.0, |t| (end - t).max(0.0));
        p[UP] -= early.min(p[UP]);
        p
    }

    /// Fits the profile with this power of the knees' and about this shape.
    pub fn fit(&self, trajectory: &KneeTrajectory, exponent: f64, shape: f64) -> Option<Fitted> {
        let mut mean = self.guess;
        mean[SHAPE] = shape;
        let mut precision = Parameters::zeros();
        for (k, sd) in [
            (BEFORE, STANDING_SD),
            (AFTER, STANDING_SD),
            (BOTTOM, BOTTOM_SD),
            (SHAPE, SHAPE_SD),
            (HIPS, 3.0),
            (SINK, 3.0),
        ] {
            precision[k] = 1.0 / (sd * sd);
        }
        let prior = KneePrior {
            mean,
            precision,
            exponent,
            noise: [trajectory.noise, trajectory.hip_noise],
        };
        fit(&self.samples, &prior)
    }
}

/// The first maximum that the curve goes back from.
fn peak(y: &[f64], order: impl Iterator<Item = usize>, back: f64) -> Option<usize> {
    let mut best = None;
    for i in order {
        let high = best.map_or(f64::NEG_INFINITY, |k: usize| y[k]);
        if y[i] > high {
            best = Some(i);
        } else if y[i] < high - back {
            break;
        }
    }
    best
}

/// Walks from the foot of a way into the standing beyond it, for [`REST_MS`] more than `ms`.
fn standing_limit(
    (t_ms, y): (&[f64], &[f64]),
    order: impl Iterator<Item = usize>,
    height: f64,
    ms: f64,
) -> Option<usize> {
    let (mut low, mut last, mut origin) = (None::<(usize, f64)>, None, None);
    for i in order {
        let (t, y) = (t_ms[i], y[i]);
        let from = *origin.get_or_insert(t);
        if (t - from).abs() > REST_MS + ms.abs() {
            break;
        }
        if low.is_some_and(|l| y > l.1 + TURN * height) {
            return low.map(|l| l.0);
        }
        if low.is_none_or(|l| y < l.1) {
            low = Some((i, y));
        }
        last = Some(i);
    }
    last
}

/// Finds the hips' height in standing and how far they sink, about; takes the hips out of the samples
/// when they don't tell.
fn init_hips(samples: &mut [KneeSample], guess: &mut Parameters) {
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for s in samples.iter().filter(|s| s.hips.is_finite()) {
        let u = fraction(guess, s.t_ms);
        n += 1.0;
        x += u;
        y += s.hips;
        xx += u * u;
        xy += u * s.hips;
    }
    let spread = xx - x * x / f64::max(n, 1.0);
    if n < TELLING as f64 || spread < 0.02 * n {
        samples.iter_mut().for_each(|s| s.hips = f64::NAN);
        return;
    }
    guess[SINK] = ((xy - x * y / n) / spread).max(0.1);
    guess[HIPS] = (y - guess[SINK] * x) / n;
}
