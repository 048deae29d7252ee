//! From a repetition's aspects to the probability that it is a squat.
//!
//! Each aspect of a squat is spread about its usual value. Something else differs from a squat in at least
//! one aspect, it is not known which, and there by so much more. So the odds for something else
//! are the mean, over the aspects, of how many times likelier the wide spread makes what was seen:
//! one that is plainly off is enough, and none is outvoted by the rest.

use super::aspects::{Aspect, Aspects};

/// Usual value of each aspect in squats, its spread, and how many times as wide something else is.
pub(super) struct Usual {
    pub mean: f64,
    pub sd: f64,
    pub wide: f64,
}

const fn usual(mean: f64, sd: f64, wide: f64) -> Usual {
    Usual { mean, sd, wide }
}

/// In the order of [`Aspect`].
const USUAL: [Usual; Aspect::COUNT] = [
    usual(0.05, 0.27, 5.0),
    usual(0.0, 3.6, 10.0),
    usual(0.03, 0.045, 8.0),
    usual(0.05, 0.10, 8.0),
    usual(0.25, 0.17, 5.0),
    usual(0.05, 0.055, 6.0),
    usual(-0.3, 0.2, 5.0),
    usual(0.004, 0.011, 20.0),
    usual(0.0, 0.02, 8.0),
    usual(-1.0, 0.5, 4.0),
    usual(-1.0, 0.36, 4.0),
];

/// Something else is filmed once for so many squats: what is given to this program is meant to be
/// a squat (common practice, no source).
const PRIOR: f64 = 3.0;
/// Degrees of freedom of both spreads: neither has a normal law's thin ends.
const FREEDOM: f64 = 8.0;

/// A repetition weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    /// Probability that it is a squat, 0 to 1.
    pub squat: f64,
    /// What speaks most against it.
    pub against: Aspect,
}

/// Weighs a repetition.
pub fn weigh(aspects: &Aspects) -> Weighed {
    let (mut odds, mut n) = (0.0, 0.0);
    let mut worst = (0.0, Aspect::Misfit);
    for ((&aspect, value), usual) in Aspect::ALL.iter().zip(aspects).zip(&USUAL) {
        let Some(value) = value else { continue };
        let z = (value - usual.mean) / usual.sd;
        let density = |z: f64| -(FREEDOM + 1.0) / 2.0 * libm::log1p(z * z / FREEDOM);
        let ratio = libm::exp(density(z / usual.wide) - density(z)) / usual.wide;
        odds += ratio;
        n += 1.0;
        if ratio > worst.0 {
            worst = (ratio, aspect);
        }
    }
    let odds = if n > 0.0 { odds / n } else { 1.0 };
    Weighed {
        squat: PRIOR / (PRIOR + odds),
        against: worst.1,
    }
}
