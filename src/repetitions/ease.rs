//! The course of one repetition, and how numbers of a model with it are found: a smooth movement
//! down, rest at the bottom, and a smooth movement up.
//!
//! The movements' shape lies between the minimum-jerk polynomial 10 u^3 - 15 u^4 + 6 u^5 (Flash &
//! Hogan 1985, J Neurosci 5(7):1688-1703; formula from memory) and a half cosine.

use crate::angle::{cos, sin};
use crate::order::within;
use nalgebra::{SMatrix, SVector};
use std::f64::consts::{FRAC_PI_2, PI};

/// How many numbers a fit finds; as many as that of the feet's pictures, whose code it shares.
pub(super) const COUNT: usize = 10;
pub(super) type Numbers = SVector<f64, COUNT>;
pub(super) type Square = SMatrix<f64, COUNT, COUNT>;

/// Where the course's numbers are: start, time down, at the bottom and up, ms; how far the shape is
/// from minimum jerk (0) toward a cosine (1).
pub(super) const START: usize = 4;
pub(super) const DOWN: usize = 5;
pub(super) const PAUSE: usize = 6;
pub(super) const UP: usize = 7;
pub(super) const SHAPE: usize = 8;

/// The course at an instant.
pub(super) struct Eased {
    /// On the way up, or about to be.
    pub up: bool,
    /// Part of the drop that is done: 0 in standing, 1 at the bottom.
    pub part: f64,
    /// Its derivatives by the course's numbers.
    pub slopes: Numbers,
}

/// The course at `t_ms`.
pub(super) fn eased(p: &Numbers, t_ms: f64) -> Eased {
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
    let jerk = u * u * u * (10.0 + u * (6.0 * u - 15.0));
    let cosine = (1.0 - cos(PI * u)) / 2.0;
    let steep = 30.0 * (u * (1.0 - u)).powi(2);
    let steep = (steep + shape * (FRAC_PI_2 * sin(PI * u) - steep)) / length;
    let mut slopes = Numbers::zeros();
    slopes[SHAPE] = cosine - jerk;
    if up {
        for k in [START, DOWN, PAUSE] {
            slopes[k] = steep;
        }
        slopes[UP] = steep * (1.0 - u);
    } else {
        slopes[START] = -steep;
        slopes[DOWN] = -steep * u;
    }
    Eased {
        up,
        part: jerk + shape * (cosine - jerk),
        slopes,
    }
}

/// Huber's loss of a residual in standard errors, straight beyond `k`, and its weight.
pub(super) fn robust(r: f64, k: f64) -> (f64, f64) {
    let a = r.abs();
    if a <= k {
        (r * r, 1.0)
    } else {
        (2.0 * k * a - k * k, k / a)
    }
}

/// How numbers are looked for.
pub(super) struct Search {
    /// At most so many steps.
    pub steps: usize,
    /// Done when the cost shrinks by no more than this share.
    pub small: f64,
    /// Neither way gets longer or shorter than by this in one step, nor shorter than this, ms.
    pub stretch: f64,
    pub shortest_ms: f64,
}

/// Lowers a cost from `guess` by damped least squares (Levenberg 1944, Marquardt 1963); `normal`
/// gives the cost and the normal equations. Gives them back where it ends.
pub(super) fn solve(
    guess: Numbers,
    search: &Search,
    normal: &dyn Fn(&Numbers) -> (f64, Square, Numbers),
) -> Option<(Numbers, f64, Square)> {
    let mut p = guess;
    let mut damping = 1e-3;
    let (mut now, mut a, mut g) = normal(&p);
    for _ in 0..search.steps {
        let mut damped = a;
        for k in 0..COUNT {
            damped[(k, k)] = damped[(k, k)] * (1.0 + damping) + 1e-12;
        }
        let mut next = p + damped.cholesky()?.solve(&g);
        for k in [DOWN, UP] {
            let shortest = (p[k] / search.stretch).max(search.shortest_ms);
            next[k] = within(next[k], shortest, search.stretch * p[k]);
        }
        next[PAUSE] = next[PAUSE].max(0.0);
        next[SHAPE] = next[SHAPE].clamp(-0.4, 1.4);
        let (cost, b, h) = normal(&next);
        if cost < now {
            let small = now - cost < search.small * now;
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
    p.iter().all(|x| x.is_finite()).then_some((p, now, a))
}
