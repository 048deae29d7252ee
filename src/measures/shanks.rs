//! Knees in one frame: their rays meet the spheres of the shanks' lengths.

// Sides and their blocks of unknowns are walked by one index.
#![allow(clippy::needless_range_loop)]

use super::assumed::{LEG, LEG_SD, Leg, SLIDES, Shifts, Slide, UPPER_SD, Upper};
use super::drop::{DEEP_DROP, Drop, lean_at};
use super::normal::Normal;
use super::sighting::Sighting;
use crate::angle::sin_cos;
use crate::standing::Camera;
use crate::standing::body::{Body, shankward};
use glam::DVec3;

/// A last step shorter than this, in rad or a third of it in m, ends an iteration: the error that it
/// leaves is of the step's square.
pub(super) const CLOSE: f64 = 2e-3;
/// What a knee is solved from.
#[derive(Clone, Copy)]
pub(crate) struct Shin {
    /// Ankle, m.
    pub ankle: DVec3,
    /// Knee.
    pub knee: Sighting,
}

/// Lean, inward lean and logarithm of the apparent length of the left shank, then of the right one.
pub(super) type Unknowns = [f64; 6];

/// Both knees, and how far their points slid.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Knees {
    /// Places and inward leans in rad.
    pub legs: [Option<(DVec3, f64)>; 2],
    /// How far the second way of sliding is believed, 0 to 1.
    pub second: f64,
    /// Mean change of the logarithm of the shanks' apparent lengths against standing.
    pub slide: f64,
    /// Inward leans under the second way less those under the first, rad.
    pub apart: [f64; 2],
    /// Weighted sum of squares that is left.
    pub misfit: f64,
}

/// How many times as long a segment is whose length changed by a logarithm; to second order, which
/// lacks 0.04 % at the largest mean of [`SLIDES`].
#[inline]
pub(super) fn grown(log: f64) -> f64 {
    1.0 + log * (1.0 + 0.5 * log)
}

/// Place of a side's knee, m.
#[inline]
pub(super) fn knee(body: &Body, side: usize, shin: &Shin, q: &Unknowns) -> DVec3 {
    let (leg, i) = (&body.legs[side], 3 * side);
    let arm = shankward(leg.along, leg.medial, q[i], q[i + 1]);
    shin.ankle + arm * (body.shank * grown(q[i + 2]))
}

/// The knees of shanks solved under each way of sliding, weighed by their misfits.
#[inline]
pub(super) fn weigh(
    body: &Body,
    shins: &[Option<Shin>; 2],
    shifts: &Shifts,
    solved: &[Option<(Unknowns, f64)>; 2],
) -> Knees {
    let odds = shifts[2 * LEG + Upper::SlideOdds as usize];
    let (q, misfit, second) = match *solved {
        [Some((a, cost_a)), Some((b, cost_b))] => {
            let log = SLIDES[1].log_odds + odds + (cost_a - cost_b) / 2.0;
            let share = 1.0 / (1.0 + libm::exp(-log));
            let mut q = a;
            for (x, y) in q.iter_mut().zip(b) {
                *x += (y - *x) * share;
            }
            (q, cost_a.min(cost_b), share)
        }
        [Some((q, cost)), None] => (q, cost, 0.0),
        [None, Some((q, cost))] => (q, cost, 1.0),
        [None, None] => return Knees::default(),
    };
    let mut out = Knees {
        misfit,
        second,
        ..Knees::default()
    };
    let mut seen: f64 = 0.0;
    for s in 0..2 {
        if let Some(shin) = &shins[s] {
            let place = knee(body, s, shin, &q);
            out.slide += q[3 * s + 2];
            seen += 1.0;
            out.legs[s] = place.is_finite().then_some((place, q[3 * s + 1]));
        }
    }
    out.slide /= seen.max(1.0);
    if let [Some((a, _)), Some((b, _))] = solved {
        out.apart = [b[1] - a[1], b[4] - a[4]];
    }
    out
}

/// What a squat of a depth is expected to do to the shanks under one way of sliding.
pub(super) struct Prior {
    pub expected: Unknowns,
    spreads: [f64; 3],
    stretch: f64,
    /// Logarithm of the thighs' apparent length against standing, and its spread.
    pub thigh: [f64; 2],
}

#[inline]
pub(super) fn prior(body: &Body, drop: Drop, slide: &Slide, shifts: &Shifts) -> Prior {
    let loose = drop.loose;
    let extra = lean_at(drop.share);
    let stretch = (0.1 + 0.9 * drop.share / DEEP_DROP).clamp(0.1, 1.1);
    let sd = |k: Leg| LEG_SD[k as usize];
    let mut expected = [0.0; 6];
    for s in 0..2 {
        let leg = &body.legs[s];
        let mean = |k: Leg| shifts[s * LEG + k as usize];
        expected[3 * s] = leg.lean + extra + mean(Leg::Lean) * loose;
        expected[3 * s + 1] = leg.inward + mean(Leg::Inward);
        expected[3 * s + 2] = (slide.mean + mean(Leg::Shank)) * stretch;
    }
    Prior {
        expected,
        spreads: [sd(Leg::Lean) * loose, sd(Leg::Inward), slide.sd * stretch],
        stretch,
        thigh: [
            slide.thigh * stretch,
            crate::angle::hypot(sd(Leg::Thigh), slide.thigh_sd * stretch),
        ],
    }
}

/// A knee on its way to a solution.
#[derive(Clone, Copy, Default)]
pub(super) struct Moving {
    /// Its place, m.
    pub place: DVec3,
    /// Its slopes by lean, inward lean and log length.
    pub slopes: [DVec3; 3],
}

/// Adds what is seen of the shanks to the first six unknowns of a problem; gives the knees.
#[inline]
pub(super) fn observe<const N: usize>(
    camera: &Camera,
    body: &Body,
    shins: &[Option<Shin>; 2],
    q: &Unknowns,
    normal: &mut Normal<N>,
) -> Option<[Moving; 2]> {
    let mut knees = [Moving::default(); 2];
    for s in 0..2 {
        let (leg, i) = (&body.legs[s], 3 * s);
        let Some(shin) = &shins[s] else { continue };
        let (sl, cl) = sin_cos(q[i]);
        let (si, ci) = sin_cos(q[i + 1]);
        let length = body.shank * grown(q[i + 2]);
        let in_plane = leg.along * sl + DVec3::Y * cl;
        let direction = leg.medial * si + in_plane * ci;
        let arm = direction * length;
        let seen = camera.project_with_slope(shin.ankle + arm)?;
        let by = [
            (leg.along * cl - DVec3::Y * sl) * (ci * length),
            (leg.medial * ci - in_plane * si) * length,
            arm,
        ];
        for (slope, miss, weight) in shin.knee.rows(seen) {
            normal.add_block(i, &by.map(|d| slope.dot(d)), miss, weight);
        }
        knees[s] = Moving {
            place: shin.ankle + arm,
            slopes: by,
        };
    }
    Some(knees)
}

/// Adds what is expected of the shanks under one way of sliding.
#[inline]
pub(super) fn expect<const N: usize>(
    body: &Body,
    shins: &[Option<Shin>; 2],
    prior: &Prior,
    shifts: &Shifts,
    q: &Unknowns,
    normal: &mut Normal<N>,
) {
    for i in 0..6 {
        normal.hold(i, prior.expected[i] - q[i], prior.spreads[i % 3]);
    }
    if shins.iter().all(Option::is_some) {
        let upper = |k: Upper| shifts[2 * LEG + k as usize];
        let standing = body.legs[0].lean - body.legs[1].lean;
        let miss = standing + upper(Upper::LeanApart) - (q[0] - q[3]);
        normal.hold_apart(0, 3, miss, UPPER_SD[Upper::LeanApart as usize]);
        let stretch = prior.stretch;
        let miss = upper(Upper::SlideApart) * stretch - (q[2] - q[5]);
        normal.hold_apart(2, 5, miss, UPPER_SD[Upper::SlideApart as usize] * stretch);
    }
}

/// Takes a step within bounds; how far it went.
#[inline]
pub(super) fn advance(q: &mut Unknowns, step: &[f64]) -> f64 {
    let limits = [(-0.5, 1.3), (-1.2, 1.2), (-0.4, 0.4)];
    let mut moved = 0.0;
    for (k, (value, change)) in q.iter_mut().zip(step).enumerate() {
        let (low, high) = limits[k % 3];
        *value = crate::order::within(*value + change.clamp(-0.5, 0.5), low, high);
        moved += change.abs();
    }
    moved
}
