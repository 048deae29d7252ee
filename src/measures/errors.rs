//! How far each measure can be off: pixels, assumptions and the fit are moved one by one.

use super::assumed;
use super::channel::Channel;
use super::geometry::{Geometry, Pixels};
use crate::keypoints::Joint;
use crate::standing::Noise;

/// Variances of one measure, in its own unit squared.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Variance {
    /// From noise that is new in every frame (one frame, unsmoothed).
    pub white: f64,
    /// From slowly varying noise.
    pub slow: f64,
    /// From everything that a whole repetition shares: fit, assumptions, the estimator's habits.
    pub common: f64,
}

impl Variance {
    /// Standard error when smoothing leaves `gain` of the white noise's variance.
    pub fn sd(&self, gain: f64) -> f64 {
        (self.white * gain + self.slow + self.common)
            .max(1e-12)
            .sqrt()
    }

    /// Between two budgets.
    pub fn mix(&self, other: &Self, share: f64) -> Self {
        let f = |a: f64, b: f64| a + (b - a) * share;
        Self {
            white: f(self.white, other.white),
            slow: f(self.slow, other.slow),
            common: f(self.common, other.common),
        }
    }
}

/// What the budget moves.
#[derive(Clone, Debug)]
pub(crate) struct Sources {
    /// The fit moved by each column of its covariance's square root.
    pub fits: Vec<Geometry>,
    /// Keypoint noise.
    pub noise: Noise,
    /// Systematic error of each joint at full depth, px.
    pub habit: [f64; Joint::COUNT],
}

/// The error budget of one frame, by channel; `None` where nothing is measured.
pub(crate) fn budget(
    geometry: &Geometry,
    sources: &Sources,
    pixels: &Pixels,
) -> [Option<Variance>; Channel::COUNT] {
    let mut shifts = [0.0; assumed::COUNT];
    let here = geometry.read(pixels, &shifts);
    let mut out = here.values.map(|v| v.map(|_| Variance::default()));
    let depth = here.depth.unwrap_or(0.6).clamp(0.15, 1.0);
    let mut add = |there: &[Option<f64>; Channel::COUNT], f: &dyn Fn(&mut Variance, f64)| {
        for ((slot, a), b) in out.iter_mut().zip(here.values).zip(there) {
            if let (Some(variance), Some(a), Some(b)) = (slot.as_mut(), a, *b) {
                f(variance, (b - a) * (b - a));
            }
        }
    };
    let mut moved = *pixels;
    for joint in Joint::ALL {
        let i = joint.index();
        let Some(at) = pixels[i] else { continue };
        let (white, slow) = (
            sources.noise.white[i].powi(2),
            sources.noise.slow[i].powi(2),
        );
        let habit = (sources.habit[i] * depth).powi(2);
        for step in [glam::DVec2::X, glam::DVec2::Y] {
            moved[i] = Some(at + step);
            let there = geometry.read(&moved, &shifts);
            add(&there.values, &|v, d| {
                v.white += d * white;
                v.slow += d * slow;
                v.common += d * habit;
            });
        }
        moved[i] = Some(at);
    }
    for i in 0..assumed::COUNT {
        shifts[i] = assumed::sd(i);
        let there = geometry.read(pixels, &shifts);
        shifts[i] = 0.0;
        add(&there.values, &|v, d| v.common += d);
    }
    for fit in &sources.fits {
        let there = fit.read(pixels, &shifts);
        add(&there.values, &|v, d| v.common += d);
    }
    out
}
