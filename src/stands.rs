//! The standings of a set: one for every setting of the feet, each with its fit.

use crate::keypoints::Setup;
use crate::measures::{Measurer, refine};
use crate::pose::Pose;
use crate::standing::{Quiet, StandingFit, fit};

/// Longest stretch of standing that a fit is made from, ms.
const USED_MS: f64 = 4000.0;

/// Quiet standing with its fit.
#[derive(Clone, Debug)]
pub(crate) struct Stand {
    /// The stretch, which grows while the lifter stands.
    pub quiet: Quiet,
    /// The camera and body, once they could be fitted.
    pub fit: StandingFit,
    /// Measures frames against it.
    pub measurer: Measurer,
}

impl Stand {
    /// Fits the frames of `quiet` among `poses`.
    pub fn new(poses: &[Pose], quiet: Quiet, setup: &Setup) -> Option<Self> {
        let fit = fit(within(poses, quiet), setup).ok()?;
        let measurer = Measurer::new(&fit, setup);
        Some(Self {
            quiet,
            fit,
            measurer,
        })
    }

    /// The same, refined over the frames of its repetitions (start and end, ms) where that helps.
    pub fn refined(mut self, poses: &[Pose], reps: &[(f64, f64)], setup: &Setup) -> Self {
        if let Some(fit) = refine(&self.fit, setup, poses, reps) {
            self.measurer = Measurer::new(&fit, setup);
            self.fit = fit;
        }
        self
    }
}

impl Stand {
    /// The same where joints may be off by so many px more, because the camera moved.
    pub fn loosened(mut self, px: f64, setup: &Setup) -> Self {
        if px > 0.0 {
            for slow in &mut self.fit.noise.slow {
                *slow = crate::angle::hypot(*slow, px);
            }
            self.measurer = Measurer::new(&self.fit, setup);
        }
        self
    }
}

/// The frames of a stretch; of a long one, its last seconds.
fn within(poses: &[Pose], quiet: Quiet) -> &[Pose] {
    let from_ms = quiet.from_ms.max(quiet.to_ms - USED_MS);
    let from = poses.partition_point(|p| p.t_ms < from_ms);
    let to = poses.partition_point(|p| p.t_ms <= quiet.to_ms);
    poses.get(from..to).unwrap_or(&[])
}
