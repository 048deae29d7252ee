//! The chest in one frame: it hangs from the pelvis by the trunk's length.

use super::assumed::{LEG, Shifts, UPPER_SD, Upper};
use super::drop::Drop;
use super::normal::Normal;
use super::shanks::{CLOSE, grown};
use super::sighting::Point;
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
}

/// The chest (middle of the shoulders, and both) above the pelvis, and the weighted sum of squares
/// that is left.
#[inline]
pub(crate) fn chest(
    camera: &Camera,
    body: &Body,
    pelvis: DVec3,
    shoulders: [Point; 2],
    drop: Drop,
    shifts: &Shifts,
    rounds: usize,
) -> Option<(Pair, f64)> {
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
    for _ in 0..rounds {
        let half = body.shoulder_width / 2.0 * grown(q[5]);
        let length = body.trunk * grown(q[2]);
        let axis = upward(q[0], q[1]);
        let middle = pelvis + axis * length;
        let out = leftward(q[3], q[4]);
        let (sf, cf) = sin_cos(q[0]);
        let (sa, ca) = sin_cos(q[1]);
        let by_lean = DVec3::new(0.0, -ca * sf, ca * cf) * length;
        let by_aside = DVec3::new(ca, -sa * cf, -sa * sf) * length;
        let by_turn = DVec3::new(out.z, 0.0, -out.x) * half;
        let mut normal = Normal::<6>::default();
        for (point, sign) in shoulders.iter().zip([1.0, -1.0]) {
            if let Some(point) = *point {
                let seen = camera.project_with_slope(middle + out * (half * sign))?;
                let by = [
                    by_lean,
                    by_aside,
                    axis * length,
                    by_turn * sign,
                    DVec3::Y * (half * sign),
                    out * (half * sign),
                ];
                for (slope, miss, weight) in point.rows(seen) {
                    normal.add(&by.map(|d| slope.dot(d)), miss, weight);
                }
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
    let middle = pelvis + upward(q[0], q[1]) * (body.trunk * grown(q[2]));
    let out = leftward(q[3], q[4]) * (body.shoulder_width / 2.0 * grown(q[5]));
    let chest = Pair {
        middle,
        ends: [middle + out, middle - out],
    };
    middle.is_finite().then_some((chest, misfit))
}
