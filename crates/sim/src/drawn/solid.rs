//! The solid of a foot and its shank, and where a ray meets it.

use super::surface::Wear;
use crate::foot::{Backward, Foot, FootState};
use glam::DVec3;

/// Along the foot from the heel point, height, half breadth; in foot lengths. Of this file's own
/// making, as the core's solid is of its own.
const SHOE: [[f64; 3]; 8] = [
    [-0.075, 0.10, 0.03],
    [-0.06, 0.30, 0.085],
    [0.05, 0.37, 0.13],
    [0.25, 0.37, 0.135],
    [0.45, 0.29, 0.15],
    [0.68, 0.20, 0.19],
    [0.90, 0.15, 0.175],
    [1.06, 0.06, 0.06],
];
const BARE: [[f64; 3]; 8] = [
    [-0.05, 0.06, 0.02],
    [-0.03, 0.20, 0.085],
    [0.06, 0.30, 0.115],
    [0.22, 0.31, 0.12],
    [0.42, 0.24, 0.135],
    [0.66, 0.14, 0.18],
    [0.88, 0.085, 0.175],
    [1.02, 0.04, 0.07],
];
/// A foot is broader to the outside of its axis, by this in foot lengths.
const ASIDE: f64 = -0.02;
/// Radius of the shank at the ankle, m, and how it grows upward.
const SHANK: (f64, f64) = (0.038, 0.07);
/// Half the stretch of a ray that is searched, and its step, m.
const REACH: f64 = 0.22;
const STEP: f64 = 0.014;

/// One leg in one frame.
pub struct Solid {
    /// What the foot does.
    back: Backward,
    /// Its length, m.
    length: f64,
    /// About the middle of foot and ankle.
    middle: DVec3,
    /// Where the ankle is.
    ankle: DVec3,
    /// 1 / square of the shank's length, 1 / m^2.
    shank: f64,
    /// Where the knee is.
    knee: DVec3,
    /// What is worn.
    wear: Wear,
}

/// Where a ray meets a leg.
pub struct Hit {
    /// Along the ray, m.
    pub depth: f64,
    /// Grey level in full light.
    pub grey: f64,
    /// Which way the surface looks.
    pub normal: DVec3,
}

impl Solid {
    /// The leg between this ankle and knee; `side` is +1 left, -1 right.
    pub fn new(
        foot: &Foot,
        state: &FootState,
        side: f64,
        [ankle, knee]: [DVec3; 2],
        wear: Wear,
    ) -> Self {
        let (sin, cos) = state.bearing.to_radians().sin_cos();
        let ahead = DVec3::new(sin, 0.0, cos);
        let at = DVec3::new(state.at.x, 0.09, state.at.y);
        Self {
            back: foot.backward(state, side),
            length: foot.length,
            middle: at + ahead * (0.3 * foot.length),
            ankle,
            shank: 1.0 / (knee - ankle).length_squared().max(1e-6),
            knee,
            wear,
        }
    }

    /// Below 1 inside of the foot; and the place at rest, in foot lengths.
    fn foot_at(&self, p: DVec3) -> Option<(f64, DVec3)> {
        let rest = self.back.rest(p)? / self.length;
        if !((0.0..0.4).contains(&rest.z) && rest.y.abs() < 0.25) {
            return None;
        }
        let shape = if self.wear == Wear::Bare {
            &BARE
        } else {
            &SHOE
        };
        let i = shape.iter().position(|s| s[0] > rest.x)?;
        let (a, b) = (shape.get(i.checked_sub(1)?)?, shape.get(i)?);
        let t = (rest.x - a[0]) / (b[0] - a[0]);
        let (height, breadth) = (a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2]));
        let power = |v: f64| v * v * v.abs().sqrt();
        Some((
            power((rest.y - ASIDE) / breadth) + power(rest.z / height),
            rest,
        ))
    }

    /// The same of the shank: below 1 inside, height along it and the way out from its axis.
    fn shank_at(&self, p: DVec3) -> Option<(f64, f64, DVec3)> {
        let axis = self.knee - self.ankle;
        let up = (p - self.ankle).dot(axis) * self.shank;
        if !(0.0..1.0).contains(&up) {
            return None;
        }
        let out = p - self.ankle - axis * up;
        Some((out.length() / (SHANK.0 + SHANK.1 * up), up, out))
    }

    fn inside(&self, p: DVec3) -> bool {
        self.foot_at(p).is_some_and(|f| f.0 <= 1.0) || self.shank_at(p).is_some_and(|s| s.0 <= 1.0)
    }

    /// Where a ray meets this leg first.
    pub fn hit(&self, from: DVec3, ray: DVec3) -> Option<Hit> {
        let middle = self.middle;
        let near = (middle - from).dot(ray);
        if (from + ray * near - middle).length() > REACH {
            return None;
        }
        // Only within the ball about the foot, and above the floor.
        let off = (from + ray * near - middle).length_squared();
        let half = (REACH * REACH - off).max(0.0).sqrt();
        let down = if ray.y < -1e-6 {
            -from.y / ray.y
        } else {
            f64::INFINITY
        };
        let steps = ((half + half.min(down + STEP - near)) / STEP).max(0.0) as usize;
        let first = (0..=steps)
            .map(|i| near - half + i as f64 * STEP)
            .find(|&depth| self.inside(from + ray * depth))?;
        let (mut a, mut b) = (first - STEP, first);
        for _ in 0..7 {
            let mid = 0.5 * (a + b);
            if self.inside(from + ray * mid) {
                b = mid;
            } else {
                a = mid;
            }
        }
        let p = from + ray * b;
        if let Some((_, rest)) = self.foot_at(p).filter(|f| f.0 <= 1.0) {
            let away = |step: DVec3| {
                let at = |p| self.foot_at(p).map_or(1.0, |f| f.0);
                at(p + step) - at(p - step)
            };
            const E: f64 = 0.003;
            let normal = DVec3::new(away(DVec3::X * E), away(DVec3::Y * E), away(DVec3::Z * E));
            return Some(Hit {
                depth: b,
                grey: self.wear.foot(rest),
                normal: normal.normalize_or(DVec3::Y),
            });
        }
        let (_, up, out) = self.shank_at(p)?;
        Some(Hit {
            depth: b,
            grey: self.wear.leg(up, out.x.atan2(out.z)),
            normal: out.normalize_or(DVec3::Y),
        })
    }

    /// How much of the sky this foot hides from a place on the floor: 0 far away, 1 under it.
    pub fn hides(&self, p: DVec3) -> f64 {
        let Some(rest) = self.back.rest(p + DVec3::Y * 0.004) else {
            return 0.6;
        };
        let rest = rest / self.length;
        let out = |v: f64, low: f64, high: f64| (low - v).max(v - high).max(0.0);
        let (x, y) = (out(rest.x, -0.05, 1.0), out(rest.y - ASIDE, -0.15, 0.15));
        // A foot that is up lets light in.
        let gap = (-rest.z).max(0.0) * self.length;
        (-x.hypot(y) / 0.12).exp() / (1.0 + gap / 0.02)
    }
}
