//! After the set: camera and body refined over many frames together.

use super::geometry::{Geometry, Knees, Pixels};
use super::measurer::{middle, variances_of};
use crate::angle::sin;
use crate::gather::Gather;
use crate::keypoints::{Joint, Setup};
use crate::pose::Pose;
use crate::standing::{StandingFit, priors::Unknown, priors::Unknowns};

/// Frames looked at, spread evenly over the repetitions.
const FRAMES: usize = 24;
/// How many independent looks a repetition counts for: what a lifter does
/// otherwise than assumed, and where the points err, lasts as long as the repetition does (common
/// practice, no source).
const LOOKS_PER_REP: f64 = 1.0;
/// Most looks in all.
const MOST_LOOKS: f64 = 3.0;
/// Beyond this bearing from straight ahead or behind (its sine) standing is left as it is: from the
/// side a squat tells no more of the camera, and its assumptions pull at it (simulated sets: bearing
/// a fifth worse; from 30 degrees off a fifth better, the load share too).
const MOST_ASIDE: f64 = 0.87;
/// Longest step, in standard errors of the first fit.
const LONGEST: f64 = 1.0;

/// Moves the fit to where the frames between the times of `reps` (start and end, ms) are explained
/// best together with standing; `None` when nothing is gained. The covariance stays that of standing:
/// what the frames assume errs alike in all of them, and a narrower one proved too sure.
///
/// In units of the first fit's standard errors (the columns L of its covariance's square root) the
/// standing period weighs |z|^2, and every frame adds what its own best pose leaves unexplained:
/// a maximum a posteriori estimate with Laplace's approximation, one Newton step with the diagonal of
/// the curvature along L, halved until the sum falls (Nocedal & Wright, Numerical Optimization, 3.1).
pub fn refine(
    fit: &StandingFit,
    setup: &Setup,
    poses: &[Pose],
    reps: &[(f64, f64)],
) -> Option<StandingFit> {
    let aside = sin(fit.unknowns[Unknown::Azimuth.index()]).abs();
    let frames = pick(poses, reps);
    if frames.len() < 6 || aside > MOST_ASIDE {
        return None;
    }
    let root = fit.covariance().cholesky()?;
    let variances = variances_of(fit, setup);
    let looks = (reps.len() as f64 * LOOKS_PER_REP).min(MOST_LOOKS);
    let weight = looks / frames.len() as f64;
    let at = |z: &[f64; Unknown::COUNT]| -> Unknowns {
        let mut x = fit.unknowns;
        for (i, value) in x.iter_mut().enumerate() {
            *value += (0..Unknown::COUNT)
                .map(|k| root.lower(i, k) * z[k])
                .sum::<f64>();
        }
        x
    };
    let cost = |z: &[f64; Unknown::COUNT]| -> f64 {
        let geometry = Geometry::new(fit, &at(z), setup, variances);
        let own: f64 = z.iter().map(|v| v * v).sum();
        let seen: f64 = frames
            .iter()
            .map(|f| geometry.read(f, Knees::Estimated).misfit)
            .sum();
        own + weight * seen
    };
    let here = cost(&[0.0; Unknown::COUNT]);
    let mut step = [0.0; Unknown::COUNT];
    for k in 0..Unknown::COUNT {
        let mut z = [0.0; Unknown::COUNT];
        z[k] = 1.0;
        let more = cost(&z);
        z[k] = -1.0;
        let less = cost(&z);
        let (slope, bend) = ((more - less) / 2.0, more + less - 2.0 * here);
        // The standing period alone bends by 2.
        let bend = if bend.is_finite() {
            bend.max(2.0)
        } else {
            return None;
        };
        step[k] = (-slope / bend).clamp(-LONGEST, LONGEST);
    }
    for share in [1.0, 0.5, 0.25] {
        let z = step.map(|v| v * share);
        if cost(&z) < here {
            return Some(fit.moved(at(&z)));
        }
    }
    None
}

/// Frames spread evenly over the repetitions, each joint the median of the five frames around; only
/// those that show the hips, without which nothing ties the legs together.
fn pick(poses: &[Pose], reps: &[(f64, f64)]) -> Vec<Pixels> {
    let mut inside = Vec::new();
    for &(from_ms, to_ms) in reps {
        let from = poses.partition_point(|p| p.t_ms < from_ms);
        let to = poses.partition_point(|p| p.t_ms <= to_ms);
        // One may begin with the frame that the one before ends with.
        inside.extend(from.max(inside.last().map_or(0, |i| i + 1))..to);
    }
    let step = (inside.len() as f64 / FRAMES as f64).max(1.0);
    (0..FRAMES)
        .filter_map(|k| inside.get(((k as f64 + 0.5) * step) as usize))
        .filter_map(|&i| poses.get(i.checked_sub(2)?..i + 3))
        .map(|five| middle(five, 5))
        .filter(|frame: &Pixels| {
            [Joint::LeftHip, Joint::RightHip]
                .iter()
                .all(|j| frame[j.index()].is_some())
        })
        .gather()
}
