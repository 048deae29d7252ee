//! Where a planted foot is in one frame: pitched about its ball, rolled about its long axis, and
//! hardly moved otherwise.

use super::assumed::Leg;
use super::normal::Normal;
use super::sighting::Point;
use crate::angle;
use crate::standing::Camera;
use crate::standing::body;
use glam::{DQuat, DVec3};

/// A foot in one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FootPose {
    /// Roll about the long axis, inward +, rad.
    pub roll: f64,
    /// Ankle joint centre, m.
    pub ankle: DVec3,
    /// Heel point, m.
    pub heel: DVec3,
    /// Bases of the big and the little toe, m above their standing height.
    pub toe_bases_rise: [f64; 2],
    /// Weighted sum of squares that is left.
    pub misfit: f64,
    /// Its six motions from standing, in the order of [`Leg`]: rad and m.
    pub motion: [f64; 6],
}

/// What was seen of a foot: heel, big toe, little toe, ankle.
pub(crate) type FootPoints = [Point; 4];

/// Fits the foot's six motions to its four points by Gauss-Newton, starting from standing.
/// `sign` is +1 for the left foot. `means` are the assumptions' means and `spreads` their standard
/// deviations, by [`Leg`].
#[inline]
pub(crate) fn locate(
    camera: &Camera,
    leg: &body::Leg,
    foot_length: f64,
    sign: f64,
    points: &FootPoints,
    means: &[f64],
    spreads: &[f64],
) -> Option<FootPose> {
    let mut q = [0.0; 6];
    let hold = [
        Leg::Pitch,
        Leg::Roll,
        Leg::Turn,
        Leg::SlipAlong,
        Leg::SlipAcross,
        Leg::Rise,
    ];
    let lateral = DVec3::Y.cross(leg.along);
    let long = leg.along * sign;
    let mut misfit = 0.0;
    for _ in 0..2 {
        let moved = Motion::new(leg, lateral, long, &q);
        let mut normal = Normal::<6>::default();
        for (i, point) in points.iter().enumerate() {
            let Some(point) = *point else { continue };
            let (place, hinged) = match i {
                0 => (leg.heel, true),
                1 => (leg.big_toe, false),
                2 => (leg.small_toe, false),
                _ => (leg.ankle, true),
            };
            let x = moved.place(place, hinged);
            let seen = camera.project_with_slope(x)?;
            let arm = x - moved.pivot;
            let by_pitch = if hinged {
                moved.lateral.cross(arm)
            } else {
                DVec3::ZERO
            };
            let by = [
                by_pitch,
                moved.long.cross(arm),
                DVec3::Y.cross(arm),
                leg.along,
                leg.medial,
                DVec3::Y,
            ];
            for (slope, miss, weight) in point.rows(seen) {
                normal.add(&by.map(|d| slope.dot(d)), miss, weight);
            }
        }
        for (i, assumption) in hold.iter().enumerate() {
            let k = *assumption as usize;
            let (mean, spread) = (means.get(k), spreads.get(k));
            normal.hold(i, mean.copied().unwrap_or(0.0) - q[i], *spread?);
        }
        let step = normal.solve()?;
        misfit = normal.left(&step);
        for (value, change) in q.iter_mut().zip(step) {
            *value = (*value + change).clamp(-1.2, 1.2);
        }
        // A foot that hardly turned needs no second look: the rest is of second order.
        if step[0].abs().max(step[1].abs()) < 0.03 {
            break;
        }
    }
    let moved = Motion::new(leg, lateral, long, &q);
    // Bases of the toes: at the ball, a quarter of foot length apart, on the axis' inner third.
    let base = |across: f64, back: f64| {
        let at = leg.ball + leg.medial * (across * foot_length) - leg.along * (back * foot_length);
        moved.place(at, false).y - at.y
    };
    Some(FootPose {
        roll: q[1],
        ankle: moved.place(leg.ankle, true),
        heel: moved.place(leg.heel, true),
        misfit,
        motion: q,
        toe_bases_rise: [base(0.1, 0.0), base(-0.18, 0.1)],
    })
}

struct Motion {
    pivot: DVec3,
    from: DVec3,
    lateral: DVec3,
    long: DVec3,
    whole: DQuat,
    hinge: DQuat,
}

impl Motion {
    #[inline]
    fn new(leg: &body::Leg, lateral: DVec3, long: DVec3, q: &[f64; 6]) -> Self {
        let turn = small_rotation(DVec3::Y, q[2]);
        let whole = turn * small_rotation(long, q[1]);
        Self {
            from: leg.ball,
            pivot: leg.ball + leg.along * q[3] + leg.medial * q[4] + DVec3::Y * q[5],
            lateral: whole * lateral,
            long: turn * long,
            whole,
            hinge: whole * small_rotation(lateral, q[0]),
        }
    }

    #[inline]
    fn place(&self, standing: DVec3, hinged: bool) -> DVec3 {
        let r = if hinged { self.hinge } else { self.whole };
        self.pivot + r * (standing - self.from)
    }
}

#[inline]
fn small_rotation(axis: DVec3, angle: f64) -> DQuat {
    angle::turn(axis, angle)
}
