//! Where a smooth movement leaves rest, by fitting the shape of one to the samples of its ramp.
//!
//! The shape lies between the minimum-jerk polynomial 10 u^3 - 15 u^4 + 6 u^5 (Flash & Hogan 1985,
//! J Neurosci 5(7):1688-1703; formula from memory) and a half cosine.

use super::refine::Sample;
use crate::order::within;
use nalgebra::{Matrix4, Vector4};
use std::f64::consts::{FRAC_PI_2, PI};

/// Samples of one ramp with some rest at its foot.
pub(crate) struct Ramp<'a> {
    /// In order of time.
    pub samples: &'a [Sample],
    /// Level the ramp leads to; with `flip`, its height.
    pub height: f64,
    /// Level of rest, about; with `flip`, of the distance from the bottom.
    pub base: f64,
    /// The rest is the bottom: read how far the curve has risen above it.
    pub flip: bool,
    /// The rest comes after the ramp: time runs backwards.
    pub back: bool,
}

/// How far the shape is from minimum jerk (0) toward a cosine (1), before any sample is seen.
const SHAPE: (f64, f64) = (0.1, 0.3);
/// The rest's level may be off by this share of the height, SD.
const BASE_SD: f64 = 0.03;

/// Time of the edge, ms; `None` when the samples do not tell.
pub(crate) fn fit(ramp: &Ramp) -> Option<f64> {
    let way = if ramp.back { -1.0 } else { 1.0 };
    let origin = ramp.samples.first()?.t_ms;
    let top = if ramp.flip {
        let max = |m: f64, s: &Sample| m.max(s.drop);
        ramp.samples.iter().fold(f64::NEG_INFINITY, max)
    } else {
        0.0
    };
    let points = || {
        ramp.samples.iter().map(|s| {
            let y = if ramp.flip { top - s.drop } else { s.drop };
            (way * (s.t_ms - origin), y)
        })
    };
    let rise = ramp.height - ramp.base;
    if ramp.samples.len() < 4 || rise.is_nan() || rise <= 0.0 {
        return None;
    }
    // First guess from the crossings of two levels.
    let cross = |share: f64| {
        let level = ramp.base + share * rise;
        let mut found: Option<f64> = None;
        let mut last: Option<(f64, f64)> = None;
        for (t, y) in points() {
            if let Some((s, x)) = last
                && (x - level) * (y - level) <= 0.0
                && x != y
            {
                let at = s + (level - x) / (y - x) * (t - s);
                // The crossing farthest into the ramp.
                found = Some(found.map_or(at, |f| f.max(at)));
            }
            last = Some((t, y));
        }
        found
    };
    let (low, high) = (cross(0.12)?, cross(0.5)?);
    let span = high - low;
    if span.is_nan() || span <= 0.0 {
        return None;
    }
    // Minimum jerk passes 0.12 at u = 0.266 and 0.5 at u = 0.5.
    let mut p = Vector4::new(ramp.base, high - span * 2.14, span * 4.27, SHAPE.0);
    let sigma = 0.006 + 0.012 * rise;
    let weight = 1.0 / (sigma * sigma);
    let cost = |p: &Vector4<f64>| {
        let mut sum =
            ((p[0] - ramp.base) / (BASE_SD * rise)).powi(2) + ((p[3] - SHAPE.0) / SHAPE.1).powi(2);
        for (t, y) in points() {
            let r = (y - model(p, ramp.height, t).0) / sigma;
            sum += robust(r).0;
        }
        sum
    };
    let mut damping = 1e-3;
    let mut now = cost(&p);
    for _ in 0..20 {
        let mut a = Matrix4::zeros();
        let mut g = Vector4::zeros();
        for (t, y) in points() {
            let (m, j) = model(&p, ramp.height, t);
            let w = weight * robust((y - m) / sigma).1;
            a += w * j * j.transpose();
            g += w * (y - m) * j;
        }
        let (wb, ws) = ((BASE_SD * rise).powi(-2), SHAPE.1.powi(-2));
        a[(0, 0)] += wb;
        g[0] += wb * (ramp.base - p[0]);
        a[(3, 3)] += ws;
        g[3] += ws * (SHAPE.0 - p[3]);
        for k in 0..4 {
            a[(k, k)] *= 1.0 + damping;
            a[(k, k)] += 1e-12;
        }
        let step = a.cholesky()?.solve(&g);
        let mut next = p + step;
        next[2] = within(next[2], 0.3 * p[2], 3.0 * p[2]);
        next[3] = next[3].clamp(-0.4, 1.3);
        let then = cost(&next);
        if then < now {
            let small = now - then < 1e-4 * now;
            (p, now) = (next, then);
            damping = (damping * 0.3).max(1e-9);
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
    // The edge lies before the lower crossing, and not absurdly long before.
    let edge = within(p[1], low - 2.5 * span, low);
    edge.is_finite().then_some(origin + way * edge)
}

/// Value of the shape at `t` and its derivatives by base, start, length and shape.
fn model(p: &Vector4<f64>, height: f64, t: f64) -> (f64, Vector4<f64>) {
    let length = p[2].max(1.0);
    let u = ((t - p[1]) / length).clamp(0.0, 1.0);
    let jerk = u * u * u * (10.0 + u * (6.0 * u - 15.0));
    let cosine = (1.0 - (PI * u).cos()) / 2.0;
    let shape = jerk + p[3] * (cosine - jerk);
    let slope = 30.0 * (u * (1.0 - u)).powi(2);
    let slope = slope + p[3] * (FRAC_PI_2 * (PI * u).sin() - slope);
    let rise = height - p[0];
    let value = p[0] + rise * shape;
    let inside = if u > 0.0 && u < 1.0 { 1.0 } else { 0.0 };
    let d = Vector4::new(
        1.0 - shape,
        -rise * slope / length * inside,
        -rise * slope * u / length * inside,
        rise * (cosine - jerk),
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
