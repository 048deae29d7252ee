//! A rough solid of feet and shanks: which part of the lifter a pixel shows, and where it is.

use crate::keypoints::{Footwear, Side};
use crate::standing::body::{Body, Leg};
use crate::standing::camera::Camera;
use glam::{DVec2, DVec3};

/// What a pixel shows in standing, with its place in the world, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Shown {
    /// The foot behind its ball: it turns with the heel.
    Rear(DVec3),
    /// Between these, where the foot bends.
    Bend(DVec3),
    /// At the ball itself.
    Hinge,
    /// The foot ahead of its ball.
    Fore(DVec3),
    /// The shank above this foot.
    Shank,
    /// The other foot or shank.
    Other,
    /// None of these.
    Beyond,
}

/// Outline of a foot or low shoe by distance from the heel point along the foot, all in foot
/// lengths: (ahead, height of its back, half breadth). Rough on purpose: it places patches to a
/// centimetre or so, and only their motion counts. Common practice, no source.
pub(crate) static OUTLINE: [(f64, f64, f64); 9] = [
    (-0.09, 0.10, 0.02),
    (-0.05, 0.34, 0.10),
    (0.05, 0.37, 0.125),
    (0.27, 0.37, 0.14),
    (0.40, 0.32, 0.15),
    (0.55, 0.25, 0.17),
    (0.74, 0.18, 0.195),
    (0.92, 0.12, 0.16),
    (1.03, 0.07, 0.05),
];

/// How high and how broad the outline of bare feet is against that: a bare heel is lower than a
/// shoe's, and the floor that shows above it must not be taken for the foot. Common practice, no source.
const BARE: (f64, f64) = (0.75, 0.92);

/// Up to this height, in foot lengths, skin is so smooth that what has texture there is the floor's
/// shadow, which stays where it is when the heel lifts (drawn bare feet: 15 mm read 2, 31 read 3). A
/// shoe's sole has edges of its own. Common practice, no source.
const LOW: f64 = 0.08;
/// The foot bends between these, in foot lengths ahead of the heel point (ball: 0.74).
const HINGE: std::ops::Range<f64> = 0.66..0.80;
/// From here on it gives way before the hinge.
const BENDS: f64 = 0.52;

/// Of the outline's height and breadth, what is seen.
pub(crate) fn part(worn: Option<Footwear>) -> (f64, f64) {
    match worn {
        Some(Footwear::Barefoot) => BARE,
        _ => (1.0, 1.0),
    }
}

/// Both feet and shanks as one camera sees them in standing.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    camera: Camera,
    legs: [Leg; 2],
    foot: f64,
    /// Of the outline's height and breadth, what is seen.
    part: (f64, f64),
    shank_radius: f64,
}

/// Half the stretch of a ray that is searched, and its step, m.
const REACH: f64 = 0.24;
const STEP: f64 = 0.006;

impl Scene {
    pub fn new(camera: Camera, body: &Body, worn: Option<Footwear>) -> Self {
        Self {
            camera,
            legs: body.legs,
            foot: body.foot,
            part: part(worn),
            shank_radius: 0.11 * body.shank,
        }
    }

    /// Whether a place is so near a bare foot's sole that a patch there may hold more of the floor's
    /// shadow than of skin.
    pub fn low(&self, place: DVec3) -> bool {
        self.part == BARE && place.y < LOW * self.foot
    }

    /// Where the camera sees a place, px; zero behind it.
    pub fn project(&self, place: DVec3) -> DVec2 {
        self.camera.project(place).unwrap_or_default()
    }

    /// Box about a foot in the picture, `margin` px wider on every side, px.
    pub fn extent(&self, side: Side, margin: f64) -> (DVec2, DVec2) {
        let leg = &self.legs[side.index()];
        let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        let back = DVec3::new(leg.heel.x, 0.0, leg.heel.z);
        for ahead in [-0.05, 1.05] {
            for across in [-0.2, 0.2] {
                for up in [0.0, 0.35] {
                    let at = back
                        + (leg.along * ahead + leg.medial * across + DVec3::Y * up) * self.foot;
                    if let Some(p) = self.camera.project(at) {
                        low = low.min(p);
                        high = high.max(p);
                    }
                }
            }
        }
        (low - margin, high + margin)
    }

    /// What the pixel shows of the foot on `side`.
    pub fn shown(&self, px: DVec2, side: Side) -> Shown {
        let ray = self.camera.ray(px);
        let mut nearest = f64::INFINITY;
        let mut shown = Shown::Beyond;
        for of in Side::BOTH {
            let leg = &self.legs[of.index()];
            if let Some((depth, ahead)) = self.foot_hit(leg, ray)
                && depth < nearest
            {
                nearest = depth;
                let place = self.camera.place + ray * depth;
                shown = if of != side {
                    Shown::Other
                } else if ahead < BENDS {
                    Shown::Rear(place)
                } else if ahead < HINGE.start {
                    Shown::Bend(place)
                } else if ahead > HINGE.end {
                    Shown::Fore(place)
                } else {
                    Shown::Hinge
                };
            }
            if let Some(depth) = self.shank_hit(leg, ray)
                && depth < nearest
            {
                nearest = depth;
                shown = if of == side {
                    Shown::Shank
                } else {
                    Shown::Other
                };
            }
        }
        shown
    }

    /// Depth along the ray and distance ahead of the heel, in foot lengths.
    fn foot_hit(&self, leg: &Leg, ray: DVec3) -> Option<(f64, f64)> {
        let back = DVec3::new(leg.heel.x, 0.0, leg.heel.z);
        let middle = back + leg.along * (0.5 * self.foot) + DVec3::Y * (0.2 * self.foot);
        let near = (middle - self.camera.place).dot(ray) - REACH;
        let steps = (2.0 * REACH / STEP) as usize;
        (0..steps).find_map(|i| {
            let depth = near + i as f64 * STEP;
            let d = (self.camera.place + ray * depth - back) / self.foot;
            let ahead = d.dot(leg.along);
            let (height, breadth) = outline(ahead)?;
            let across = d.dot(leg.medial) / (breadth * self.part.1);
            let up = d.y / (height * self.part.0);
            (d.y >= 0.0 && across.abs().powi(3) + up * up <= 1.0).then_some((depth, ahead))
        })
    }

    /// Depth at which the ray meets the shank above the ankle.
    fn shank_hit(&self, leg: &Leg, ray: DVec3) -> Option<f64> {
        let (a, axis) = (leg.ankle, leg.knee - leg.ankle);
        let from = self.camera.place - a;
        // Nearest approach of the two lines.
        let (aa, ab) = (axis.length_squared(), axis.dot(ray));
        let det = aa - ab * ab;
        if det < 1e-9 * aa {
            return None;
        }
        let along = (axis.dot(from) - ab * ray.dot(from)) / det;
        let depth = ab * along - ray.dot(from);
        let gap = (from + ray * depth - axis * along).length();
        (gap < self.shank_radius && (0.05..=1.0).contains(&along))
            .then_some(depth - self.shank_radius)
    }
}

fn outline(ahead: f64) -> Option<(f64, f64)> {
    let after = OUTLINE.iter().position(|o| o.0 > ahead)?;
    let (a, b) = (OUTLINE.get(after.checked_sub(1)?)?, OUTLINE.get(after)?);
    let share = (ahead - a.0) / (b.0 - a.0);
    Some((a.1 + share * (b.1 - a.1), a.2 + share * (b.2 - a.2)))
}
