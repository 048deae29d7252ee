//! Knee, pelvis and chest in one frame: rays meet the spheres of the segments' lengths.

// Sides and their blocks of unknowns are walked by one index.
#![allow(clippy::needless_range_loop)]

use super::assumed::{LEG, LEG_SD, Leg, SLIDES, Shifts, Slide, UPPER_SD, Upper};
use super::normal::Normal;
use crate::standing::Camera;
use crate::standing::body::{Body, leftward, shankward, upward};
use glam::{DVec2, DVec3};

/// A point seen: px and weight (1 / px^2).
pub(crate) type Point = Option<(DVec2, f64)>;

/// Shank's lean beyond standing: this times the square root of the pelvis drop, rad. UI-PRMD, 200
/// legs: 14.1, 20.0, 24.0, 27.5, 30.7 degrees at drops of 0.1 to 0.5 (spread 3.6 to 6.2).
const LEAN_PER_ROOT_DROP: f64 = 0.777;
/// A last step shorter than this, in rad or a third of it in m, ends an iteration: the error that it
/// leaves is of the step's square.
const CLOSE: f64 = 2e-3;
/// Most that it gets, rad.
const MOST_LEAN: f64 = 0.59;
/// Pelvis drop, of its standing height, at the bottom of a deep squat (UI-PRMD: 0.535).
const DEEP_DROP: f64 = 0.52;

/// Lean beyond standing that goes with a pelvis drop; straight near zero, where noise rules.
#[inline]
pub(crate) fn lean_at(drop: f64) -> f64 {
    (LEAN_PER_ROOT_DROP * drop / (drop.abs() + 0.02).sqrt()).min(MOST_LEAN)
}

/// How far the pelvis has dropped.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drop {
    /// Share of its standing height.
    pub share: f64,
    /// Seen from the hips; else inferred from the shins.
    pub by_hips: bool,
}

impl Drop {
    /// How deep the squat is: 0 standing, 1 at the bottom of a deep squat.
    pub fn depth(self) -> f64 {
        (self.share / DEEP_DROP).clamp(-0.1, 1.2)
    }

    /// The drop whose usual lean makes the shins as short in the picture as they are: `ratio` of
    /// the knee's height over the ankle to that in standing.
    pub fn of_shins(ratio: f64, standing_lean: f64) -> Self {
        let upright = standing_lean.cos();
        let (mut low, mut high) = (0.0, 0.75);
        for _ in 0..12 {
            let middle = (low + high) / 2.0;
            if (standing_lean + lean_at(middle)).cos() / upright > ratio {
                low = middle;
            } else {
                high = middle;
            }
        }
        Self {
            share: low,
            by_hips: false,
        }
    }
}

/// What a knee is solved from.
#[derive(Clone, Copy)]
pub(crate) struct Shin {
    /// Ankle, m.
    pub ankle: DVec3,
    /// Knee, px and weight.
    pub knee: (DVec2, f64),
}

/// Both knees, and how far their points slid.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Knees {
    /// Places and inward leans in rad.
    pub legs: [Option<(DVec3, f64)>; 2],
    /// Mean change of the logarithm of the shanks' apparent lengths against standing.
    pub slide: f64,
    /// Weighted sum of squares that is left.
    pub misfit: f64,
}

/// Both knees: places, and inward leans in rad.
///
/// Each shank has three unknowns: lean along the foot, lean inward, and the logarithm of its
/// apparent length. The legs are solved together, because a lifter's two shanks lean alike (0.95
/// degrees apart, UI-PRMD) and slide alike. It is solved for each way of sliding, and the
/// solutions are weighed by how well they fit.
#[inline]
pub(crate) fn knees(
    camera: &Camera,
    body: &Body,
    shins: &[Option<Shin>; 2],
    drop: Drop,
    shifts: &Shifts,
) -> Knees {
    if shins.iter().all(Option::is_none) {
        return Knees::default();
    }
    let first = shanks(camera, body, shins, drop, &SLIDES[0], shifts, None);
    let near = first.map(|f| f.0);
    let solved = [
        first,
        shanks(camera, body, shins, drop, &SLIDES[1], shifts, near),
    ];
    let odds = shifts[2 * LEG + Upper::SlideOdds as usize];
    let (q, misfit) = match solved {
        [Some((a, cost_a)), Some((b, cost_b))] => {
            let log = SLIDES[1].log_odds + odds + (cost_a - cost_b) / 2.0;
            let share = 1.0 / (1.0 + (-log).exp());
            let mut q = a;
            for (x, y) in q.iter_mut().zip(b) {
                *x += (y - *x) * share;
            }
            (q, cost_a.min(cost_b))
        }
        [Some(one), None] | [None, Some(one)] => one,
        [None, None] => return Knees::default(),
    };
    let mut out = Knees {
        misfit,
        ..Knees::default()
    };
    let mut seen = 0.0;
    for s in 0..2 {
        if let Some(shin) = &shins[s] {
            let (leg, i) = (&body.legs[s], 3 * s);
            let arm = shankward(leg.along, leg.medial, q[i], q[i + 1]);
            let place = shin.ankle + arm * (body.shank * q[i + 2].exp());
            out.legs[s] = place.is_finite().then_some((place, q[i + 1]));
            out.slide += q[i + 2];
            seen += 1.0;
        }
    }
    out.slide /= seen;
    out
}

/// Lean, inward lean and log length of both shanks under one way of sliding, and the misfit.
#[inline]
fn shanks(
    camera: &Camera,
    body: &Body,
    shins: &[Option<Shin>; 2],
    drop: Drop,
    slide: &Slide,
    shifts: &Shifts,
    near: Option<[f64; 6]>,
) -> Option<([f64; 6], f64)> {
    let loose = if drop.by_hips { 1.0 } else { 1.3 };
    let extra = lean_at(drop.share);
    let stretch = (0.1 + 0.9 * drop.share / DEEP_DROP).clamp(0.1, 1.1);
    let sd = |k: Leg| LEG_SD[k as usize];
    let upper = |k: Upper| shifts[2 * LEG + k as usize];
    let mut q = [0.0; 6];
    let mut expected = [0.0; 6];
    for s in 0..2 {
        let leg = &body.legs[s];
        let mean = |k: Leg| shifts[s * LEG + k as usize];
        expected[3 * s] = leg.lean + extra + mean(Leg::Lean) * loose;
        expected[3 * s + 1] = leg.inward + mean(Leg::Inward);
        expected[3 * s + 2] = (slide.mean + mean(Leg::Shank)) * stretch;
        q[3 * s] = expected[3 * s].max(0.02);
        q[3 * s + 1] = leg.inward;
        q[3 * s + 2] = expected[3 * s + 2];
    }
    if let Some(near) = near {
        q = near;
    }
    let spreads = [sd(Leg::Lean) * loose, sd(Leg::Inward), slide.sd * stretch];
    let both = shins.iter().all(Option::is_some);
    let mut cost = 0.0;
    for _ in 0..5 {
        let mut normal = Normal::<6>::new();
        for s in 0..2 {
            let (leg, i) = (&body.legs[s], 3 * s);
            if let Some(shin) = &shins[s] {
                let (sl, cl) = q[i].sin_cos();
                let (si, ci) = q[i + 1].sin_cos();
                let length = body.shank * (1.0 + q[i + 2] * (1.0 + 0.5 * q[i + 2]));
                let in_plane = leg.along * sl + DVec3::Y * cl;
                let arm = (leg.medial * si + in_plane * ci) * length;
                let (at, du, dv) = camera.project_with_slope(shin.ankle + arm)?;
                let by = [
                    (leg.along * cl - DVec3::Y * sl) * (ci * length),
                    (leg.medial * ci - in_plane * si) * length,
                    arm,
                ];
                let (px, weight) = shin.knee;
                let miss = px - at;
                normal.add_block(i, &by.map(|d| du.dot(d)), miss.x, weight);
                normal.add_block(i, &by.map(|d| dv.dot(d)), miss.y, weight);
            }
            for (k, spread) in spreads.into_iter().enumerate() {
                normal.hold(i + k, expected[i + k] - q[i + k], spread);
            }
        }
        if both {
            let standing = body.legs[0].lean - body.legs[1].lean;
            let miss = standing + upper(Upper::LeanApart) - (q[0] - q[3]);
            normal.hold_apart(0, 3, miss, UPPER_SD[Upper::LeanApart as usize]);
            let miss = upper(Upper::SlideApart) * stretch - (q[2] - q[5]);
            normal.hold_apart(2, 5, miss, UPPER_SD[Upper::SlideApart as usize] * stretch);
        }
        let step = normal.solve()?;
        cost = normal.left(&step);
        let limits = [(-0.5, 1.3), (-1.2, 1.2), (-0.4, 0.4)];
        let mut moved = 0.0;
        for (k, (value, change)) in q.iter_mut().zip(step).enumerate() {
            let (low, high) = limits[k % 3];
            *value = crate::order::within(*value + change.clamp(-0.5, 0.5), low, high);
            moved += change.abs();
        }
        if moved < CLOSE {
            break;
        }
    }
    Some((q, cost))
}

/// Two joints and their middle, m.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair {
    /// Between them.
    pub middle: DVec3,
    /// Left and right.
    pub ends: [DVec3; 2],
    /// Weighted sum of squares that is left.
    pub misfit: f64,
}

/// The pelvis (its middle, and its turn) from the hips seen and the thighs' lengths.
#[inline]
pub(crate) fn pelvis(
    camera: &Camera,
    body: &Body,
    knees: [Option<DVec3>; 2],
    hips: [Point; 2],
    drop: Drop,
    shifts: &Shifts,
) -> Option<Pair> {
    if hips.iter().all(Option::is_none) {
        return None;
    }
    let upper = |k: Upper| shifts[2 * LEG + k as usize];
    let mid_knee = match knees {
        [Some(a), Some(b)] => (a + b) / 2.0,
        [a, b] => a.or(b)?,
    };
    // First guess: at the height that the drop in the picture says, a thigh's length behind.
    let y = body.pelvis.y * (1.0 - drop.share);
    let up = ((y - mid_knee.y) / body.thigh).clamp(-0.6, 0.99);
    let mut m = DVec3::new(
        body.pelvis.x,
        y,
        mid_knee.z - body.thigh * (1.0 - up * up).sqrt(),
    );
    let (mut turn, mut tilt) = (body.pelvis_turn[0], body.pelvis_turn[1]);
    let half = body.hip_width / 2.0;
    let mut misfit = 0.0;
    for _ in 0..5 {
        let out = leftward(turn, tilt);
        let by_turn = DVec3::new(out.z, 0.0, -out.x);
        let by_tilt = DVec3::Y;
        let mut normal = Normal::<5>::new();
        for (side, sign) in [(0, 1.0), (1, -1.0)] {
            let hip = m + out * (half * sign);
            let slopes = |d: DVec3| {
                [
                    d.x,
                    d.y,
                    d.z,
                    d.dot(by_turn) * half * sign,
                    d.dot(by_tilt) * half * sign,
                ]
            };
            if let Some((px, weight)) = hips[side] {
                let (at, du, dv) = camera.project_with_slope(hip)?;
                normal.add(&slopes(du), px.x - at.x, weight);
                normal.add(&slopes(dv), px.y - at.y, weight);
            }
            if let Some(knee) = knees[side] {
                let arm = hip - knee;
                let length = arm.length().max(1e-3);
                let k = Leg::Thigh as usize;
                let wanted = body.thigh * shifts[side * LEG + k].exp();
                let sd = body.thigh * LEG_SD[k];
                normal.add(&slopes(arm / length), wanted - length, 1.0 / (sd * sd));
            }
        }
        normal.hold(
            3,
            body.pelvis_turn[0] + upper(Upper::PelvisTurn) - turn,
            UPPER_SD[Upper::PelvisTurn as usize],
        );
        normal.hold(
            4,
            body.pelvis_turn[1] + upper(Upper::PelvisTilt) - tilt,
            UPPER_SD[Upper::PelvisTilt as usize],
        );
        // Nothing pulls the pelvis anywhere else; this only keeps a lone hip from running away.
        for axis in 0..3 {
            normal.hold(axis, 0.0, 0.5);
        }
        let step = normal.solve()?;
        misfit = normal.left(&step);
        let change = DVec3::new(step[0], step[1], step[2]).clamp_length_max(0.3);
        m += change;
        turn = (turn + step[3]).clamp(-1.0, 1.0);
        tilt = (tilt + step[4]).clamp(-1.0, 1.0);
        if change.length_squared() < (CLOSE * 0.3).powi(2) {
            break;
        }
    }
    let out = leftward(turn, tilt) * half;
    m.is_finite().then_some(Pair {
        middle: m,
        ends: [m + out, m - out],
        misfit,
    })
}

/// The chest (middle of the shoulders, and both) above the pelvis.
#[inline]
pub(crate) fn chest(
    camera: &Camera,
    body: &Body,
    pelvis: DVec3,
    shoulders: [Point; 2],
    drop: Drop,
    shifts: &Shifts,
) -> Option<Pair> {
    let upper = |k: Upper| shifts[2 * LEG + k as usize];
    let sd = |k: Upper| UPPER_SD[k as usize];
    let expected = body.trunk_lean[0] + 0.6 * drop.depth() + upper(Upper::Lean);
    let half = body.shoulder_width / 2.0;
    // Lean forward, lean aside, log length, turn, tilt.
    let mut q = [
        expected,
        body.trunk_lean[1],
        0.0,
        body.shoulders_turn[0],
        body.shoulders_turn[1],
    ];
    let mut misfit = 0.0;
    for _ in 0..4 {
        let length = body.trunk * q[2].exp();
        let axis = upward(q[0], q[1]);
        let middle = pelvis + axis * length;
        let out = leftward(q[3], q[4]);
        let (sf, cf) = q[0].sin_cos();
        let (sa, ca) = q[1].sin_cos();
        let by_lean = DVec3::new(0.0, -ca * sf, ca * cf) * length;
        let by_aside = DVec3::new(ca, -sa * cf, -sa * sf) * length;
        let by_turn = DVec3::new(out.z, 0.0, -out.x) * half;
        let mut normal = Normal::<5>::new();
        for (point, sign) in shoulders.iter().zip([1.0, -1.0]) {
            if let Some((px, weight)) = *point {
                let (at, du, dv) = camera.project_with_slope(middle + out * (half * sign))?;
                let by = [
                    by_lean,
                    by_aside,
                    axis * length,
                    by_turn * sign,
                    DVec3::Y * (half * sign),
                ];
                normal.add(&by.map(|d| du.dot(d)), px.x - at.x, weight);
                normal.add(&by.map(|d| dv.dot(d)), px.y - at.y, weight);
            }
        }
        normal.hold(0, expected - q[0], sd(Upper::Lean));
        normal.hold(
            1,
            body.trunk_lean[1] + upper(Upper::Aside) - q[1],
            sd(Upper::Aside),
        );
        normal.hold(2, upper(Upper::Trunk) - q[2], sd(Upper::Trunk));
        normal.hold(
            3,
            body.shoulders_turn[0] + upper(Upper::ShouldersTurn) - q[3],
            sd(Upper::ShouldersTurn),
        );
        normal.hold(
            4,
            body.shoulders_turn[1] + upper(Upper::ShouldersTilt) - q[4],
            sd(Upper::ShouldersTilt),
        );
        let step = normal.solve()?;
        misfit = normal.left(&step);
        for (value, change) in q.iter_mut().zip(step) {
            *value = (*value + change.clamp(-0.6, 0.6)).clamp(-1.5, 1.9);
        }
        if step.iter().map(|s| s.abs()).sum::<f64>() < CLOSE {
            break;
        }
    }
    let middle = pelvis + upward(q[0], q[1]) * (body.trunk * q[2].exp());
    let out = leftward(q[3], q[4]) * half;
    middle.is_finite().then_some(Pair {
        middle,
        ends: [middle + out, middle - out],
        misfit,
    })
}

/// The far end of a limb of a given length about `joint`: where its ray meets the sphere, the
/// solution further forward; the nearest point of the ray when it misses.
#[inline]
pub(crate) fn tip(camera: &Camera, joint: DVec3, length: f64, px: DVec2) -> DVec3 {
    let ray = camera.ray(px);
    let to = joint - camera.place;
    let along = to.dot(ray);
    let reach = length * length - (to.length_squared() - along * along);
    let near = camera.place + ray * along;
    if reach <= 0.0 {
        return joint + (near - joint).normalize_or_zero() * length;
    }
    let half = ray * reach.sqrt();
    let (a, b) = (near - half, near + half);
    if a.z >= b.z { a } else { b }
}
