//! The standing fit: one camera and one body that explain the quiet frames.

use super::body::Body;
use super::camera::Camera;
use super::noise::Noise;

use super::priors::{Priors, Unknown, Unknowns};
use super::problem::{OFFSET, Problem, Solved, camera_of, looseness};
use super::rest;
use super::view::{Standing, View};
use crate::angle::{cos, sin};
use crate::gather::Gather;
use crate::keypoints::{Joint, Marks, Offsets, Part, Setup, Side, Sides};
use crate::matrix::Square;
use crate::pose::Pose;
use crate::statistics::interquartile_mean;
use glam::DVec2;
use std::fmt;

/// A picture that has been squeezed is stretched by so much to put it right.
const SQUEEZED: f64 = 1.8;

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
    /// Where each joint was seen in standing (interquartile mean over the quiet frames), px.
    pub seen: [Option<DVec2>; Joint::COUNT],
    /// Noise of the keypoints in standing.
    pub noise: Noise,
    /// Length of the shank in the picture, px: the scale of keypoint errors.
    pub shank_px: f64,
    /// Mean misfit of the joints in units of their expected offset; about 1 when all is well.
    pub misfit: f64,
    /// Roll of each foot in standing, left first, inward +, degrees, with its standard error;
    /// `None` where it can't be seen.
    pub resting_roll_deg: [Option<[f64; 2]>; 2],
    /// The feet are where they are in the picture: the points' offsets were known, or the points marked by hand.
    pub placed: bool,
    /// What is known of the estimator's points.
    pub(crate) offsets: Option<&'static Offsets>,
    covariance: Square<{ Unknown::COUNT }>,
    one_toe: bool,
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
    let seen = places(poses);
    let at = |part: Part, side: Side| seen[Joint::of(part, side).index()];
    let shanks: Vec<f64> = Side::BOTH
        .into_iter()
        .filter_map(|s| Some((at(Part::Knee, s)? - at(Part::Ankle, s)?).length()))
        .gather();
    let count = seen.iter().flatten().count();
    if shanks.is_empty() || count < 5 {
        return Err(Unfit::TooFewPoints);
    }
    let shank_px = shanks.iter().sum::<f64>() / shanks.len() as f64;
    if shank_px < 12.0 {
        return Err(Unfit::TooSmall);
    }
    let noise = Noise::of(poses, shank_px);
    let problem = problem(&seen, &noise, shank_px, setup);
    let Solved {
        minimum,
        covariance,
        rolls,
    } = problem.solve().ok_or(Unfit::NoMatch)?;
    let mut unknowns: Unknowns = *minimum.x;
    let azimuth = &mut unknowns[Unknown::Azimuth.index()];
    *azimuth = libm::atan2(sin(*azimuth), cos(*azimuth));
    let misfit = (minimum.cost / (2.0 * problem.seen.len() as f64)).sqrt();
    if !unknowns.iter().all(|v| v.is_finite()) || misfit > 6.0 {
        return Err(Unfit::NoMatch);
    }
    let camera = problem.camera(&unknowns);
    let body = Body::new(&unknowns, problem.one_toe);
    let resting_roll_deg = Side::BOTH.map(|side| {
        let [roll, variance] = rolls[side.index()]?;
        rest::told(&body, side, roll, variance).filter(|_| rest::across(&camera, &body, side))
    });
    Ok(StandingFit {
        camera,
        body,
        resting_roll_deg,
        unknowns,
        seen,
        noise,
        shank_px,
        misfit,
        placed: problem.offsets.is_some() || setup.estimator.as_deref() == Some(Marks::FOLLOWED),
        offsets: problem.offsets,
        covariance,
        one_toe: problem.one_toe,
    })
}

type Places = [Option<DVec2>; Joint::COUNT];

/// What camera and body have to explain.
fn problem(seen: &Places, noise: &Noise, shank_px: f64, setup: &Setup) -> Problem {
    Problem {
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
                Some((j, seen[j.index()]?, DVec2::splat(sd), noise.slow[j.index()]))
            })
            .gather(),
        priors: Priors::new(setup),
        centre: DVec2::new(setup.image.width, setup.image.height) / 2.0,
        one_toe: setup.layout.one_toe_point(),
        offsets: Offsets::of(setup.estimator.as_deref()),
        shank_px,
    }
}

/// Interquartile mean place of each joint seen in at least half of the frames, px.
fn places(poses: &[Pose]) -> [Option<DVec2>; Joint::COUNT] {
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
        let enough = 2 * xs.len() >= poses.len() && xs.len() >= 2;
        let place = || {
            Some(DVec2::new(
                interquartile_mean(&mut xs)?,
                interquartile_mean(&mut ys)?,
            ))
        };
        enough.then(place)?
    })
}

impl StandingFit {
    /// Covariance of the unknowns, by [`Unknown::index`].
    pub fn covariance(&self) -> &Square<{ Unknown::COUNT }> {
        &self.covariance
    }

    /// How much better a camera and a body explain this standing when the picture has been squeezed one way or the other:
    /// half the difference of what is left, which is a logarithm of the likelihoods' ratio. Only of a body whose feet and
    /// shoulders are seen: shins alone are long or short as the camera is high or low, and from the side a foot's length
    /// is the only one across.
    pub fn squeezed(&self, setup: &Setup) -> Option<f64> {
        let sees = |part, side| self.seen[Joint::of(part, side).index()].is_some();
        let whole = |side| {
            [Part::Shoulder, Part::Heel, Part::BigToe]
                .iter()
                .all(|&p| sees(p, side))
        };
        if !Side::BOTH.into_iter().all(whole) {
            return None;
        }
        let left = |by: DVec2| {
            let seen = self.seen.map(|at| Some(at? * by));
            let mut setup = setup.clone();
            setup.image.width *= by.x;
            setup.image.height *= by.y;
            let shank = |s| {
                let at = |part| seen[Joint::of(part, s).index()];
                Some((at(Part::Knee)? - at(Part::Ankle)?).length())
            };
            let shank_px = crate::pose::mean(Side::BOTH.map(shank))?;
            let solved = problem(&seen, &self.noise, shank_px, &setup).solve()?;
            Some(solved.minimum.cost / 2.0)
        };
        let here = left(DVec2::ONE)?;
        let stretched = [DVec2::new(SQUEEZED, 1.0), DVec2::new(1.0, SQUEEZED)];
        let best = stretched
            .into_iter()
            .filter_map(left)
            .fold(f64::INFINITY, f64::min);
        Some(here - best)
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
        self.covariance[(u.index(), u.index())].max(0.0).sqrt()
    }

    /// Where the camera stands, for the report.
    pub fn view(&self) -> View {
        let azimuth_deg = within_180(self.unknowns[Unknown::Azimuth.index()].to_degrees());
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
            distance_m: libm::exp(self.unknowns[Unknown::LnDistance.index()]),
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

/// The same bearing from -180 to 180 degrees.
fn within_180(degrees: f64) -> f64 {
    degrees - 360.0 * (degrees / 360.0).round()
}
