//! What a lifter does wrong, when in the lift, and on which repetitions.

use crate::body::Stance;
use crate::profile::minimum_jerk;

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// Heel point up, mm, by side.
    HeelLift([f64; 2]),
    /// Knee inside (+) or outside (-) beyond the habit, degrees, by side.
    KneeIn([f64; 2]),
    /// Foot rolled in (+) or out (-), degrees, by side.
    Roll([f64; 2]),
    /// Pelvis to the left (+), mm.
    Shift(f64),
    /// Centre of mass toward the toes (+), % of foot length.
    Forward(f64),
}

/// When in the lift, as a weight from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// With depth.
    Bottom,
    /// Nothing until this fraction of the descent, then up to the bottom, and back on the way up.
    From(f64),
    /// Only on the way up: peaks at phase 1.35.
    Ascent,
    /// Only on the way down: peaks at phase 0.6.
    Descent,
    /// From early in the descent to late in the ascent.
    Throughout,
}

impl Shape {
    /// Weight at a phase (0 start, 1 bottom, 2 end) and a depth (fraction of the deepest).
    pub fn weight(self, phase: f64, depth: f64) -> f64 {
        let bump = |middle: f64, half: f64| {
            let u = 1.0 - (phase - middle).abs() / half;
            minimum_jerk(u)
        };
        match self {
            Self::Bottom => depth * depth,
            Self::From(start) => {
                let mirrored = if phase > 1.0 { 2.0 - phase } else { phase };
                minimum_jerk((mirrored - start) / (1.0 - start).max(0.05))
            }
            Self::Ascent => bump(1.35, 0.35),
            Self::Descent => bump(0.6, 0.35),
            Self::Throughout => minimum_jerk(4.0 * phase) * minimum_jerk(4.0 * (2.0 - phase)),
        }
    }
}

/// One fault over a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// What, at its full size.
    pub kind: Kind,
    /// When in the lift.
    pub shape: Shape,
    /// Size in the first repetition, fraction of full; grows evenly to full in the last.
    pub first: f64,
    /// Repetitions (from 0) that show it; `None` for all.
    pub reps: Option<Vec<usize>>,
}

impl Fault {
    /// The same in every repetition, with depth.
    pub fn steady(kind: Kind) -> Self {
        Self {
            kind,
            shape: Shape::Bottom,
            first: 1.0,
            reps: None,
        }
    }

    /// When in the lift.
    pub fn shaped(self, shape: Shape) -> Self {
        Self { shape, ..self }
    }

    /// Grows over the set from this fraction.
    pub fn growing(self, first: f64) -> Self {
        Self { first, ..self }
    }

    /// Only in these repetitions, from 0.
    pub fn only(self, reps: &[usize]) -> Self {
        Self {
            reps: Some(reps.to_vec()),
            ..self
        }
    }

    /// Size in repetition `rep` of `count`.
    pub fn size(&self, rep: usize, count: usize) -> f64 {
        if self.reps.as_ref().is_some_and(|list| !list.contains(&rep)) {
            return 0.0;
        }
        if count < 2 {
            return 1.0;
        }
        self.first + (1.0 - self.first) * rep as f64 / (count - 1) as f64
    }

    /// Adds it to a stance.
    pub fn apply(&self, stance: &mut Stance, size: f64, phase: f64, depth: f64) {
        let w = size * self.shape.weight(phase, depth);
        match self.kind {
            Kind::HeelLift(mm) => {
                for (foot, mm) in stance.feet.iter_mut().zip(mm) {
                    foot.heel_mm += w * mm;
                }
            }
            Kind::KneeIn(deg) => {
                for (knee, deg) in stance.knee.iter_mut().zip(deg) {
                    *knee += w * deg;
                }
            }
            Kind::Roll(deg) => {
                for (foot, deg) in stance.feet.iter_mut().zip(deg) {
                    foot.roll += w * deg;
                }
            }
            Kind::Shift(mm) => stance.shift_mm += w * mm,
            Kind::Forward(pct) => stance.forward_pct += w * pct,
        }
    }
}
