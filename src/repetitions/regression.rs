//! Regression of the hips' drop on the drop of another part of the body.

use crate::order::within;

/// `hips = a * other + b * other^2`, learned by least squares with a forgetful memory.
///
/// The trunk may lean early or late in the descent, so little is known of the curve's course
/// beforehand; how far hips and shoulders have come at the bottom of a full squat is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Regression {
    full: f64,
    /// Largest drop of the other part that was seen with the hips.
    seen: f64,
    /// Sums of `x^2, x^3, x^4` and of `x * hips, x^2 * hips`.
    square: [f64; 3],
    cross: [f64; 2],
    fit: [f64; 2],
}

/// Drop of the other part in a full squat.
/// tuned: `reps`
const FULL: f64 = 0.66;
/// What is known of a full squat (SD 0.04) counts as this many samples (SD 0.02).
/// tuned: `reps`
const FULL_COUNTS: f64 = 0.25;
/// The curve's bend beforehand, and variance of a sample over its own (SD 0.3).
/// tuned: `reps`
const BEND: (f64, f64) = (0.3, 4e-4 / 0.09);
/// Frames this far apart are samples of their own, ms: deviations of neighbouring frames go
/// together.
/// tuned: `reps`
const APART_MS: f64 = 100.0;
/// Sum of squares after which the relation is known about as well as it will be: two full squats.
/// tuned: `reps`
const TRUSTED: f64 = 1.0;
/// Sums are forgotten so that about this many samples count.
/// tuned: `reps`
const MEMORY: f64 = 200.0;

impl Regression {
    /// Starts from what bodies have in common: the hips' drop `full` in a full squat.
    pub fn new(full: f64) -> Self {
        let mut relation = Self {
            full,
            seen: 0.0,
            square: [0.0; 3],
            cross: [0.0; 2],
            fit: [0.0; 2],
        };
        relation.solve();
        relation
    }

    /// The hips' drop for a drop of `other`.
    pub fn hips(&self, other: f64) -> f64 {
        // Beyond a full squat's range it goes on straight, and beyond what was seen so it does from
        // where the hips sink as fast as what is above them: the trunk leans no farther there.
        let steep = (1.0 - self.fit[0]) / (2.0 * self.fit[1]).max(1e-6);
        let x = within(other, -0.1, within(steep, self.seen, 0.9));
        let slope = self.fit[0] + 2.0 * self.fit[1] * x;
        let most = if x < 0.9 { 1.0 } else { 2.0 };
        let hips = self.fit[0] * x + self.fit[1] * x * x + within(slope, 0.3, most) * (other - x);
        // A trunk that leans lowers what is above the hips by more than these.
        if other > 0.0 { hips.min(other) } else { hips }
    }

    /// Weight of the other part by what was learned, up to 1.
    pub fn weight(&self) -> f64 {
        let learned = self.square[0];
        (0.3 + learned / (learned + TRUSTED)).min(1.0)
    }

    /// Learns from a frame that shows both, `dt` ms after the last one.
    pub fn learn(&mut self, other: f64, hips: f64, dt: f64) {
        if !(0.03..0.9).contains(&other) || !(0.0..0.9).contains(&hips) {
            return;
        }
        self.seen = self.seen.max(other);
        let weight = (dt / APART_MS).clamp(0.0, 1.0);
        let keep = 1.0 - weight / MEMORY;
        for sum in self.square.iter_mut().chain(&mut self.cross) {
            *sum *= keep;
        }
        add(&mut self.square, &mut self.cross, other, hips, weight);
        self.solve();
    }

    fn solve(&mut self) {
        let (mut square, mut cross) = (self.square, self.cross);
        add(&mut square, &mut cross, FULL, self.full, FULL_COUNTS);
        square[2] += BEND.1;
        cross[1] += BEND.1 * BEND.0;
        let [p, q, r] = square;
        let det = p * r - q * q;
        if det > 1e-12 {
            let [u, v] = cross;
            let a = ((r * u - q * v) / det).clamp(0.2, 1.6);
            let b = (p * v - q * u) / det;
            // It rises over the whole range.
            self.fit = [a, within(b, -0.5 * a, 1.2)];
        }
    }
}

fn add(square: &mut [f64; 3], cross: &mut [f64; 2], x: f64, hips: f64, weight: f64) {
    let x2 = weight * x * x;
    for (sum, more) in square.iter_mut().zip([x2, x2 * x, x2 * x * x]) {
        *sum += more;
    }
    cross[0] += weight * x * hips;
    cross[1] += x2 * hips;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Samples made from known numbers give these back.
    #[test]
    fn learns_a_parabola() {
        for [a, b] in [[0.9, -0.1], [0.45, 0.55]] {
            let mut relation = Regression::new(0.54);
            for i in 0..400 {
                let x = 0.65 * f64::from(i % 100) / 100.0;
                relation.learn(x, a * x + b * x * x, 100.0);
            }
            for x in [0.1, 0.3, 0.6] {
                assert!((relation.hips(x) - (a * x + b * x * x)).abs() < 0.004);
            }
        }
    }

    /// Before anything is seen, a full squat's drops are those put in.
    #[test]
    fn starts_from_a_full_squat() {
        let relation = Regression::new(0.54);
        assert!((relation.hips(0.66) - 0.54).abs() < 1e-3);
        assert_eq!(relation.hips(0.0), 0.0);
    }
}
