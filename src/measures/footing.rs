//! Where the feet stand in each repetition: between two of them lifters shift them by some centimetres,
//! without standing still again.

use super::foot::{FootPoints, locate};
use super::geometry::{Geometry, Pixels};
use super::measurer::{Measurer, middle};
use crate::keypoints::{Joint, Part, Side};
use crate::pose::Pose;
use crate::standing::body::FootMove;

/// Spreads of a foot's motions (see [`super::assumed::Leg`]) while the lifter is upright, the heel down
/// and the foot flat where it stood, and when it may stand elsewhere (common practice, no source).
const PLANTED: [f64; 6] = [0.02, 0.03, 0.017, 0.003, 0.003, 0.002];
const ELSEWHERE: [f64; 6] = [0.02, 0.03, 0.12, 0.025, 0.025, 0.002];
/// A foot stands elsewhere when that explains its points better by this much (twice the logarithm of
/// the likelihood ratio; for its three unknowns 7.8 is exceeded by chance once in twenty, and a foot that is
/// then moved is moved by the points' noise only).
const CLEAR: f64 = 8.0;
/// The lifter stands upright this long before a repetition, at most, ms.
const BEFORE_MS: f64 = 400.0;
/// Without a rest between two repetitions the lifter is upright about so long, ms.
const AROUND_MS: f64 = 120.0;
/// Fewer frames tell nothing.
const FEWEST: usize = 3;

/// The feet of a stretch of time.
#[derive(Clone, Debug)]
pub(super) struct Footing {
    /// From here on, ms.
    pub from_ms: f64,
    /// Measures against where the feet stand.
    pub measurer: Measurer,
}

/// One footing for each repetition (start and end, ms; in order) whose feet stand elsewhere than in the
/// one before, after that of standing.
pub(super) fn footings(standing: &Measurer, poses: &[Pose], reps: &[(f64, f64)]) -> Vec<Footing> {
    let mut out = vec![Footing {
        from_ms: f64::NEG_INFINITY,
        measurer: standing.clone(),
    }];
    let mut last = [FootMove::NONE; 2];
    let mut over = f64::NEG_INFINITY;
    for &(start, end) in reps {
        let from = (start - BEFORE_MS).max(over).min(start - AROUND_MS);
        let a = poses.partition_point(|p| p.t_ms < from);
        let b = poses.partition_point(|p| p.t_ms <= start + AROUND_MS);
        let moves = match poses.get(a..b) {
            Some(seen) => elsewhere(&standing.geometry, &middle(seen, FEWEST), last),
            None => last,
        };
        if moves != last {
            out.push(Footing {
                from_ms: over.max(start - 2.0 * BEFORE_MS).midpoint(start),
                measurer: standing.with_feet(&moves),
            });
            last = moves;
        }
        over = end;
    }
    out
}

/// Where each foot stands against standing; where it stood before when it is not seen.
fn elsewhere(geometry: &Geometry, pixels: &Pixels, before: [FootMove; 2]) -> [FootMove; 2] {
    Side::BOTH.map(|side| {
        let points: FootPoints = [Part::Heel, Part::BigToe, Part::SmallToe, Part::Ankle]
            .map(|part| geometry.point(pixels, Joint::of(part, side), 0.0));
        if points.iter().flatten().count() < 2 {
            return before[side.index()];
        }
        let leg = &geometry.body.legs[side.index()];
        let fit = |spreads: &[f64]| {
            let (camera, foot) = (&geometry.camera, geometry.body.foot);
            locate(camera, leg, foot, side.sign(), &points, &[], spreads)
        };
        match (fit(&PLANTED), fit(&ELSEWHERE)) {
            (Some(planted), Some(free)) if planted.misfit - free.misfit > CLEAR => FootMove {
                turn: free.motion[2],
                along: free.motion[3],
                medial: free.motion[4],
            },
            _ => FootMove::NONE,
        }
    })
}
