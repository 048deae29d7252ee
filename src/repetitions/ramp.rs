//! Where a smooth movement leaves rest and where it arrives, by fitting the shape of one to all the
//! samples of a ramp.
//!
//! The shape lies between the minimum-jerk polynomial 10 u^3 - 15 u^4 + 6 u^5 (Flash & Hogan 1985,
//! J Neurosci 5(7):1688-1703; formula from memory) and a half cosine.

use super::refine::Sample;
use crate::angle::{cos, sin};
use crate::order::within;
use nalgebra::{SMatrix, SVector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Numbers of the fit: level before, start, length, shape, level after.
type Numbers = SVector<f64, 5>;
type Square = SMatrix<f64, 5, 5>;

/// Samples of one ramp with some of the rest on either side.
pub(crate) struct Ramp<'a> {
    /// In order of time.
    pub samples: &'a [Sample],
    /// Levels before and after, about.
    pub levels: [f64; 2],
    /// How far the shape is from minimum jerk (0) toward a cosine (1), before any sample is seen:
    /// mean and SD.
    pub shape: (f64, f64),
}

/// What the samples tell.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    /// Leaves the level before, ms.
    pub from_ms: f64,
    /// Arrives at the level after, ms.
    pub to_ms: f64,
    /// The shape, and its SD.
    pub shape: (f64, f64),
}

/// The levels may be off by this share of the way between them, SD.
const LEVEL_SD: f64 = 0.03;

/// Finds where the ramp begins and ends; `None` when the samples do not tell.
pub(crate) fn fit(ramp: &Ramp) -> Option<Fitted> {
    let origin = ramp.samples.first()?.t_ms;
    let points = || ramp.samples.iter().map(|s| (s.t_ms - origin, s.drop));
    let [before, after] = ramp.levels;
    let way = after - before;
    if ramp.samples.len() < 4 || way.is_nan() || way.abs() < 1e-3 {
        return None;
    }
    let (low, high) = (
        crossing(points(), before + 0.25 * way)?,
        crossing(points(), before + 0.75 * way)?,
    );
    let span = high - low;
    if span.is_nan() || span <= 0.0 {
        return None;
    }
    // A shape halfway passes 0.25 at u = 0.347 and 0.75 at u = 0.653.
    let length = span / 0.306;
    let guess = Numbers::new(before, low - 0.347 * length, length, ramp.shape.0, after);
    let sigma = 0.003 + 0.003 * way.abs();
    let level = (LEVEL_SD * way).powi(-2);
    let prior = Numbers::new(level, 0.0, 0.0, ramp.shape.1.powi(-2), level);
    let cost = |p: &Numbers| {
        let off = p - guess;
        points().fold(off.component_mul(&off).dot(&prior), |sum, (t, y)| {
            sum + robust((y - model(p, t).0) / sigma).0
        })
    };
    let normal = |p: &Numbers| {
        let mut a = Square::from_diagonal(&prior);
        let mut g = prior.component_mul(&(guess - p));
        for (t, y) in points() {
            let (m, j) = model(p, t);
            let w = robust((y - m) / sigma).1 / (sigma * sigma);
            a += w * j * j.transpose();
            g += w * (y - m) * j;
        }
        (a, g)
    };
    let mut p = guess;
    let mut damping = 1e-3;
    let mut now = cost(&p);
    for _ in 0..40 {
        let (mut a, g) = normal(&p);
        for k in 0..5 {
            a[(k, k)] = a[(k, k)] * (1.0 + damping) + 1e-12;
        }
        let mut next = p + a.cholesky()?.solve(&g);
        next[2] = within(next[2], 0.4 * p[2], 2.5 * p[2]);
        next[3] = next[3].clamp(-0.4, 1.4);
        let then = cost(&next);
        if then < now {
            let small = now - then < 1e-5 * now;
            (p, now) = (next, then);
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
    let (a, _) = normal(&p);
    let sd = a
        .cholesky()
        .map_or(ramp.shape.1, |c| c.inverse()[(3, 3)].max(0.0).sqrt());
    // Not absurdly far beyond the crossings.
    let from = within(p[1], low - 1.6 * length, low);
    let to = within(p[1] + p[2], high, high + 1.6 * length);
    (from.is_finite() && to.is_finite()).then_some(Fitted {
        from_ms: origin + from,
        to_ms: origin + to,
        shape: (p[3], sd),
    })
}

/// When the samples pass `level` for the last time before they stay beyond it.
fn crossing(points: impl Iterator<Item = (f64, f64)>, level: f64) -> Option<f64> {
    let mut found = None;
    let mut last: Option<(f64, f64)> = None;
    for (t, y) in points {
        if let Some((s, x)) = last
            && (x - level) * (y - level) <= 0.0
            && x != y
        {
            found = Some(s + (level - x) / (y - x) * (t - s));
        }
        last = Some((t, y));
    }
    found
}

/// Value of the shape at `t` and its derivatives by the numbers.
fn model(p: &Numbers, t: f64) -> (f64, Numbers) {
    let length = p[2].max(1.0);
    let u = ((t - p[1]) / length).clamp(0.0, 1.0);
    let jerk = u * u * u * (10.0 + u * (6.0 * u - 15.0));
    let cosine = (1.0 - cos(PI * u)) / 2.0;
    let shape = jerk + p[3] * (cosine - jerk);
    let slope = 30.0 * (u * (1.0 - u)).powi(2);
    let slope = slope + p[3] * (FRAC_PI_2 * sin(PI * u) - slope);
    let way = p[4] - p[0];
    let value = p[0] + way * shape;
    let d = Numbers::new(
        1.0 - shape,
        -way * slope / length,
        -way * slope * u / length,
        way * (cosine - jerk),
        shape,
    );
    (value, d)
}

/// Huber's loss of a residual in standard errors, and its weight.
fn robust(r: f64) -> (f64, f64) {
    const K: f64 = 2.0;
    let a = r.abs();
    if a <= K {
        (r * r, 1.0)
    } else {
        (2.0 * K * a - K * K, K / a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact samples of either shape give back where they leave and arrive, up and down.
    #[test]
    fn finds_the_ends_of_both_shapes() {
        for (mix, name) in [(0.0, "minimum jerk"), (1.0, "cosine")] {
            for levels in [[0.0, 0.5], [0.5, 0.0]] {
                let p = Numbers::new(levels[0], 400.0, 1500.0, mix, levels[1]);
                let samples: Vec<Sample> = (0..70)
                    .map(|i| f64::from(i) * 1e3 / 30.0)
                    .map(|t_ms| Sample {
                        t_ms,
                        drop: model(&p, t_ms).0,
                    })
                    .collect();
                let ramp = Ramp {
                    samples: &samples,
                    levels,
                    shape: (0.35, 0.7),
                };
                let found = fit(&ramp).unwrap();
                let off = [found.from_ms - 400.0, found.to_ms - 1900.0];
                assert!(off.iter().all(|e| e.abs() < 40.0), "{name}: {off:?}");
            }
        }
    }

    #[test]
    fn tells_nothing_without_a_ramp() {
        let flat: Vec<Sample> = (0..30)
            .map(|i| Sample {
                t_ms: f64::from(i),
                drop: 0.2,
            })
            .collect();
        let ramp = Ramp {
            samples: &flat,
            levels: [0.0, 0.5],
            shape: (0.35, 0.7),
        };
        assert!(fit(&ramp).is_none());
    }
}
