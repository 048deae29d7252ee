//! The course of one repetition, fitted to the knees' way and to the hips where they come into the
//! picture.
//!
//! The pelvis goes down, rests and comes up as in [`ramp`](super::super::ramp); the knees run ahead of
//! it by a power. Points' errors drift: each sample is compared with what the ones before it make
//! expected (a Kalman filter of one state), which weighs slow and quick changes as they deserve.

use crate::angle::{cos, sin};
use crate::order::within;
use nalgebra::{SMatrix, SVector};
use std::f64::consts::{FRAC_PI_2, PI};

/// How many numbers the fit finds; as many as those of the other fits, whose code it shares.
const COUNT: usize = 10;
pub(super) type Numbers = SVector<f64, COUNT>;
type Square = SMatrix<f64, COUNT, COUNT>;

/// Where each number is: the knees' levels before, at the bottom and after; start, time down, at the
/// bottom and up, ms; how far the shape is from minimum jerk (0) toward a cosine (1); the hips'
/// height in standing and how far they sink.
pub(super) const BEFORE: usize = 0;
pub(super) const BOTTOM: usize = 1;
pub(super) const AFTER: usize = 2;
pub(super) const START: usize = 3;
pub(super) const DOWN: usize = 4;
pub(super) const PAUSE: usize = 5;
pub(super) const UP: usize = 6;
pub(super) const SHAPE: usize = 7;
pub(super) const HIPS: usize = 8;
pub(super) const SINK: usize = 9;

/// A way takes no less, ms.
pub(super) const SHORTEST_MS: f64 = 150.0;
/// The slow part of a point's error beside the quick one, SD, and its time constant, ms.
const SLOW: f64 = 0.9;
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
    let mut p = known.mean;
    let mut damping = 1e-3;
    let (mut now, mut a, mut g) = normal(samples, known, &p);
    for _ in 0..25 {
        let mut damped = a;
        for k in 0..COUNT {
            damped[(k, k)] = damped[(k, k)] * (1.0 + damping) + 1e-12;
        }
        let mut next = p + damped.cholesky()?.solve(&g);
        for k in [DOWN, UP] {
            next[k] = within(next[k], (0.5 * p[k]).max(SHORTEST_MS), 2.0 * p[k]);
        }
        next[PAUSE] = next[PAUSE].max(0.0);
        next[SHAPE] = next[SHAPE].clamp(-0.4, 1.4);
        let (cost, b, h) = normal(samples, known, &next);
        if cost < now {
            let small = now - cost < 1e-4 * now;
            (p, now, a, g) = (next, cost, b, h);
            damping = (damping * 0.3_f64).max(1e-9);
            if small {
                break;
            }
        } else {
            damping *= 8.0;
            if damping > 1e6 {
                break;
            }
        }
    }
    p.iter().all(|x| x.is_finite()).then_some(Fitted {
        numbers: p,
        cost: now,
    })
}

/// The cost, and the normal equations.
fn normal(samples: &[Seen], known: &Known, p: &Numbers) -> (f64, Square, Numbers) {
    let off = known.mean - p;
    let mut cost = off.component_mul(&off).dot(&known.worth);
    let mut a = Square::from_diagonal(&known.worth);
    let mut g = known.worth.component_mul(&off);
    let mut drifts = [Drift::default(), Drift::default()];
    for s in samples {
        let model = model(p, s.t_ms, known.lead);
        let both = [s.knees, s.hips].into_iter().zip(model).zip(known.noise);
        for (((seen, (value, slope)), noise), drift) in both.zip(&mut drifts) {
            if !seen.is_finite() {
                continue;
            }
            let (r, j) = drift.next(s.t_ms, (seen - value) / noise, &(slope / noise));
            let (loss, w) = robust(r);
            cost += loss;
            a += w * j * j.transpose();
            g += w * r * j;
        }
    }
    (cost, a, g)
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
        let (e, j) = (error - keep * self.error, slope - keep * self.slope);
        let all = self.variance + 1.0;
        let share = self.variance / all;
        self.error = keep * self.error + share * e;
        self.slope = keep * self.slope + share * j;
        self.variance *= 1.0 - share;
        let sd = all.sqrt();
        (e / sd, j / sd)
    }
}

/// Knees and hips at `t`, and their derivatives by the numbers.
fn model(p: &Numbers, t_ms: f64, lead: f64) -> [(f64, Numbers); 2] {
    let leaves = p[START] + p[DOWN] + p[PAUSE];
    let up = t_ms > leaves - 0.5 * p[PAUSE];
    let (v, length) = if up {
        ((leaves + p[UP] - t_ms) / p[UP], p[UP])
    } else {
        ((t_ms - p[START]) / p[DOWN], p[DOWN])
    };
    let v = v.clamp(0.0, 1.0);
    let jerk = v * v * v * (10.0 + v * (6.0 * v - 15.0));
    let cosine = (1.0 - cos(PI * v)) / 2.0;
    let part = jerk + p[SHAPE] * (cosine - jerk);
    let slope = 30.0 * (v * (1.0 - v)).powi(2);
    let slope = slope + p[SHAPE] * (FRAC_PI_2 * sin(PI * v) - slope);
    // How the part of the drop changes with the numbers.
    let mut d = Numbers::zeros();
    d[SHAPE] = cosine - jerk;
    if up {
        for k in [START, DOWN, PAUSE] {
            d[k] = slope / length;
        }
        d[UP] = slope * (1.0 - v) / length;
    } else {
        d[START] = -slope / length;
        d[DOWN] = -slope * v / length;
    }
    let (ahead, steep) = if part > 1e-6 {
        let y = libm::exp(lead * libm::log(part));
        (y, lead * y / part)
    } else {
        (0.0, 0.0)
    };
    let stands = if up { AFTER } else { BEFORE };
    let way = p[BOTTOM] - p[stands];
    let mut knees = d * (way * steep);
    knees[BOTTOM] = ahead;
    knees[stands] = 1.0 - ahead;
    let mut hips = d * p[SINK];
    hips[HIPS] = 1.0;
    hips[SINK] = part;
    [
        (p[stands] + way * ahead, knees),
        (p[HIPS] + p[SINK] * part, hips),
    ]
}

/// The part of the drop at `t`.
pub(super) fn part(p: &Numbers, t_ms: f64) -> f64 {
    model(p, t_ms, 1.0)[1].1[SINK]
}

/// Huber's loss of a residual in standard errors, and its weight.
fn robust(r: f64) -> (f64, f64) {
    const K: f64 = 2.5;
    let a = r.abs();
    if a <= K {
        (r * r, 1.0)
    } else {
        (2.0 * K * a - K * K, K / a)
    }
}
