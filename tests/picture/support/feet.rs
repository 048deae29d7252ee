//! Draws two feet on a floor, seen from anywhere: an invented scene for tests of the foot tracker.
//!
//! Rays of a pinhole camera (e.g. the OpenCV documentation, "Camera Calibration and 3D
//! Reconstruction") are followed until they meet a foot, a shank or the floor.

#[path = "jpeg.rs"]
mod jpeg;
#[path = "turned_foot.rs"]
mod turned_foot;

use crate::view;
use glam::{DQuat, DVec2, DVec3};
pub use jpeg::compressed;
use turned_foot::{Hit, Turned, waves};
use underfoot::picture::GreyView;
use underfoot::standing::Body;
use underfoot::standing::camera::Camera;

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
