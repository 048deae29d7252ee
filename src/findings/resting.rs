//! The feet's shape in quiet standing, so that it is not taken for what the squat does.

use crate::measures::Estimate;
use crate::standing::StandingFit;
use crate::standing::priors::Unknown;

use super::verdict::{SURE, normal_cdf};

/// What quiet standing shows of each foot, left first; `None` where it was not seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RestingShape {
    /// Lean of the shank out of the foot's vertical plane, degrees, + = inside.
    pub knee_in_deg: [Option<Estimate>; 2],
    /// Roll of the foot, degrees, + = inward.
    pub foot_roll_deg: [Option<Estimate>; 2],
}

/// Knee line inside the foot in standing that is worth a word, degrees: two standard deviations
/// of people (UI-PRMD: knee marker -4 (29) mm from the foot's line in standing, 3.9 degrees).
pub const KNEE_LINE_DEG: f64 = 7.5;
/// Roll in standing that is worth a word, degrees (common practice, no source; a healthy heel
/// bone stands 7 degrees everted, Astrom & Arvidson 1995, which counts as none).
pub const ROLL_LINE_DEG: f64 = 8.0;
/// How far a keypoint's habit can tilt the resting knee line, degrees: 10 mm of 430 (common
/// practice, no source).
const HABIT_DEG: f64 = 1.5;

impl RestingShape {
    /// The knee lines and rolls of a standing fit.
    pub fn of(fit: &StandingFit) -> Self {
        let sd = |unknown: Unknown| {
            let k = unknown.index();
            fit.covariance()
                .get((k, k))
                .map(|v| v.max(0.0).sqrt().to_degrees())
        };
        let knee = |leg: usize, unknown: Unknown| {
            Some(Estimate {
                value: fit.body.legs.get(leg)?.inward.to_degrees(),
                sd: crate::angle::hypot(sd(unknown)?, HABIT_DEG),
            })
        };
        Self {
            knee_in_deg: [
                knee(0, Unknown::ShankInLeft),
                knee(1, Unknown::ShankInRight),
            ],
            foot_roll_deg: fit
                .resting_roll_deg
                .map(|roll| roll.map(|[value, sd]| Estimate { value, sd })),
        }
    }

    /// What is surely inward at rest on a side (0 left, 1 right): knee line, roll, or neither.
    pub fn inward(&self, side: usize) -> Option<Inward> {
        let beyond = |list: &[Option<Estimate>; 2], line: f64| {
            list.get(side)
                .copied()
                .flatten()
                .filter(|e| e.value.is_finite() && e.sd.is_finite() && e.sd >= 0.0)
                .filter(|e| normal_cdf((e.value - line) / e.sd.max(1e-9)) >= SURE)
        };
        beyond(&self.foot_roll_deg, ROLL_LINE_DEG)
            .map(Inward::Roll)
            .or(beyond(&self.knee_in_deg, KNEE_LINE_DEG).map(Inward::Knee))
    }
}

/// An inward shape at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Inward {
    /// The foot is rolled inward, degrees.
    Roll(Estimate),
    /// The knee stands inside the foot's line, degrees.
    Knee(Estimate),
}
