//! Draws a foot seen from its side as a flat, textured plate standing on a textured floor; the part
//! behind the ball is turned about the ball by a known pitch. Invented scene, for tests of the foot
//! tracker; the drawing is a pinhole projection (e.g. the OpenCV documentation, "Camera Calibration
//! and 3D Reconstruction"), so no picture is needed from outside.

use crate::view;
use glam::DVec2;
use underfoot::keypoints::Side;
use underfoot::picture::{FootMotion, FootTracker, GreyView, Lost};
use underfoot::standing::camera::Camera;
use underfoot::standing::{Body, body::Leg};

pub const W: usize = 160;
pub const H: usize = 120;

pub struct Scene {
    pub camera: Camera,
    pub body: Body,
    pub origin: DVec2,
    /// How far below the fitted foot the drawn one is, px: estimators put ankles and heels too high.
    pub habit: f64,
}

/// What may go wrong in one frame.
#[derive(Clone, Copy)]
pub struct Frame {
    pub pitch: f64,
    /// The camera's shake, px.
    pub shake: DVec2,
    pub gain: f64,
    pub offset: f64,
    /// Box blur over this many px each way.
    pub blur: i32,
    pub noise: f64,
}

pub const STILL: Frame = Frame {
    pitch: 0.0,
    shake: DVec2::ZERO,
    gain: 1.0,
    offset: 0.0,
    blur: 0,
    noise: 2.0,
};

/// Smooth waves of a few centimetres' length, grey levels about 0.
fn waves(x: f64, y: f64) -> f64 {
    22.0 * (140.0 * x + 60.0 * y).sin()
        + 18.0 * (-90.0 * x + 160.0 * y + 1.0).sin()
        + 14.0 * (230.0 * x - 40.0 * y + 2.0).sin()
        + 10.0 * (40.0 * x + 270.0 * y + 0.4).sin()
}

impl Scene {
    pub fn new() -> Self {
        let (camera, body) = view::from(88.0, [0.1, 0.1]);
        let leg = body.legs[0];
        let middle = camera.project((leg.ball + leg.ankle) / 2.0).unwrap();
        Self {
            camera,
            body,
            origin: (middle - DVec2::new(W as f64, H as f64) / 2.0).round(),
            habit: 6.0,
        }
    }

    fn leg(&self) -> &Leg {
        &self.body.legs[0]
    }

    /// Grey level along the ray of a pixel.
    pub fn shade(&self, px: DVec2, pitch: f64) -> f64 {
        let (leg, place) = (self.leg(), self.camera.place);
        let ray = self.camera.ray(px - DVec2::Y * self.habit);
        let foot = self.body.foot;
        let depth = (leg.ball - place).dot(leg.medial) / ray.dot(leg.medial);
        let hit = place + ray * depth - leg.ball;
        let (along, up) = (hit.dot(leg.along), hit.y);
        let outline = |along: f64, up: f64| {
            let ahead = along / foot + 0.74;
            let height = if ahead < 0.35 {
                0.40
            } else {
                0.40 - 0.45 * (ahead - 0.35)
            };
            (-0.06..1.02).contains(&ahead) && (0.0..height * foot).contains(&up)
        };
        // Turned back by the pitch about the ball.
        let (s, c) = pitch.sin_cos();
        let (a, u) = (along * c - up * s, along * s + up * c);
        if a < 0.0 && outline(a, u) {
            return 150.0 + waves(a, u);
        }
        if along >= 0.0 && outline(along, up) {
            return 150.0 + waves(along, up);
        }
        let floor = place + ray * (-place.y / ray.y);
        if ray.y < 0.0 && floor.distance(place) < 30.0 {
            80.0 + waves(0.4 * floor.x, 0.4 * floor.z + 0.3)
        } else {
            200.0
        }
    }

    pub fn draw(&self, frame: &Frame, seed: usize) -> Vec<u8> {
        let plain: Vec<f64> = (0..W * H)
            .map(|k| {
                let px = DVec2::new((k % W) as f64, (k / W) as f64) + self.origin - frame.shake;
                self.shade(px, frame.pitch)
            })
            .collect();
        (0..W * H)
            .map(|k| {
                let (x, y, b) = ((k % W) as i32, (k / W) as i32, frame.blur);
                let (mut sum, mut n) = (0.0, 0.0);
                for dy in -b..=b {
                    for dx in -b..=b {
                        let (x, y) = (x + dx, y + dy);
                        if (0..W as i32).contains(&x) && (0..H as i32).contains(&y) {
                            sum += plain[(y * W as i32 + x) as usize];
                            n += 1.0;
                        }
                    }
                }
                let mut h =
                    (k as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (seed as u64) << 32;
                h = (h ^ (h >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
                let even = (h >> 11) as f64 / (1u64 << 53) as f64 - 0.5;
                let v = sum / n * frame.gain + frame.offset + even * frame.noise * 3.46;
                (v + 0.5).clamp(0.0, 255.0) as u8
            })
            .collect()
    }

    pub fn view<'a>(&self, data: &'a [u8]) -> GreyView<'a> {
        GreyView::new(data, W, H, W, self.origin, 1.0).unwrap()
    }

    pub fn anchored(&self) -> FootTracker {
        let frames: Vec<_> = (0..8).map(|i| self.draw(&STILL, i)).collect();
        let views: Vec<_> = frames.iter().map(|f| self.view(f)).collect();
        FootTracker::anchor(Side::Left, &self.camera, &self.body, &views).unwrap()
    }

    pub fn push(
        &self,
        tracker: &mut FootTracker,
        frame: &Frame,
        seed: usize,
    ) -> Result<FootMotion, Lost> {
        tracker.push(Some(&self.view(&self.draw(frame, seed))))
    }

    /// Rise of the point that the tracker reports: the back of the heel, at heel-point height, mm.
    pub fn lift_mm(&self, pitch: f64) -> f64 {
        let leg = self.leg();
        let arm = leg.heel - leg.along * (0.05 * self.body.foot) - leg.ball;
        let (along, up) = (arm.dot(leg.along), arm.y);
        1000.0 * (-along * pitch.sin() + up * pitch.cos() - up)
    }
}
