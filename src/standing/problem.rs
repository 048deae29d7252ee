//! What the standing fit minimises, and where it starts.

use super::body::Body;
use super::camera::{Camera, Placement};

use super::priors::{Priors, Unknown, Unknowns};
use super::rest;
use crate::angle::{cos, hypot, sin, tan};
use crate::gather::Gather;
use crate::keypoints::{Joint, Offsets, Part, Side, Stage};
use crate::least_squares::{Minimum, Numeric, Search, minimise};
use crate::matrix::{Square, Vector};
use crate::pose::mean;
use glam::DVec2;

/// Fixed offset of a keypoint from the joint it stands for, of the shank's length in the picture.
/// About 2 px at 190 px; estimators' habits differ by this much from joint to joint (common
/// practice, no source). Offsets cancel against standing to first order, but bend the fit.
pub(super) const OFFSET: f64 = 0.0105;
/// Degrees of freedom of the robust weighing of joints.
const ROBUST: f64 = 6.0;

/// Spread of a joint's offset in units of [`OFFSET`]: hips and shoulders are labelled less
/// exactly (COCO's keypoint constants: hip 0.107, shoulder 0.079, ankle 0.089), the head's place
/// in the body model is rough.
pub(super) fn looseness(joint: Joint) -> f64 {
    let of = |part: Part| Side::BOTH.iter().any(|&s| Joint::of(part, s) == joint);
    if of(Part::Hip) {
        1.4
    } else if of(Part::Shoulder) {
        1.3
    } else if joint.index() <= Joint::RightEar.index() {
        8.0
    } else {
        1.0
    }
}

/// Steps toward the best of one guessed bearing, and of a few to see which to follow.
pub(super) const SEARCH: Search = Search {
    steps: 40,
    tolerance: 1e-5,
};
const FIRST: Search = Search { steps: 5, ..SEARCH };

/// What was found: camera and body, their covariance, and the feet's rolls with their variances,
/// rad.
pub(super) struct Solved {
    pub minimum: Minimum<{ Unknown::COUNT }>,
    pub covariance: Square<{ Unknown::COUNT }>,
    pub rolls: [Option<[f64; 2]>; 2],
}

/// What is asked of the solver.
pub(super) struct Problem {
    /// Joint, place in the picture, spread of its unknown offset and of its slow noise, px.
    pub seen: Vec<(Joint, DVec2, DVec2, f64)>,
    pub priors: Priors,
    pub centre: DVec2,
    pub one_toe: bool,
    /// What is known of the estimator's offsets.
    pub offsets: Option<&'static Offsets>,
    /// Length of the shank in the picture, px.
    pub shank_px: f64,
}

impl Problem {
    pub fn rows(&self) -> usize {
        2 * self.seen.len() + Unknown::COUNT + 1
    }

    pub fn camera(&self, x: &Unknowns) -> Camera {
        camera_of(x, self.centre)
    }

    fn residuals(&self, x: &Unknowns, out: &mut [f64]) {
        self.residuals_rolled(x, [0.0; 2], out);
    }

    /// The residuals with the feet rolled inward by these angles, rad.
    pub fn residuals_rolled(&self, x: &Unknowns, rolls: [f64; 2], out: &mut [f64]) {
        let camera = self.camera(x);
        let body = Body::new(x, self.one_toe);
        let (points, rest) = out.split_at_mut(2 * self.seen.len());
        let azimuth = x[Unknown::Azimuth.index()];
        for ((joint, at, sd, slow), r) in self.seen.iter().zip(points.chunks_exact_mut(2)) {
            let known = self
                .offsets
                .and_then(|o| o.at(*joint, azimuth, Stage::Standing, self.shank_px));
            let (mean, sd) = known.map_or((DVec2::ZERO, *sd), |o| (o.mean, o.sd));
            let sd = DVec2::new(hypot(sd.x, *slow), hypot(sd.y, *slow));
            let miss = rest::rolled(&body, *joint, rolls)
                .and_then(|p| camera.project(p))
                .map_or(DVec2::splat(1e3), |p| (p + mean - *at) / sd);
            let e2 = miss.length_squared();
            // Student's t weighing, written as a shrunk residual: r^2 becomes n ln(1 + r^2 / n).
            let shrink = if e2 > 1e-12 {
                (ROBUST * libm::log1p(e2 / ROBUST) / e2).sqrt()
            } else {
                1.0
            };
            r[0] = miss.x * shrink;
            r[1] = miss.y * shrink;
        }
        let mut aimed = 0.0;
        if !self.priors.pitch_known {
            let (h, d) = (
                x[Unknown::CameraHeight.index()],
                libm::exp(x[Unknown::LnDistance.index()]),
            );
            aimed = libm::atan2(self.priors.aim - h, d);
        }
        for i in 0..Unknown::COUNT {
            let mean = self.priors.mean[i]
                + if i == Unknown::Pitch.index() {
                    aimed
                } else {
                    0.0
                };
            rest[i] = (x[i] - mean) / self.priors.sd[i];
        }
        rest[Unknown::COUNT] = (x[Unknown::ToeOutLeft.index()] - x[Unknown::ToeOutRight.index()])
            / self.priors.toe_out_difference_sd;
    }

    /// A first guess for a camera at bearing `azimuth`.
    fn start(&self, azimuth: f64, shank_px: f64) -> Unknowns {
        let mut x = self.priors.mean;
        let focal = libm::exp(x[Unknown::LnFocal.index()]);
        let stature = libm::exp(x[Unknown::LnStature.index()]);
        let distance = (focal * 0.246 * stature / shank_px).clamp(0.5, 30.0);
        let at = |part: Part| {
            let find = |j| self.seen.iter().find(|s| s.0 == j).map(|s| s.1);
            mean(Side::BOTH.map(|s| find(Joint::of(part, s))))
        };
        let ankle = at(Part::Ankle).unwrap_or(self.centre);
        let below = libm::atan((ankle.y - self.centre.y) / focal);
        let given = self
            .priors
            .pitch_known
            .then_some(self.priors.mean[Unknown::Pitch.index()]);
        let (mut height, mut pitch) = (0.8, given.unwrap_or(0.0));
        for _ in 0..3 {
            pitch = given.unwrap_or_else(|| libm::atan2(self.priors.aim - height, distance));
            height = (distance * tan(below - pitch) + 0.08).clamp(0.05, 2.5);
        }
        x[Unknown::Azimuth.index()] = azimuth;
        x[Unknown::LnDistance.index()] = libm::log(distance);
        x[Unknown::CameraHeight.index()] = height;
        x[Unknown::Pitch.index()] = pitch;
        x[Unknown::Yaw.index()] = libm::atan((ankle.x - self.centre.x) / focal);
        x
    }

    /// Size of the bearing from how wide the pairs look: cos(azimuth) = seen / true width.
    fn bearing(&self, shank_px: f64) -> f64 {
        let find = |j| self.seen.iter().find(|s| s.0 == j).map(|s| s.1.x);
        let (mut seen, mut width) = (0.0, 0.0);
        for (part, w) in [
            (Part::Ankle, 1.0),
            (Part::Knee, 0.8),
            (Part::Hip, 0.46),
            (Part::Shoulder, 0.86),
        ] {
            if let [Some(l), Some(r)] = Side::BOTH.map(|s| find(Joint::of(part, s))) {
                seen += l - r;
                width += w * shank_px;
            }
        }
        if width > 0.0 {
            crate::angle::acos((seen / width).clamp(-1.0, 1.0))
        } else {
            std::f64::consts::FRAC_PI_2
        }
    }

    /// The best camera and body for a shank of this length in the picture, px, and their covariance.
    pub fn solve(&self) -> Option<Solved> {
        let residuals = |x: &Unknowns, out: &mut [f64]| self.residuals(x, out);
        let mut problem = Numeric::new(self.rows(), &residuals);
        let b = self.bearing(self.shank_px);
        let turn = 0.5;
        let mut tried: Vec<Minimum<{ Unknown::COUNT }>> =
            [b, -b, b + turn, -b - turn, b - turn, turn - b]
                .into_iter()
                .map(|a| {
                    minimise(
                        &mut problem,
                        Vector::from(self.start(a, self.shank_px)),
                        FIRST,
                    )
                })
                .gather();
        crate::order::short_list(&mut tried, |a, b| a.cost.total_cmp(&b.cost).is_lt());
        let az = |m: &Minimum<{ Unknown::COUNT }>| m.x[Unknown::Azimuth.index()];
        let first = az(tried.first()?);
        let other = tried
            .iter()
            .position(|m| sin(az(m) - first).abs() > 0.15 || cos(az(m) - first) < 0.0);
        let mut best = minimise(&mut problem, tried.first()?.x, SEARCH);
        if let Some(second) = other.and_then(|i| tried.get(i)) {
            let second = minimise(&mut problem, second.x, SEARCH);
            if second.cost < best.cost {
                best = second;
            }
        }
        let covariance = problem.covariance(&best.x)?;
        let rolls = self.rolls(&problem, &best.x, &covariance);
        Some(Solved {
            minimum: best,
            covariance,
            rolls,
        })
    }
}

pub(crate) fn camera_of(x: &Unknowns, centre: DVec2) -> Camera {
    let get = |u: Unknown| x[u.index()];
    Camera::new(
        &Placement {
            azimuth: get(Unknown::Azimuth),
            distance: libm::exp(get(Unknown::LnDistance)),
            height: get(Unknown::CameraHeight),
            pitch: get(Unknown::Pitch),
            roll: get(Unknown::Roll),
            yaw: get(Unknown::Yaw),
        },
        libm::exp(get(Unknown::LnFocal)),
        centre,
    )
}
