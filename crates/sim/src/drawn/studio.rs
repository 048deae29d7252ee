//! Draws the crops around both feet in one frame.

use super::solid::Solid;
use super::surface::{Floor, Wear};
use crate::body::sign;
use crate::camera::Camera;
use crate::scene::{Moment, Scene};
use glam::{DVec2, DVec3};
use underfoot::keypoints::{Joint, Part, Side};

/// Room around a foot's points, in lengths of the foot as it is seen, and at least so many px.
const ROOM: (f64, f64) = (0.6, 24.0);
/// Longest side of a crop, px of the crop; a larger stretch is read at a coarser scale.
const LONGEST: f64 = 160.0;
/// Where in a pixel the rays go through.
const SAMPLES: [(f64, f64); 2] = [(-0.22, -0.22), (0.22, 0.22)];

/// What stands around the lifter.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// What the lifter stands on.
    pub floor: Floor,
    /// What is on the feet.
    pub wear: Wear,
    /// Toward the light.
    pub light: DVec3,
    /// Somebody who passes between camera and lifter.
    pub helper: Option<Helper>,
}

/// A spotter's shin that passes in front of the feet.
#[derive(Clone, Copy, Debug)]
pub struct Helper {
    /// When it is there, s.
    pub from_s: f64,
    /// And until when.
    pub to_s: f64,
}

/// Where a foot's crop lies in the picture.
#[derive(Clone, Copy, Debug)]
pub struct Crop {
    /// Centre of its first pixel, px of the picture.
    pub origin: DVec2,
    /// Columns and rows.
    pub size: (usize, usize),
    /// Px of the picture that one of its pixels spans.
    pub scale: f64,
}

/// A scene, a camera and a room.
pub struct Studio<'a> {
    /// Who does what.
    pub scene: &'a Scene,
    /// Who looks.
    pub camera: Camera,
    /// Where.
    pub room: Room,
    /// How far below the estimator's points the feet are seen, px: most estimators put ankle and heel
    /// too high.
    pub habit: f64,
}

impl Studio<'_> {
    /// Where the crops lie, chosen in standing and kept, as the page does.
    pub fn crops(&self) -> [Option<Crop>; 2] {
        let body = self.scene.at(0.0).body;
        Side::BOTH.map(|side| {
            let seen = [Part::Heel, Part::BigToe, Part::SmallToe, Part::Ankle]
                .map(|p| self.camera.project(body.at(Joint::of(p, side))));
            let points = || seen.iter().flatten().copied();
            let low = points().reduce(DVec2::min)?;
            let high = points().reduce(DVec2::max)?;
            let room = (ROOM.0 * (high - low).max_element()).max(ROOM.1);
            let span = high - low + 2.0 * room;
            let scale = (span.max_element() / LONGEST).max(1.0);
            let size = (span / scale).ceil();
            Some(Crop {
                origin: (low - room).floor(),
                size: (size.x as usize, size.y as usize),
                scale,
            })
        })
    }

    /// The grey levels of a crop at `t` seconds, the camera shaken by `shake` px; not rounded.
    pub fn draw(&self, crop: &Crop, t: f64, shake: DVec2) -> Vec<f64> {
        let moment = self.scene.at(t);
        let legs = self.legs(&moment);
        let (from, rays) = (self.camera.place(), self.camera.rays());
        let (w, h) = crop.size;
        let sharp: Vec<f64> = (0..w * h)
            .map(|k| {
                let at = |(dx, dy): (f64, f64)| {
                    let p = DVec2::new((k % w) as f64 + dx, (k / w) as f64 + dy);
                    let ray = rays(crop.origin + p * crop.scale - shake - DVec2::Y * self.habit);
                    self.shade(from, ray, &legs, &moment, t)
                };
                SAMPLES.iter().map(|&s| at(s)).sum::<f64>() / SAMPLES.len() as f64
            })
            .collect();
        blurred(&sharp, w)
    }

    fn legs(&self, moment: &Moment) -> [Solid; 2] {
        [0, 1].map(|s| {
            let at = |part| moment.body.at(Joint::of(part, Side::BOTH[s]));
            Solid::new(
                &self.scene.lifter.feet[s],
                &moment.now.stance.feet[s],
                sign(s),
                [at(Part::Ankle), at(Part::Knee)],
                self.room.wear,
            )
        })
    }

    fn shade(&self, from: DVec3, ray: DVec3, legs: &[Solid; 2], now: &Moment, t: f64) -> f64 {
        if self.helped(from, ray, t) {
            return 75.0 + 10.0 * (ray.y * 400.0).sin();
        }
        let hits = legs.iter().filter_map(|leg| leg.hit(from, ray));
        let hit = hits.min_by(|a, b| a.depth.total_cmp(&b.depth));
        let down = if ray.y < -1e-6 { -from.y / ray.y } else { 1e9 };
        if let Some(hit) = hit.filter(|h| h.depth < down) {
            // The nearer the floor, the less of the room's light.
            let low = (from + ray * hit.depth).y.clamp(0.0, 0.1) / 0.1;
            let light = 0.35 + 0.15 * low + 0.55 * hit.normal.dot(self.room.light).max(0.0);
            return (hit.grey * light).clamp(0.0, 255.0);
        }
        if down > 9.0 {
            return 190.0;
        }
        let p = from + ray * down;
        let hidden = legs.iter().map(|leg| leg.hides(p)).fold(0.0, f64::max);
        // The body's own soft shadow: nearer and darker the lower the body is.
        let body = now.body.com;
        let cast = body - self.room.light * (body.y / self.room.light.y);
        let far = DVec2::new(p.x - cast.x, p.z - cast.z).length() / (0.16 + 0.22 * body.y);
        let light = 1.0 - 0.40 / (1.0 + far.powi(4)) - 0.35 * hidden;
        (self.room.floor.grey(p.x, p.z) * light).clamp(0.0, 255.0)
    }

    /// Whether the ray meets the helper's shin, half way to the lifter.
    fn helped(&self, from: DVec3, ray: DVec3, t: f64) -> bool {
        let Some(helper) = self.room.helper else {
            return false;
        };
        if !(helper.from_s..helper.to_s).contains(&t) {
            return false;
        }
        let half = DVec3::new(from.x, 0.0, from.z) * 0.3;
        let across = DVec3::Y.cross(half.normalize_or_zero());
        // Crosses from one side to the other and stays before the left foot in between.
        let u = (t - helper.from_s) / (helper.to_s - helper.from_s);
        let foot = self.scene.script.feet[0].at;
        let before = DVec3::new(foot.x, 0.0, foot.y).dot(across) * 0.7;
        let out = (2.0 * u - 1.0).powi(5) * 0.6;
        let axis = half + across * (before + out);
        let flat = DVec2::new(ray.x, ray.z).normalize_or_zero();
        let to = DVec2::new(axis.x - from.x, axis.z - from.z);
        to.dot(flat) > 0.0 && to.perp_dot(flat).abs() < 0.065
    }
}

/// Blur of a lens and of the sensor's own filter: 1 2 1 both ways.
fn blurred(sharp: &[f64], w: usize) -> Vec<f64> {
    let h = sharp.len() / w;
    let at = |x: usize, y: usize| sharp[y * w + x];
    let row = |x: usize, y: usize| {
        0.25 * at(x.saturating_sub(1), y) + 0.5 * at(x, y) + 0.25 * at((x + 1).min(w - 1), y)
    };
    (0..w * h)
        .map(|k| {
            let (x, y) = (k % w, k / w);
            0.25 * row(x, y.saturating_sub(1)) + 0.5 * row(x, y) + 0.25 * row(x, (y + 1).min(h - 1))
        })
        .collect()
}
