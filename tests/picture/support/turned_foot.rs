//! The drawn foot of feet.rs, turned as it is in one frame. Shape, hinge, edges and texture are of
//! this file's own making and not the tracker's.

use super::Moment;
use glam::{DQuat, DVec3};
use underfoot::standing::body::Leg;

/// Heel point to where the drawn heel ends, in foot lengths.
const BACK: f64 = 0.06;
/// Medial and lateral edge that the foot rolls over, in foot lengths.
const EDGES: [f64; 2] = [0.05, -0.12];

/// Along the foot, height, half breadth; in foot lengths.
const SHAPE: [[f64; 3]; 6] = [
    [-BACK, 0.30, 0.09],
    [0.10, 0.36, 0.125],
    [0.35, 0.34, 0.135],
    [0.62, 0.21, 0.17],
    [0.85, 0.14, 0.17],
    [1.02, 0.07, 0.07],
];

fn shape(ahead: f64) -> Option<[f64; 2]> {
    let i = SHAPE.iter().position(|s| s[0] > ahead)?;
    let (a, b) = (SHAPE.get(i.checked_sub(1)?)?, SHAPE[i]);
    let t = (ahead - a[0]) / (b[0] - a[0]);
    Some([a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])])
}

pub fn waves(x: f64, y: f64, z: f64) -> f64 {
    (130.0 * x + 70.0 * y + 50.0 * z).sin()
        + 0.8 * (-90.0 * x + 150.0 * y + 60.0 * z + 1.0).sin()
        + 0.6 * (220.0 * x - 40.0 * y - 90.0 * z + 2.0).sin()
        + 0.5 * (40.0 * x + 60.0 * y + 190.0 * z + 0.4).sin()
}

/// Where a ray meets a leg: how far along it, the grey level, and whether it is the foot.
pub struct Hit {
    pub depth: f64,
    pub grey: f64,
    pub foot: bool,
}

/// A foot as it is turned in one frame.
pub struct Turned {
    leg: Leg,
    foot: f64,
    about: DVec3,
    whole: DQuat,
    hinge: DQuat,
    shank: DVec3,
}

impl Turned {
    pub fn new(leg: &Leg, at: &Moment, foot: f64) -> Self {
        let lateral = DVec3::Y.cross(leg.along);
        // The long axis about which + is inward: the top goes to the medial side.
        let long = DVec3::Y.cross(leg.medial);
        let edge = if at.roll < 0.0 { EDGES[1] } else { EDGES[0] };
        Self {
            leg: *leg,
            foot,
            about: leg.ball + leg.medial * (edge * foot),
            whole: DQuat::from_axis_angle(long, at.roll),
            hinge: DQuat::from_axis_angle(lateral, at.pitch),
            shank: DVec3::Y * at.lean.cos() + leg.along * at.lean.sin(),
        }
    }

    /// Where a point of the rear foot is now.
    pub fn rear(&self, standing: DVec3) -> DVec3 {
        let pitched = self.leg.ball + self.hinge * (standing - self.leg.ball);
        self.about + self.whole * (pitched - self.about)
    }

    /// Back to standing: along, across (medial +), up from under the heel point, in foot lengths.
    fn back(&self, p: DVec3) -> Option<DVec3> {
        let unrolled = self.about + self.whole.inverse() * (p - self.about);
        let arm = unrolled - self.leg.ball;
        let rear = self.hinge.inverse() * arm;
        let arm = if rear.dot(self.leg.along) < 0.0 {
            rear
        } else if arm.dot(self.leg.along) >= 0.0 {
            arm
        } else {
            return None;
        };
        let v = DVec3::new(arm.dot(self.leg.along), arm.dot(self.leg.medial), arm.y) / self.foot;
        Some(v + DVec3::X * 0.74)
    }

    /// Above 0 inside of the foot or the shank; which of them.
    fn inside(&self, p: DVec3) -> Option<(DVec3, bool)> {
        if let Some(v) = self.back(p)
            && let Some([height, breadth]) = shape(v.x)
            && v.z >= 0.0
            && (v.y / breadth).abs().powf(2.5) + (v.z / height).powf(2.5) <= 1.0
        {
            return Some((v, true));
        }
        let ankle = self.rear(self.leg.ankle);
        let arm = p - ankle;
        let up = arm.dot(self.shank);
        let out = arm - self.shank * up;
        ((0.0..0.4).contains(&up) && out.length() < 0.042 + 0.06 * up).then_some((out, false))
    }

    pub fn hit(&self, from: DVec3, ray: DVec3, pattern: f64) -> Option<Hit> {
        const STEP: f64 = 0.012;
        let middle = self.leg.ball - self.leg.along * (0.3 * self.foot) + DVec3::Y * 0.1;
        let near = (middle - from).dot(ray);
        if (from + ray * near - middle).length() > 0.24 {
            return None;
        }
        let mut depth = near - 0.24;
        while self.inside(from + ray * depth).is_none() {
            depth += STEP;
            if depth > near + 0.24 {
                return None;
            }
        }
        let (mut a, mut b) = (depth - STEP, depth);
        for _ in 0..7 {
            let mid = 0.5 * (a + b);
            if self.inside(from + ray * mid).is_some() {
                b = mid;
            } else {
                a = mid;
            }
        }
        let p = from + ray * b;
        let (v, foot) = self.inside(p)?;
        // Light from above: the tops are brighter than the sides.
        if foot {
            let [height, _] = shape(v.x)?;
            let light = 0.7 + 0.3 * (v.z / height).clamp(0.0, 1.0);
            let sole = if v.z < 0.09 { 60.0 } else { 0.0 };
            let m = v * self.foot;
            let stripe = if (v.x * 9.0).sin() > 0.85 {
                2.0 * pattern
            } else {
                0.0
            };
            return Some(Hit {
                depth: b,
                grey: light * (130.0 + sole + stripe + pattern * waves(m.x, m.y, m.z)),
                foot,
            });
        }
        Some(Hit {
            depth: b,
            grey: 120.0 + 25.0 * v.normalize_or_zero().dot(self.leg.along),
            foot,
        })
    }
}
