//! Pelvis and chest in one frame: each hangs from what is below it by the length of a segment.

use super::assumed::{LEG, LEG_SD, Leg, Shifts, UPPER_SD, Upper};
use super::normal::Normal;
use super::shanks::{CLOSE, Drop, Point};
use crate::angle::sin_cos;
use crate::standing::Camera;
use crate::standing::body::{Body, leftward, upward};
use glam::DVec3;

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
    // Lean forward, lean aside, log length, turn, tilt, log width.
    let mut q = [
        expected,
        body.trunk_lean[1],
        0.0,
        body.shoulders_turn[0],
        body.shoulders_turn[1],
        0.0,
    ];
    let mut misfit = 0.0;
    for _ in 0..4 {
        let half = body.shoulder_width / 2.0 * q[5].exp();
        let length = body.trunk * q[2].exp();
        let axis = upward(q[0], q[1]);
        let middle = pelvis + axis * length;
        let out = leftward(q[3], q[4]);
        let (sf, cf) = sin_cos(q[0]);
        let (sa, ca) = sin_cos(q[1]);
        let by_lean = DVec3::new(0.0, -ca * sf, ca * cf) * length;
        let by_aside = DVec3::new(ca, -sa * cf, -sa * sf) * length;
        let by_turn = DVec3::new(out.z, 0.0, -out.x) * half;
        let mut normal = Normal::<6>::new();
        for (point, sign) in shoulders.iter().zip([1.0, -1.0]) {
            if let Some((px, weight)) = *point {
                let (at, du, dv) = camera.project_with_slope(middle + out * (half * sign))?;
                let by = [
                    by_lean,
                    by_aside,
                    axis * length,
                    by_turn * sign,
                    DVec3::Y * (half * sign),
                    out * (half * sign),
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
        normal.hold(
            5,
            upper(Upper::ShoulderWidth) - q[5],
            sd(Upper::ShoulderWidth),
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
    let out = leftward(q[3], q[4]) * (body.shoulder_width / 2.0 * q[5].exp());
    middle.is_finite().then_some(Pair {
        middle,
        ends: [middle + out, middle - out],
        misfit,
    })
}
