//! Draws two feet on a floor, seen from anywhere: an invented scene for tests of the foot tracker.
//!
//! Rays of a pinhole camera (e.g. the OpenCV documentation, "Camera Calibration and 3D
//! Reconstruction") are followed until they meet a foot, a shank or the floor. Shape, hinge, edges
//! and texture are of this file's own making and not the tracker's.

#[path = "jpeg.rs"]
mod jpeg;
#[path = "view.rs"]
mod view;

use glam::{DQuat, DVec2, DVec3};
pub use jpeg::compressed;
use underfoot::picture::GreyView;
use underfoot::standing::camera::Camera;
use underfoot::standing::{Body, body::Leg};

/// What the left foot, the light and the camera do in one frame.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// Pitch about the ball, rad.
    pub pitch: f64,
    /// Roll over the edge, inward +, rad.
    pub roll: f64,
    /// Forward lean of the shanks, rad; the shadow goes with it.
    pub lean: f64,
    /// Camera's shake, px.
    pub shake: DVec2,
    /// Floor's shift under the foot, m: it should not matter to the foot.
    pub floor: f64,
}

pub const STILL: Moment = Moment {
    pitch: 0.0,
    roll: 0.0,
    lean: 0.2,
    shake: DVec2::ZERO,
    floor: 0.0,
};

pub struct Room {
    pub camera: Camera,
    pub body: Body,
    pub origin: DVec2,
    pub size: (usize, usize),
    /// Contrast of the shoe's pattern, grey levels; 0 is plain.
    pub pattern: f64,
    /// How far the drawn feet lie below the fitted ones, px: estimators put heels too high.
    pub habit: f64,
}

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

fn waves(x: f64, y: f64, z: f64) -> f64 {
    (130.0 * x + 70.0 * y + 50.0 * z).sin()
        + 0.8 * (-90.0 * x + 150.0 * y + 60.0 * z + 1.0).sin()
        + 0.6 * (220.0 * x - 40.0 * y - 90.0 * z + 2.0).sin()
        + 0.5 * (40.0 * x + 60.0 * y + 190.0 * z + 0.4).sin()
}

impl Room {
    /// A room seen from `azimuth` degrees (0 in front, 90 on the lifter's left).
    pub fn new(azimuth: f64) -> Self {
        let (camera, body) = view::from(azimuth, [0.2, 0.15]);
        let leg = &body.legs[0];
        let size = (150, 120);
        let middle = camera.project((leg.ball + leg.ankle) / 2.0).unwrap();
        let half = DVec2::new(size.0 as f64, size.1 as f64) / 2.0;
        Self {
            camera,
            body,
            origin: (middle - half).round(),
            size,
            pattern: 22.0,
            habit: 6.0,
        }
    }

    /// What the standing fit might make of the camera: its bearing, distance and scale a little off.
    pub fn fitted(&self) -> Camera {
        let mut fitted = self.camera;
        let turn = DQuat::from_axis_angle(DVec3::Y, 0.02);
        fitted.place = turn * fitted.place;
        for axis in [&mut fitted.right, &mut fitted.up, &mut fitted.forward] {
            *axis = turn * *axis;
        }
        fitted.focal *= 1.02;
        // Looks at the same spot.
        let leg = &self.body.legs[0];
        let at = (leg.ball + leg.ankle) / 2.0;
        let (a, b) = (
            self.camera.project(at).unwrap(),
            fitted.project(at).unwrap(),
        );
        fitted.centre += a - b;
        fitted
    }

    /// Rise of the back of the heel at the heel point's height, mm.
    pub fn lift_mm(&self, at: &Moment) -> f64 {
        let leg = &self.body.legs[0];
        let heel = leg.heel - leg.along * (0.05 * self.body.foot);
        let motion = Turned::new(leg, at, self.body.foot);
        1000.0 * (motion.rear(heel).y - heel.y)
    }

    /// The grey picture of a moment, 0 to 255, not rounded.
    pub fn draw(&self, at: &Moment) -> Vec<f64> {
        let (w, h) = self.size;
        let turned = [
            Turned::new(&self.body.legs[0], at, self.body.foot),
            Turned::new(
                &self.body.legs[1],
                &Moment {
                    pitch: 0.0,
                    roll: 0.0,
                    ..*at
                },
                self.body.foot,
            ),
        ];
        (0..w * h)
            .map(|k| {
                let px = DVec2::new((k % w) as f64, (k / w) as f64) + self.origin - at.shake;
                self.shade(px - DVec2::Y * self.habit, &turned, at)
            })
            .collect()
    }

    /// Which pixels of the picture show the left foot, nothing standing before it.
    pub fn mask(&self, at: &Moment) -> Vec<bool> {
        let (w, h) = self.size;
        let foot = Turned::new(&self.body.legs[0], at, self.body.foot);
        let shows = |k: usize| {
            let px = DVec2::new((k % w) as f64, (k / w) as f64) + self.origin - at.shake;
            let ray = self.camera.ray(px - DVec2::Y * self.habit);
            let hit = foot.hit(self.camera.place, ray, self.pattern);
            hit.is_some_and(|hit| hit.foot)
        };
        (0..w * h).map(shows).collect()
    }

    pub fn view<'a>(&self, data: &'a [u8]) -> GreyView<'a> {
        let (w, h) = self.size;
        GreyView::new(data, w, h, w, self.origin, 1.0).unwrap()
    }

    fn shade(&self, px: DVec2, turned: &[Turned; 2], at: &Moment) -> f64 {
        let (from, ray) = (self.camera.place, self.camera.ray(px));
        let mut nearest: Option<Hit> = None;
        for foot in turned {
            if let Some(hit) = foot.hit(from, ray, self.pattern)
                && nearest.as_ref().is_none_or(|n| hit.depth < n.depth)
            {
                nearest = Some(hit);
            }
        }
        if let Some(hit) = nearest {
            return hit.grey;
        }
        let floor = from + ray * (-from.y / ray.y);
        if ray.y >= 0.0 || floor.distance(from) > 12.0 {
            return 190.0;
        }
        // A shadow that moves as the lifter bends.
        let leg = &self.body.legs[0];
        let under = leg.ball + leg.along * (0.5 * at.lean - 0.2) - leg.medial * 0.1;
        let far = (floor - under).length() / 0.16;
        let light = 1.0 - 0.35 / (1.0 + far.powi(6));
        let z = floor.z + at.floor;
        light
            * (110.0 + 12.0 * waves(0.3 * floor.x, 0.0, 0.3 * z)
                - if (z * 7.0).fract().abs() < 0.06 {
                    35.0
                } else {
                    0.0
                })
    }
}

/// Where a ray meets a leg: how far along it, the grey level, and whether it is the foot.
struct Hit {
    depth: f64,
    grey: f64,
    foot: bool,
}

/// A foot as it is turned in one frame.
struct Turned {
    leg: Leg,
    foot: f64,
    about: DVec3,
    whole: DQuat,
    hinge: DQuat,
    shank: DVec3,
}

impl Turned {
    fn new(leg: &Leg, at: &Moment, foot: f64) -> Self {
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
    fn rear(&self, standing: DVec3) -> DVec3 {
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

    fn hit(&self, from: DVec3, ray: DVec3, pattern: f64) -> Option<Hit> {
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
