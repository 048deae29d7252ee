//! A pinhole camera on the floor around the lifter.

use crate::rng::Draw;
use crate::sets::Phone;
use glam::{DMat3, DVec2, DVec3};

/// Where the phone stands, as the table names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// In front, within 8 degrees.
    Front,
    /// 30 to 35 degrees off the front, either side.
    Oblique,
    /// 55 to 65 degrees off the front.
    Wide,
    /// From the side, within 8 degrees.
    Side,
    /// Behind, within 8 degrees.
    Rear,
    /// 30 to 35 degrees off the rear.
    RearOblique,
    /// Anywhere.
    Any,
}

impl View {
    /// All named views but [`View::Any`].
    pub const NAMED: [View; 6] = [
        Self::Front,
        Self::Oblique,
        Self::Wide,
        Self::Side,
        Self::RearOblique,
        Self::Rear,
    ];

    /// The name used on the command line and in tables.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Oblique => "oblique",
            Self::Wide => "wide",
            Self::Side => "side",
            Self::Rear => "rear",
            Self::RearOblique => "rear-oblique",
            Self::Any => "any",
        }
    }

    /// By name.
    pub fn named(name: &str) -> Option<Self> {
        Self::NAMED
            .into_iter()
            .chain([Self::Any])
            .find(|v| v.name() == name)
    }

    /// A bearing within the view, degrees.
    pub fn bearing(self, draw: &mut Draw) -> f64 {
        let side = draw.sign();
        let a = match self {
            Self::Front => draw.uniform(-8.0, 8.0),
            Self::Oblique => side * draw.uniform(30.0, 35.0),
            Self::Wide => side * draw.uniform(55.0, 65.0),
            Self::Side => side * (90.0 + draw.uniform(-8.0, 8.0)),
            Self::RearOblique => side * draw.uniform(145.0, 150.0),
            Self::Rear => 180.0 + draw.uniform(-8.0, 8.0),
            Self::Any => draw.uniform(-180.0, 180.0),
        };
        if a > 180.0 { a - 360.0 } else { a }
    }
}

/// A pinhole camera. Square pixels, axis through the middle of the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Bearing seen from the lifter, degrees: 0 in front, + on its left.
    pub azimuth: f64,
    /// Along the floor, m.
    pub distance: f64,
    /// Above the floor, m.
    pub height: f64,
    /// Degrees, + = looking up.
    pub pitch: f64,
    /// Degrees, + = picture turned clockwise.
    pub roll: f64,
    /// Pointed past the lifter, degrees, + = to the camera's right.
    pub pan: f64,
    /// Focal length, px.
    pub focal: f64,
    /// Picture width, height, px.
    pub size: [f64; 2],
}

impl Camera {
    /// A random phone at the usual height, see [`Camera::at_height`].
    pub fn random(draw: &mut Draw, view: View) -> Self {
        Self::at_height(draw, view, Phone::Stand.height())
    }

    /// A random phone: 2.4 to 3.6 m away, so high (least and most, m), aimed at the body, portrait
    /// 720 x 1280 or (one in five) landscape 1280 x 720, far enough that the body fits.
    pub fn at_height(draw: &mut Draw, view: View, [low, high]: [f64; 2]) -> Self {
        let azimuth = view.bearing(draw);
        loop {
            let portrait = draw.chance(0.8);
            let fov: f64 = draw.uniform(55.0, 75.0);
            let (distance, height) = (draw.uniform(2.4, 3.6), draw.uniform(low, high));
            let aim = (0.88f64 - height).atan2(distance).to_degrees();
            let camera = Self {
                azimuth,
                distance,
                height,
                pitch: aim + draw.trimmed(0.0, 2.5, 2.0),
                roll: draw.trimmed(0.0, 1.5, 2.0),
                pan: draw.trimmed(0.0, 2.0, 2.0),
                focal: 640.0 / (fov / 2.0).to_radians().tan(),
                size: if portrait {
                    [720.0, 1280.0]
                } else {
                    [1280.0, 720.0]
                },
            };
            let fits = [
                DVec3::new(0.0, 1.95, 0.0),
                DVec3::new(0.3, 0.0, 0.3),
                DVec3::new(-0.3, 0.0, 0.3),
            ]
            .into_iter()
            .all(|p| camera.sees(p));
            if fits {
                return camera;
            }
        }
    }

    /// The same bearing, close and low, so that the knees of a lifter of this stature (m) are near the
    /// upper edge.
    pub fn close_up(self, draw: &mut Draw, stature: f64) -> Self {
        let (distance, height) = (draw.uniform(1.1, 1.7), draw.uniform(0.15, 0.5));
        let aim: f64 = 0.25 * stature / 1.75;
        Self {
            distance,
            height,
            pitch: (aim - height).atan2(distance).to_degrees(),
            size: [1280.0, 720.0],
            focal: 900.0,
            ..self
        }
    }

    /// Field of view of the picture's width, degrees.
    pub fn hfov(&self) -> f64 {
        2.0 * (self.size[0] / 2.0 / self.focal).atan().to_degrees()
    }

    /// The lens, m.
    pub fn place(&self) -> DVec3 {
        let (sin, cos) = self.azimuth.to_radians().sin_cos();
        DVec3::new(self.distance * sin, self.height, self.distance * cos)
    }

    /// World to camera axes: right, down, ahead.
    fn axes(&self) -> DMat3 {
        let bearing = (self.azimuth + 180.0 - self.pan).to_radians();
        let (ps, pc) = self.pitch.to_radians().sin_cos();
        let flat = DVec3::new(bearing.sin(), 0.0, bearing.cos());
        let ahead = flat * pc + DVec3::Y * ps;
        let right = flat.cross(DVec3::Y).normalize();
        let down = ahead.cross(right);
        let (rs, rc) = self.roll.to_radians().sin_cos();
        // Picture clockwise: x' = x cos - y sin, y' = x sin + y cos, y down.
        DMat3::from_cols(right * rc - down * rs, right * rs + down * rc, ahead).transpose()
    }

    /// Picture point of a world point, px; `None` behind the lens.
    pub fn project(&self, p: DVec3) -> Option<DVec2> {
        let q = self.axes() * (p - self.place());
        (q.z > 0.05).then(|| {
            DVec2::new(
                self.size[0] / 2.0 + self.focal * q.x / q.z,
                self.size[1] / 2.0 + self.focal * q.y / q.z,
            )
        })
    }

    /// Which way pixels look, unit vectors in the world.
    pub fn rays(&self) -> impl Fn(DVec2) -> DVec3 + use<> {
        let ([w, h], focal, back) = (self.size, self.focal, self.axes().transpose());
        move |px| (back * DVec3::new(px.x - w / 2.0, px.y - h / 2.0, focal)).normalize()
    }

    /// Whether the point is in the picture.
    pub fn sees(&self, p: DVec3) -> bool {
        self.project(p).is_some_and(|q| self.contains(q))
    }

    /// Whether the picture holds this pixel.
    pub fn contains(&self, q: DVec2) -> bool {
        q.x >= 0.0 && q.y >= 0.0 && q.x < self.size[0] && q.y < self.size[1]
    }

    /// Pixels a metre at this place.
    pub fn scale(&self, p: DVec3) -> f64 {
        self.focal / (self.axes() * (p - self.place())).z.max(0.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(azimuth: f64) -> Camera {
        Camera {
            azimuth,
            distance: 3.0,
            height: 0.8,
            pitch: 0.0,
            roll: 0.0,
            pan: 0.0,
            focal: 1000.0,
            size: [720.0, 1280.0],
        }
    }

    #[test]
    fn left_and_right_up_and_down() {
        // From the front the lifter's left is on the right of the picture.
        let p = plain(0.0).project(DVec3::new(0.3, 0.8, 0.0)).unwrap();
        assert!((p - DVec2::new(460.0, 640.0)).length() < 1e-9);
        // From its left, what is in front of the lifter is on the left of the picture.
        let p = plain(90.0).project(DVec3::new(0.0, 1.1, 0.3)).unwrap();
        assert!((p - DVec2::new(260.0, 540.0)).length() < 1e-9);
        // A pixel's ray goes through what it shows.
        let (camera, at) = (plain(40.0), DVec3::new(0.1, 0.2, 0.3));
        let ray = camera.rays()(camera.project(at).unwrap());
        assert!(ray.cross(at - camera.place()).length() < 1e-9);
        // Looking up moves things down; clockwise moves the right side down.
        let up = Camera {
            pitch: 5.0,
            ..plain(0.0)
        };
        assert!(up.project(DVec3::new(0.0, 0.8, 0.0)).unwrap().y > 640.0);
        let turned = Camera {
            roll: 5.0,
            ..plain(0.0)
        };
        assert!(turned.project(DVec3::new(0.3, 0.8, 0.0)).unwrap().y > 640.0);
    }
}
