//! How far each foot is rolled in quiet standing.

use super::body::Body;
use super::camera::Camera;
use super::priors::{Unknown, Unknowns};
use super::problem::{Problem, SEARCH};
use crate::angle::sin;
use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Side};
use crate::least_squares::{Numeric, Search, minimise};
use crate::matrix::{Square, Vector};
use glam::DVec3;

/// Spread of the ankle's place over a foot that is not rolled, m: 4 mm (common practice, no
/// source). Added to what the keypoints leave open.
const ANKLE_SD: f64 = 0.004;

/// Where a joint is when each foot stands rolled inward by these angles, rad: the foot lies flat
/// on the floor, so that a rolled one shows by its ankle, which stands to the inside of heel and
/// toes. The leg stays and the foot's points go outward, which is the same seen from the leg.
pub(super) fn rolled(body: &Body, joint: Joint, rolls: [f64; 2]) -> Option<DVec3> {
    let place = body.joint(joint)?;
    let Some(side) = joint.side() else {
        return Some(place);
    };
    let leg = &body.legs[side.index()];
    let foot = [Part::Heel, Part::BigToe, Part::SmallToe];
    let of_foot = foot.iter().any(|&p| joint == Joint::of(p, side));
    let aside = if of_foot {
        leg.ankle.y * sin(rolls[side.index()])
    } else {
        0.0
    };
    Some(place - leg.medial * aside)
}

/// Value and standard error in degrees of an angle and its variance, rad; `None` when the points
/// say nothing of it.
pub(super) fn told(body: &Body, side: Side, roll: f64, variance: f64) -> Option<[f64; 2]> {
    let height = body.legs[side.index()].ankle.y.max(0.01);
    let sd = crate::angle::hypot(variance.sqrt(), ANKLE_SD / height);
    let told = [roll.to_degrees(), sd.to_degrees()];
    (variance > 0.0 && told.iter().all(|v| v.is_finite()) && told[1] < LARGEST_DEG).then_some(told)
}

/// An error from which on an angle counts as not seen, degrees.
const LARGEST_DEG: f64 = 15.0;

/// The camera looks across this foot, so that its ankle's place over it shows: the foot's
/// sideways direction is within 60 degrees of the picture's plane.
pub(super) fn across(camera: &Camera, body: &Body, side: Side) -> bool {
    body.legs[side.index()].medial.dot(camera.forward).abs() < 0.87
}

impl Problem {
    /// The roll of each foot in standing with its variance, rad. A large one is estimated anew
    /// about itself, because joints that fit badly were counted for less.
    pub fn rolls(
        &self,
        problem: &Numeric<'_, { Unknown::COUNT }>,
        x: &Vector<{ Unknown::COUNT }>,
        covariance: &Square<{ Unknown::COUNT }>,
    ) -> [Option<[f64; 2]>; 2] {
        let mut rolls = [0.0; 2];
        let mut found = problem.further(covariance, &self.by_roll(x, rolls));
        for _ in 0..2 {
            let clear =
                |f: &Option<[f64; 2]>| f.is_some_and(|[r, v]| r.abs() > (2.0 * v.sqrt()).max(0.15));
            if !found.iter().any(clear) {
                break;
            }
            let start = found.map(|f| f.map_or(0.0, |f| f[0].clamp(-0.6, 0.6)));
            let residuals = |x: &Unknowns, out: &mut [f64]| self.residuals_rolled(x, start, out);
            let mut problem = Numeric::new(self.rows(), &residuals);
            let search = Search {
                steps: 10,
                ..SEARCH
            };
            let about = minimise(&mut problem, *x, search).x;
            let Some(covariance) = problem.covariance(&about) else {
                break;
            };
            rolls = start;
            let more = problem.further(&covariance, &self.by_roll(&about, rolls));
            for i in 0..2 {
                found[i] = more[i].map(|[step, variance]| [rolls[i] + step, variance]);
            }
        }
        found
    }

    /// Derivatives of the residuals by the roll of each foot in standing.
    fn by_roll(&self, x: &Unknowns, rolls: [f64; 2]) -> [Vec<f64>; 2] {
        const STEP: f64 = 1e-4;
        let at = |more: [f64; 2]| {
            let mut out = vec![0.0; self.rows()];
            let rolls = [rolls[0] + more[0], rolls[1] + more[1]];
            self.residuals_rolled(x, rolls, &mut out);
            out
        };
        let here = at([0.0; 2]);
        [[STEP, 0.0], [0.0, STEP]].map(|more| {
            let there = at(more);
            let slope = |(there, here): (f64, &f64)| (there - here) / STEP;
            there.into_iter().zip(&here).map(slope).gather()
        })
    }
}
