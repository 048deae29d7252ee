//! Evidence for and against a lift being a squat: lifters also bend down to the camera, which takes the
//! shoulders much farther than the hips.

use super::drop_estimator::Reading;
use std::fmt;

/// A smaller drop is no repetition: half of a quarter squat's (about 60 degrees of knee flexion
/// lower the pelvis by 0.14 of its height; common practice, no source).
/// tuned: `reps`
pub(super) const LEAST: f64 = 0.085;
/// Lifters stand for so long before they squat, ms.
/// tuned: `reps`
pub(super) const STOOD_MS: f64 = 450.0;
/// A repetition takes at least this long, ms: 0.5 s down and not much less up, read with noise.
/// tuned: `reps`
pub(super) const SHORTEST_MS: f64 = 550.0;
/// Shoulders that go down by so many times as much as the hips, and so much more, tell of a bend: squats
/// lower them by 1.2 to 1.7 times as much, shallow ones with an early lean by up to 2.6.
/// tuned: `reps`
const BENT: (f64, f64) = (2.7, 0.06);
/// Shoulders that have dropped so many times as far as the hips tell of a leaning trunk.
/// tuned: `reps`
const LEANT: f64 = 1.5;
/// A repetition of a smaller pelvis drop is shallow: halfway between a quarter squat (knees bent by up
/// to 70 degrees, which lowers the pelvis by about 0.20) and a half squat (80 to 100 degrees, 0.26 to
/// 0.40). The deepest of noisy samples reads about 0.015 more.
/// tuned: `reps`
pub(super) const SHALLOW: f64 = 0.25;

/// What was seen during one lift.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct LiftEvidence {
    /// Drop of the hips and of the shoulders when the shoulders were lowest with both in sight, and
    /// the shoulders' largest.
    hips: f64,
    shoulders: f64,
    most: f64,
}

impl LiftEvidence {
    /// Takes one frame.
    pub fn add(&mut self, reading: &Reading) {
        if let Some([h, s]) = reading.both
            && s > self.shoulders
        {
            (self.shoulders, self.hips) = (s, h);
        }
        self.most = self.most.max(reading.shoulders.unwrap_or(0.0));
    }

    /// The body bent forward rather than down.
    pub fn bent(&self) -> bool {
        self.shoulders > BENT.0 * self.hips.max(0.0) + BENT.1
    }

    /// Went down far enough to be a repetition and leant on the way, which walking does not.
    pub fn leant(&self, deepest: f64) -> bool {
        deepest >= LEAST && self.shoulders > LEANT * self.hips
    }

    /// Drop of the hips at the bottom; where plates hid them on the way, as much as the shoulders
    /// went on from there.
    pub fn hips(&self) -> Option<f64> {
        let on = self.most / self.shoulders.max(1e-3);
        (self.bent() || self.hips > 0.0).then_some(self.hips * on.max(1.0))
    }
}

impl fmt::Display for LiftEvidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "hips {:.2} with shoulders {:.2}",
            self.hips, self.shoulders
        )
    }
}
