//! Movement profile of one repetition: a smooth movement down, rest at the bottom, a smooth movement up.
//!
//! `published:` the shape lies between the minimum-jerk polynomial 10 u^3 - 15 u^4 + 6 u^5 (Flash & Hogan
//! 1985, J Neurosci 5(7):1688-1703; formula from memory) and a half cosine.

use crate::angle::{cos, sin};
use crate::matrix::Vector;
use crate::order::within;
use std::f64::consts::{FRAC_PI_2, PI};

/// Number of parameters of a fit.
pub(super) const COUNT: usize = 10;
pub(super) type Parameters = Vector<COUNT>;

/// Indices of the profile's parameters: start, time down, at the bottom and up, ms; how far the shape
/// is from minimum jerk (0) toward a cosine (1).
pub(super) const START: usize = 4;
pub(super) const DOWN: usize = 5;
pub(super) const PAUSE: usize = 6;
pub(super) const UP: usize = 7;
pub(super) const SHAPE: usize = 8;

/// Profile at an instant.
pub(super) struct ProfilePoint {
    /// On the way up, or about to be.
    pub up: bool,
    /// Part of the drop that is done: 0 in standing, 1 at the bottom.
    pub fraction: f64,
    /// Its derivatives by the parameters.
    pub slopes: Parameters,
}

/// Profile at `t_ms`.
pub(super) fn profile_at(p: &Parameters, t_ms: f64) -> ProfilePoint {
    let leaves = p[START] + p[DOWN] + p[PAUSE];
    let up = t_ms > leaves - 0.5 * p[PAUSE];
    let shape = p[SHAPE];
    let (since, length) = if up {
        let length = p[UP].max(1.0);
        (leaves + length - t_ms, length)
    } else {
        (t_ms - p[START], p[DOWN].max(1.0))
    };
    let u = (since / length).clamp(0.0, 1.0);
    let minimum_jerk = u * u * u * (10.0 + u * (6.0 * u - 15.0));
    let cosine = (1.0 - cos(PI * u)) / 2.0;
    let steep = 30.0 * (u * (1.0 - u)).powi(2);
    let steep = (steep + shape * (FRAC_PI_2 * sin(PI * u) - steep)) / length;
    let mut slopes = Parameters::zeros();
    slopes[SHAPE] = cosine - minimum_jerk;
    if up {
        for k in [START, DOWN, PAUSE] {
            slopes[k] = steep;
        }
        slopes[UP] = steep * (1.0 - u);
    } else {
        slopes[START] = -steep;
        slopes[DOWN] = -steep * u;
    }
    ProfilePoint {
        up,
        fraction: minimum_jerk + shape * (cosine - minimum_jerk),
        slopes,
    }
}

/// Bounds of the parameters.
pub(super) struct Limits {
    /// Neither way gets longer or shorter than by this factor in one step, nor shorter than this, ms.
    pub stretch: f64,
    pub shortest_ms: f64,
}

impl Limits {
    /// Keeps a step within them.
    pub fn bound(&self, from: &Parameters, to: &mut Parameters) {
        for k in [DOWN, UP] {
            let shortest = (from[k] / self.stretch).max(self.shortest_ms);
            to[k] = within(to[k], shortest, self.stretch * from[k]);
        }
        to[PAUSE] = to[PAUSE].max(0.0);
        to[SHAPE] = to[SHAPE].clamp(-0.4, 1.4);
    }
}
