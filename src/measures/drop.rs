//! How far the pelvis has dropped, where the hips show it and where only the shins tell.

use super::assumed::{self, LEG_SD};
use super::sighting::Point;
use crate::standing::Camera;
use crate::standing::body::{Body, Leg, shankward};
use glam::{DVec2, DVec3};

/// Shank's lean beyond standing: this times the square root of the pelvis drop, rad. UI-PRMD, 200
/// legs: 14.1, 20.0, 24.0, 27.5, 30.7 degrees at drops of 0.1 to 0.5 (spread 3.6 to 6.2).
const LEAN_PER_ROOT_DROP: f64 = 0.777;
/// ... straight below about this drop, where noise rules.
const STRAIGHT: f64 = 0.02;
/// Most that it gets, rad.
const MOST_LEAN: f64 = 0.59;
/// Pelvis drop, of its standing height, at the bottom of a deep squat (UI-PRMD: 0.535).
pub(super) const DEEP_DROP: f64 = 0.52;

/// Where hips are not seen, leans are spread by so many times as much as where they are ...
const LOOSE: f64 = 1.3;
/// ... and by what the picture of the shins leaves open: leans are tried in so many steps;
const STEPS: usize = 12;
/// knees are off their place by so much, shank lengths (points, ankles that rise, and what else),
const OFF: f64 = 0.03;
/// and shanks lean to either side by so much, rad.
const ASIDE: f64 = 0.1;

/// Lean beyond standing that goes with a pelvis drop.
#[inline]
pub(crate) fn lean_at(drop: f64) -> f64 {
    (LEAN_PER_ROOT_DROP * drop / (drop.abs() + STRAIGHT).sqrt()).min(MOST_LEAN)
}

/// Place of a knee whose shank leans so much more than in standing, m.
pub(super) fn knee_at(body: &Body, leg: &Leg, extra: f64) -> DVec3 {
    let arm = shankward(leg.along, leg.medial, leg.lean + extra, leg.inward);
    leg.ankle + arm * body.shank
}

/// How far the pelvis has dropped.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drop {
    /// Share of its standing height.
    pub share: f64,
    /// How many times their usual spread the shanks' leans have at this drop.
    pub loose: f64,
}

impl Drop {
    /// Nothing is known of it.
    pub const UNKNOWN: Self = Self {
        share: 0.0,
        loose: LOOSE,
    };

    /// As the hips show it.
    pub fn of_hips(share: f64) -> Self {
        Self {
            share: share.clamp(-0.1, 0.9),
            loose: 1.0,
        }
    }

    /// How deep the squat is: 0 standing, 1 at the bottom of a deep squat.
    pub fn depth(self) -> f64 {
        (self.share / DEEP_DROP).clamp(-0.1, 1.2)
    }

    /// The drop whose usual lean takes the knees where they are in the picture, however far they lean
    /// to the sides: the mean over all leans, by how well each fits. `None` without a knee.
    pub fn of_shins(camera: &Camera, body: &Body, knees: &[Point; 2]) -> Option<Self> {
        knees.iter().flatten().next()?;
        let lean = |step: usize| MOST_LEAN * step as f64 / STEPS as f64;
        let costs: [f64; STEPS + 1] =
            std::array::from_fn(|step| misfit(camera, body, knees, lean(step)));
        let least = costs.iter().fold(f64::INFINITY, |l, &c| l.min(c));
        let (mut sum, mut first, mut second, mut share) = (0.0, 0.0, 0.0, 0.0);
        for (step, cost) in costs.iter().enumerate() {
            let (lean, weight) = (lean(step), libm::exp((least - cost) / 2.0));
            sum += weight;
            first += weight * lean;
            second += weight * lean * lean;
            share += weight * drop_at(lean);
        }
        let spread = (second / sum - (first / sum).powi(2)).max(0.0).sqrt();
        let known = sum.is_finite() && sum > 0.0;
        Some(if known {
            Self {
                share: share / sum,
                loose: crate::angle::hypot(LOOSE, spread / LEG_SD[assumed::Leg::Lean as usize]),
            }
        } else {
            Self::UNKNOWN
        })
    }
}

/// How badly knees that lean so much more than in standing fit what is seen, in squared SDs.
fn misfit(camera: &Camera, body: &Body, knees: &[Point; 2], extra: f64) -> f64 {
    let mut cost = 0.0;
    for (leg, seen) in body.legs.iter().zip(knees) {
        let knee = knee_at(body, leg, extra);
        if let (Some(seen), Some((at, du, dv))) = (seen, camera.project_with_slope(knee)) {
            let px = camera.focal / camera.depth(knee) * body.shank;
            let (miss, side) = (seen.at - at, leg.medial * body.shank);
            let aside = DVec2::new(du.dot(side), dv.dot(side));
            let (off, along) = ((OFF * px).powi(2), miss.dot(aside).powi(2));
            let free = ASIDE * ASIDE / (off + ASIDE * ASIDE * aside.length_squared());
            cost += (miss.length_squared() - along * free) / off;
        }
    }
    cost
}

/// The pelvis drop that goes with a lean beyond standing.
fn drop_at(lean: f64) -> f64 {
    let root = (lean / LEAN_PER_ROOT_DROP).powi(2);
    (root + (root * (root + 4.0 * STRAIGHT)).sqrt()) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lean_gives_back_its_drop() {
        for drop in [0.0, 0.01, 0.1, 0.3, 0.5] {
            assert!((drop_at(lean_at(drop)) - drop).abs() < 1e-12, "{drop}");
        }
    }
}
