//! Profile fit to the knees' displacement, and to the hips where they come into the picture.
//!
//! The pelvis follows the [`profile`](super::super::profile); the knees run ahead of it by a power.
//! Keypoint errors are coloured noise: a Kalman filter of one state whitens the residuals, so that slow and
//! quick changes weigh as they should.

use super::super::profile::{COUNT, Limits, ProfilePoint, profile_at};
pub(super) use super::super::profile::{DOWN, PAUSE, Parameters, SHAPE, START, UP};
use crate::least_squares::{Normal, Problem, Search, huber, minimise};

/// Index of each parameter beside the profile's: the knees' levels before, at the bottom and after; the
/// hips' height in standing and how far they sink.
pub(super) const BEFORE: usize = 0;
pub(super) const BOTTOM: usize = 1;
pub(super) const AFTER: usize = 2;
pub(super) const HIPS: usize = 3;
pub(super) const SINK: usize = 9;

/// Huber's threshold, standard errors.
/// tuned: `reps`
const STRAIGHT: f64 = 2.5;
const SEARCH: Search = Search {
    steps: 25,
    tolerance: 1e-4,
};
/// tuned: `reps`
const LIMITS: Limits = Limits {
    stretch: 2.0,
    shortest_ms: SHORTEST_MS,
};
/// A way takes no less, ms.
/// tuned: `reps`
pub(super) const SHORTEST_MS: f64 = 150.0;
/// Coloured noise of a point beside the white one, SD, and its time constant, ms.
/// tuned: `reps`
const SLOW: f64 = 0.5;
const SLOW_MS: f64 = 600.0;

/// One sample: how far the knees are along their way, and the hips' height in the picture downward,
/// shank lengths; NaN where they were not seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct KneeSample {
    pub t_ms: f64,
    pub knees: f64,
    pub hips: f64,
}

/// Prior of the parameters, in the order of [`Parameters`].
#[derive(Clone, Copy, Debug)]
pub(super) struct KneePrior {
    pub mean: Parameters,
    /// Precision: one over the variance.
    pub precision: Parameters,
    /// Exponent of the knees' displacement as a function of the drop.
    pub exponent: f64,
    /// White noise of knees and hips, SD.
    pub noise: [f64; 2],
}

/// Best parameters, and their cost.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fitted {
    pub numbers: Parameters,
    pub cost: f64,
}

/// Fits `samples`.
pub(super) fn fit(samples: &[KneeSample], prior: &KneePrior) -> Option<Fitted> {
    let found = minimise(&mut KneeProfileFit { samples, prior }, prior.mean, SEARCH);
    let (numbers, cost) = (found.x, found.cost);
    let sound = numbers.iter().all(|x| x.is_finite());
    sound.then_some(Fitted { numbers, cost })
}

/// Profile of one repetition as a problem of least squares.
struct KneeProfileFit<'a> {
    samples: &'a [KneeSample],
    prior: &'a KneePrior,
}

impl Problem<COUNT> for KneeProfileFit<'_> {
    fn evaluate(&mut self, p: &Parameters, mut normal: Option<&mut Normal<COUNT>>) -> f64 {
        let off = self.prior.mean - *p;
        let mut cost = off.component_mul(&off).dot(&self.prior.precision);
        if let Some(normal) = &mut normal {
            for k in 0..COUNT {
                normal.prior(k, self.prior.precision[k], off[k]);
            }
        }
        let mut drifts = [ColouredNoise::default(), ColouredNoise::default()];
        for s in self.samples {
            let model = model(p, s.t_ms, self.prior.exponent);
            let both = [s.knees, s.hips].into_iter().zip(model);
            let both = both.zip(self.prior.noise).zip(&mut drifts);
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

    fn bound(&self, from: &Parameters, to: &mut Parameters) {
        LIMITS.bound(from, to);
    }
}

/// Whitens residuals: takes from each what the ones before it predict.
#[derive(Default)]
struct ColouredNoise {
    t_ms: Option<f64>,
    variance: f64,
    error: f64,
    slope: Parameters,
}

impl ColouredNoise {
    /// Errors and slopes in SDs of the quick error.
    fn next(&mut self, t_ms: f64, error: f64, slope: &Parameters) -> (f64, Parameters) {
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

/// Knees and hips at `t`, and their derivatives by the parameters.
fn model(p: &Parameters, t_ms: f64, exponent: f64) -> [(f64, Parameters); 2] {
    let ProfilePoint {
        up,
        fraction,
        slopes,
    } = profile_at(p, t_ms);
    let (ahead, steep) = if fraction > 1e-6 {
        let y = libm::exp(exponent * libm::log(fraction));
        (y, exponent * y / fraction)
    } else {
        (0.0, 0.0)
    };
    let stands = if up { AFTER } else { BEFORE };
    let direction = p[BOTTOM] - p[stands];
    let mut knees = slopes * (direction * steep);
    knees[BOTTOM] = ahead;
    knees[stands] = 1.0 - ahead;
    let mut hips = slopes * p[SINK];
    hips[HIPS] = 1.0;
    hips[SINK] = fraction;
    [
        (p[stands] + direction * ahead, knees),
        (p[HIPS] + p[SINK] * fraction, hips),
    ]
}

/// The part of the drop at `t`.
pub(super) fn fraction(p: &Parameters, t_ms: f64) -> f64 {
    profile_at(p, t_ms).fraction
}
