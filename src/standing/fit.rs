//! The standing fit: one camera and one body that explain the quiet frames.

use super::body::Body;
use super::camera::{Camera, Placement};
use super::noise::Noise;
use super::priors::{Priors, Unknown, Unknowns};
use super::solver::{Minimum, Solver};
use crate::keypoints::{Joint, Part, Setup, Side};
use crate::pose::Pose;
use crate::report::{Sides, Standing, View};
use glam::DVec2;
use nalgebra::DMatrix;
use std::fmt;

/// Why no camera and body could be fitted.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unfit {
    /// Fewer than three frames.
    TooFewFrames,
    /// No leg with ankle and knee, or fewer than five points in all.
    TooFewPoints,
    /// The lifter is too small in the picture, or the picture has no size.
    TooSmall,
    /// No body explains the points.
    NoMatch,
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFewFrames => "too few frames of quiet standing",
            Self::TooFewPoints => "too few points of the legs are seen in standing",
            Self::TooSmall => "the lifter is too small in the picture",
            Self::NoMatch => "no body in quiet standing explains the points",
        })
    }
}

impl std::error::Error for Unfit {}

/// Camera and body of quiet standing, with their covariance.
#[derive(Clone, Debug)]
pub struct StandingFit {
    /// The camera.
    pub camera: Camera,
    /// The body in standing.
    pub body: Body,
    /// The unknowns behind both, by [`Unknown::index`].
    pub unknowns: Unknowns,
    /// Where each joint was seen in standing (median over the quiet frames), px.
    pub seen: [Option<DVec2>; Joint::COUNT],
    /// Noise of the keypoints in standing.
    pub noise: Noise,
    /// Length of the shank in the picture, px: the scale of keypoint errors.
    pub shank_px: f64,
    /// Mean misfit of the joints in units of their expected offset; about 1 when all is well.
    pub misfit: f64,
    covariance: DMatrix<f64>,
    one_toe: bool,
}

/// Fixed offset of a keypoint from the joint it stands for, of the shank's length in the picture.
/// About 2 px at 190 px; estimators' habits differ by this much from joint to joint (common
/// practice, no source). Offsets cancel against standing to first order, but bend the fit.
const OFFSET: f64 = 0.0105;
/// Degrees of freedom of the robust weighing of joints.
const ROBUST: f64 = 6.0;

/// Spread of a joint's offset in units of [`OFFSET`]: hips and shoulders are labelled less
/// exactly (COCO's keypoint constants: hip 0.107, shoulder 0.079, ankle 0.089), the head's place
/// in the body model is rough.
fn looseness(joint: Joint) -> f64 {
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

struct Problem<'a> {
    seen: Vec<(Joint, DVec2, f64)>,
    priors: Priors,
    centre: DVec2,
    one_toe: bool,
    setup: &'a Setup,
}

impl Problem<'_> {
    fn rows(&self) -> usize {
        2 * self.seen.len() + Unknown::COUNT + 1
    }

    fn camera(&self, x: &Unknowns) -> Camera {
        camera_of(x, self.centre)
    }

    fn residuals(&self, x: &Unknowns, out: &mut [f64]) {
        let camera = self.camera(x);
        let body = Body::new(x, self.one_toe);
        let (points, rest) = out.split_at_mut(2 * self.seen.len());
        for ((joint, at, sd), r) in self.seen.iter().zip(points.chunks_exact_mut(2)) {
            let miss = body
                .joint(*joint)
                .and_then(|p| camera.project(p))
                .map_or(DVec2::splat(1e3), |p| (p - *at) / *sd);
            let e2 = miss.length_squared();
            // Student's t weighing, written as a shrunk residual: r^2 becomes n ln(1 + r^2 / n).
            let shrink = if e2 > 1e-12 {
                (ROBUST * (e2 / ROBUST).ln_1p() / e2).sqrt()
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
                x[Unknown::LnDistance.index()].exp(),
            );
            aimed = (self.priors.aim - h).atan2(d);
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
        let focal = x[Unknown::LnFocal.index()].exp();
        let stature = x[Unknown::LnStature.index()].exp();
        let distance = (focal * 0.246 * stature / shank_px).clamp(0.5, 30.0);
        let at = |part: Part| {
            let find = |j| self.seen.iter().find(|s| s.0 == j).map(|s| s.1);
            match Side::BOTH.map(|s| find(Joint::of(part, s))) {
                [Some(a), Some(b)] => Some((a + b) / 2.0),
                [a, b] => a.or(b),
            }
        };
        let ankle = at(Part::Ankle).unwrap_or(self.centre);
        let below = ((ankle.y - self.centre.y) / focal).atan();
        let given = self
            .priors
            .pitch_known
            .then_some(self.priors.mean[Unknown::Pitch.index()]);
        let (mut height, mut pitch) = (0.8, given.unwrap_or(0.0));
        for _ in 0..3 {
            pitch = given.unwrap_or_else(|| (self.priors.aim - height).atan2(distance));
            height = (distance * (below - pitch).tan() + 0.08).clamp(0.05, 2.5);
        }
        x[Unknown::Azimuth.index()] = azimuth;
        x[Unknown::LnDistance.index()] = distance.ln();
        x[Unknown::CameraHeight.index()] = height;
        x[Unknown::Pitch.index()] = pitch;
        x[Unknown::Yaw.index()] = ((ankle.x - self.centre.x) / focal).atan();
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
            (seen / width).clamp(-1.0, 1.0).acos()
        } else {
            std::f64::consts::FRAC_PI_2
        }
    }

    fn solve(&self, shank_px: f64) -> Option<(Minimum<{ Unknown::COUNT }>, DMatrix<f64>)> {
        let mut solver = Solver::new(self.rows());
        let residuals = |x: &Unknowns, out: &mut [f64]| self.residuals(x, out);
        let b = self.bearing(shank_px);
        let turn = 0.5;
        let mut tried: Vec<Minimum<{ Unknown::COUNT }>> =
            [b, -b, b + turn, -b - turn, b - turn, turn - b]
                .into_iter()
                .map(|a| solver.minimise(self.start(a, shank_px), 5, &residuals))
                .collect();
        crate::order::short_list(&mut tried, |a, b| a.cost.total_cmp(&b.cost).is_lt());
        let az = |m: &Minimum<{ Unknown::COUNT }>| m.x[Unknown::Azimuth.index()];
        let first = az(tried.first()?);
        let other = tried
            .iter()
            .position(|m| (az(m) - first).sin().abs() > 0.15 || (az(m) - first).cos() < 0.0);
        let mut best = solver.minimise(tried.first()?.x, 40, &residuals);
        if let Some(second) = other.and_then(|i| tried.get(i)) {
            let second = solver.minimise(second.x, 40, &residuals);
            if second.cost < best.cost {
                best = second;
            }
        }
        let covariance = solver.covariance(&best.x, &residuals)?;
        Some((best, covariance))
    }
}

pub(crate) fn camera_of(x: &Unknowns, centre: DVec2) -> Camera {
    let get = |u: Unknown| x[u.index()];
    Camera::new(
        &Placement {
            azimuth: get(Unknown::Azimuth),
            distance: get(Unknown::LnDistance).exp(),
            height: get(Unknown::CameraHeight),
            pitch: get(Unknown::Pitch),
            roll: get(Unknown::Roll),
            yaw: get(Unknown::Yaw),
        },
        get(Unknown::LnFocal).exp(),
        centre,
    )
}

/// Fits camera and body to frames of quiet standing.
///
/// # Errors
/// [`Unfit`] says what was missing.
pub fn fit(poses: &[Pose], setup: &Setup) -> Result<StandingFit, Unfit> {
    if poses.len() < 3 {
        return Err(Unfit::TooFewFrames);
    }
    let (w, h) = (setup.image.width, setup.image.height);
    if !(w.is_finite() && h.is_finite() && w >= 16.0 && h >= 16.0) {
        return Err(Unfit::TooSmall);
    }
    let seen = medians(poses);
    let at = |part: Part, side: Side| seen[Joint::of(part, side).index()];
    let shanks: Vec<f64> = Side::BOTH
        .into_iter()
        .filter_map(|s| Some((at(Part::Knee, s)? - at(Part::Ankle, s)?).length()))
        .collect();
    let count = seen.iter().flatten().count();
    if shanks.is_empty() || count < 5 {
        return Err(Unfit::TooFewPoints);
    }
    let shank_px = shanks.iter().sum::<f64>() / shanks.len() as f64;
    if shank_px < 12.0 {
        return Err(Unfit::TooSmall);
    }
    let noise = Noise::of(poses, shank_px);
    let problem = Problem {
        seen: Joint::ALL
            .into_iter()
            .filter(|j| !matches!(j, Joint::LeftEye | Joint::RightEye))
            .filter(|&j| {
                ![Part::Elbow, Part::Wrist]
                    .iter()
                    .any(|&p| Side::BOTH.iter().any(|&s| Joint::of(p, s) == j))
            })
            .filter_map(|j| {
                let sd = (OFFSET * shank_px).max(0.7) * looseness(j);
                Some((j, seen[j.index()]?, sd.hypot(noise.slow[j.index()])))
            })
            .collect(),
        priors: Priors::new(setup),
        centre: DVec2::new(w, h) / 2.0,
        one_toe: setup.layout.one_toe_point(),
        setup,
    };
    let (minimum, covariance) = problem.solve(shank_px).ok_or(Unfit::NoMatch)?;
    let mut unknowns = minimum.x;
    let azimuth = &mut unknowns[Unknown::Azimuth.index()];
    *azimuth = azimuth.sin().atan2(azimuth.cos());
    let misfit = (minimum.cost / (2.0 * problem.seen.len() as f64)).sqrt();
    if !unknowns.iter().all(|v| v.is_finite()) || misfit > 6.0 {
        return Err(Unfit::NoMatch);
    }
    let _ = problem.setup;
    Ok(StandingFit {
        camera: problem.camera(&unknowns),
        body: Body::new(&unknowns, problem.one_toe),
        unknowns,
        seen,
        noise,
        shank_px,
        misfit,
        covariance,
        one_toe: problem.one_toe,
    })
}

/// Median place of each joint seen in at least half of the frames, px.
fn medians(poses: &[Pose]) -> [Option<DVec2>; Joint::COUNT] {
    let (mut xs, mut ys) = (Vec::new(), Vec::new());
    Joint::ALL.map(|joint| {
        xs.clear();
        ys.clear();
        for at in poses
            .iter()
            .filter_map(|p| p.at(joint))
            .filter(|p| p.is_finite())
        {
            xs.push(at.x);
            ys.push(at.y);
        }
        (2 * xs.len() >= poses.len() && xs.len() >= 2)
            .then(|| DVec2::new(middle(&mut xs), middle(&mut ys)))
    })
}

/// Mean of the middle half: as steady as a mean on noise, as deaf as a median to jumps.
fn middle(values: &mut [f64]) -> f64 {
    crate::order::ascending(values);
    let n = values.len();
    let cut = n / 4;
    let kept = &values[cut..n - cut];
    kept.iter().sum::<f64>() / kept.len() as f64
}

impl StandingFit {
    /// Covariance of the unknowns, by [`Unknown::index`].
    pub fn covariance(&self) -> &DMatrix<f64> {
        &self.covariance
    }

    /// The same standing with other unknowns.
    pub(crate) fn moved(&self, unknowns: Unknowns) -> Self {
        Self {
            camera: camera_of(&unknowns, self.camera.centre),
            body: Body::new(&unknowns, self.one_toe),
            unknowns,
            ..self.clone()
        }
    }

    /// Whether the layout has a single toe point.
    pub fn one_toe(&self) -> bool {
        self.one_toe
    }

    /// Standard error of an unknown.
    pub fn sd(&self, u: Unknown) -> f64 {
        self.covariance
            .get((u.index(), u.index()))
            .map_or(f64::INFINITY, |v| v.max(0.0).sqrt())
    }

    /// Where the camera stands, for the report.
    pub fn view(&self) -> View {
        let azimuth_deg = self.unknowns[Unknown::Azimuth.index()].to_degrees();
        let names = [
            "front",
            "front-left",
            "left",
            "rear-left",
            "rear",
            "rear-right",
            "right",
            "front-right",
        ];
        let sector = (azimuth_deg / 45.0).round() as i64;
        View {
            azimuth_deg,
            azimuth_sd_deg: self.sd(Unknown::Azimuth).to_degrees(),
            distance_m: self.unknowns[Unknown::LnDistance.index()].exp(),
            name: names[sector.rem_euclid(8) as usize % 8],
        }
    }

    /// The standing found, for the report.
    pub fn summary(&self, from_ms: f64, to_ms: f64) -> Standing {
        let get = |u: Unknown| self.unknowns[u.index()];
        let toes = Sides {
            left: Unknown::ToeOutLeft,
            right: Unknown::ToeOutRight,
        };
        Standing {
            from_ms,
            to_ms,
            stance_width_mm: get(Unknown::Stance) * 1000.0,
            stance_width_mm_sd: self.sd(Unknown::Stance) * 1000.0,
            toe_out_deg: Sides {
                left: get(toes.left).to_degrees(),
                right: get(toes.right).to_degrees(),
            },
            toe_out_deg_sd: Sides {
                left: self.sd(toes.left).to_degrees(),
                right: self.sd(toes.right).to_degrees(),
            },
            height_m: self.body.stature,
            height_m_sd: self.sd(Unknown::LnStature) * self.body.stature,
        }
    }
}
