//! The course of one repetition, fitted to the knees' way and to the hips where they come into the
//! picture.
//!
//! The pelvis goes down, rests and comes up as in [`ease`](super::super::ease); the knees run ahead of
//! it by a power. Points' errors drift: each sample is compared with what the ones before it make
//! expected (a Kalman filter of one state), which weighs slow and quick changes as they deserve.

use super::super::ease::{COUNT, Eased, Limits, eased};
pub(super) use super::super::ease::{DOWN, Numbers, PAUSE, SHAPE, START, UP};
use crate::least_squares::{Normal, Problem, Search, huber, minimise};

/// Where each number is beside the course's: the knees' levels before, at the bottom and after; the
/// hips' height in standing and how far they sink.
pub(super) const BEFORE: usize = 0;
pub(super) const BOTTOM: usize = 1;
pub(super) const AFTER: usize = 2;
pub(super) const HIPS: usize = 3;
pub(super) const SINK: usize = 9;

/// Residuals beyond so many standard errors pull no harder.
const STRAIGHT: f64 = 2.5;
const SEARCH: Search = Search {
    steps: 25,
    tolerance: 1e-4,
};
const LIMITS: Limits = Limits {
    stretch: 2.0,
    shortest_ms: SHORTEST_MS,
};
/// A way takes no less, ms.
pub(super) const SHORTEST_MS: f64 = 150.0;
/// The slow part of a point's error beside the quick one, SD, and its time constant, ms.
const SLOW: f64 = 0.5;
const SLOW_MS: f64 = 600.0;

/// One sample: how far the knees are along their way, and the hips' height in the picture downward,
/// shank lengths; NaN where they were not seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    pub t_ms: f64,
    pub knees: f64,
    pub hips: f64,
}

/// What is known before the samples are seen, in the order of [`Numbers`].
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub mean: Numbers,
    /// One over the variance.
    pub worth: Numbers,
    /// The knees' way goes with the drop to this power.
    pub lead: f64,
    /// Quick errors of knees and hips, SD.
    pub noise: [f64; 2],
}

/// The numbers that fit best, and how badly they fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fitted {
    pub numbers: Numbers,
    pub cost: f64,
}

/// Fits `samples`.
pub(super) fn fit(samples: &[Seen], known: &Known) -> Option<Fitted> {
    let found = minimise(&mut Whole { samples, known }, known.mean, SEARCH);
    let (numbers, cost) = (found.x, found.cost);
    let sound = numbers.iter().all(|x| x.is_finite());
    sound.then_some(Fitted { numbers, cost })
}

/// The course of one repetition as a problem of least squares.
struct Whole<'a> {
    samples: &'a [Seen],
    known: &'a Known,
}

impl Problem<COUNT> for Whole<'_> {
    fn evaluate(&mut self, p: &Numbers, mut normal: Option<&mut Normal<COUNT>>) -> f64 {
        let off = self.known.mean - *p;
        let mut cost = off.component_mul(&off).dot(&self.known.worth);
        if let Some(normal) = &mut normal {
            for k in 0..COUNT {
                normal.prior(k, self.known.worth[k], off[k]);
            }
        }
        let mut drifts = [Drift::default(), Drift::default()];
        for s in self.samples {
            let model = model(p, s.t_ms, self.known.lead);
            let both = [s.knees, s.hips].into_iter().zip(model);
            let both = both.zip(self.known.noise).zip(&mut drifts);
            for (((seen, (value, slope)), noise), drift) in both {
                if !seen.is_finite() {
                    continue;
                }
                let (r, j) = drift.next(s.t_ms, (seen - value) / noise, &(slope / noise));
                let (loss, w) = huber(r, STRAIGHT);
                cost += loss;
                if let Some(normal) = &mut normal {
                    normal.observe(&j, r, w);
                }
            }
        }
        cost
    }

    fn bound(&self, from: &Numbers, to: &mut Numbers) {
        LIMITS.bound(from, to);
    }
}

/// Takes from each error what the ones before it make expected.
#[derive(Default)]
struct Drift {
    t_ms: Option<f64>,
    variance: f64,
    error: f64,
    slope: Numbers,
}

impl Drift {
    /// Errors and slopes in SDs of the quick error.
    fn next(&mut self, t_ms: f64, error: f64, slope: &Numbers) -> (f64, Numbers) {
        let keep = self.t_ms.map_or(0.0, |t| libm::exp((t - t_ms) / SLOW_MS));
        self.t_ms = Some(t_ms);
        self.variance = self.variance * keep * keep + SLOW * SLOW * (1.0 - keep * keep);
        let (e, j) = (error - keep * self.error, *slope - self.slope * keep);
        let all = self.variance + 1.0;
        let share = self.variance / all;
        self.error = keep * self.error + share * e;
        self.slope = self.slope * keep + j * share;
        self.variance *= 1.0 - share;
        let sd = all.sqrt();
        (e / sd, j / sd)
    }
}

/// Knees and hips at `t`, and their derivatives by the numbers.
fn model(p: &Numbers, t_ms: f64, lead: f64) -> [(f64, Numbers); 2] {
    let Eased { up, part, slopes } = eased(p, t_ms);
    let (ahead, steep) = if part > 1e-6 {
        let y = libm::exp(lead * libm::log(part));
        (y, lead * y / part)
    } else {
        (0.0, 0.0)
    };
    let stands = if up { AFTER } else { BEFORE };
    let way = p[BOTTOM] - p[stands];
    let mut knees = slopes * (way * steep);
    knees[BOTTOM] = ahead;
    knees[stands] = 1.0 - ahead;
    let mut hips = slopes * p[SINK];
    hips[HIPS] = 1.0;
    hips[SINK] = part;
    [
        (p[stands] + way * ahead, knees),
        (p[HIPS] + p[SINK] * part, hips),
    ]
}

/// The part of the drop at `t`.
pub(super) fn part(p: &Numbers, t_ms: f64) -> f64 {
    eased(p, t_ms).part
}
