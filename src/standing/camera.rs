//! A pinhole camera in the lifter's world.
//!
//! Projection: u = cx + f x / z, v = cy - f y / z, with x, y, z along the camera's right, up and
//! forward axes (the pinhole model of any computer vision text, e.g. the OpenCV documentation,
//! "Camera Calibration and 3D Reconstruction", without lens distortion).

use crate::angle::sin_cos;
use glam::{DVec2, DVec3};

/// A pinhole camera: place and axes in the world (m), focal length and principal point (px).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Centre of projection, m.
    pub place: DVec3,
    /// Unit vector to the picture's right.
    pub right: DVec3,
    /// Unit vector to the picture's top.
    pub up: DVec3,
    /// Unit vector along the optical axis, away from the camera.
    pub forward: DVec3,
    /// Focal length, px.
    pub focal: f64,
    /// Principal point, px.
    pub centre: DVec2,
}

/// What places a camera. Angles in radians, lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Bearing seen from the lifter: 0 in front, +90 degrees on the lifter's left.
    pub azimuth: f64,
    /// Distance along the floor from the origin.
    pub distance: f64,
    /// Height above the floor.
    pub height: f64,
    /// + = looking up.
    pub pitch: f64,
    /// + = the picture is turned clockwise.
    pub roll: f64,
    /// Optical axis to the side of the lifter, about the vertical.
    pub yaw: f64,
}

/// Nearest depth in front of the camera that is still projected, m.
const NEAREST: f64 = 0.05;

impl Camera {
    /// The camera of a placement.
    pub fn new(at: &Placement, focal: f64, centre: DVec2) -> Self {
        let (sa, ca) = sin_cos(at.azimuth);
        let (sy, cy) = sin_cos(at.azimuth + at.yaw);
        let (sp, cp) = sin_cos(at.pitch);
        let (sr, cr) = sin_cos(at.roll);
        let forward = DVec3::new(-sy * cp, sp, -cy * cp);
        // forward x (0, 1, 0), normalised: horizontal by construction.
        let level = DVec3::new(cy, 0.0, -sy);
        let upright = level.cross(forward);
        Self {
            place: DVec3::new(at.distance * sa, at.height, at.distance * ca),
            right: level * cr + upright * sr,
            up: upright * cr - level * sr,
            forward,
            focal,
            centre,
        }
    }

    /// Picture of a world point, px; `None` behind or too near the camera.
    #[inline(never)]
    pub fn project(&self, point: DVec3) -> Option<DVec2> {
        let q = point - self.place;
        let z = q.dot(self.forward);
        (z > NEAREST).then(|| {
            let s = self.focal / z;
            DVec2::new(
                self.centre.x + s * q.dot(self.right),
                self.centre.y - s * q.dot(self.up),
            )
        })
    }

    /// Picture of a point with its derivative: (px, du/dX, dv/dX in px per m).
    #[inline]
    pub fn project_with_slope(&self, point: DVec3) -> Option<(DVec2, DVec3, DVec3)> {
        let q = point - self.place;
        let z = q.dot(self.forward);
        if z <= NEAREST {
            return None;
        }
        let iz = 1.0 / z;
        let s = self.focal * iz;
        let (x, y) = (q.dot(self.right) * iz, q.dot(self.up) * iz);
        Some((
            DVec2::new(
                self.centre.x + self.focal * x,
                self.centre.y - self.focal * y,
            ),
            (self.right - self.forward * x) * s,
            (self.forward * y - self.up) * s,
        ))
    }

    /// Unit vector from the camera through a picture point.
    #[inline]
    pub fn ray(&self, px: DVec2) -> DVec3 {
        let d = (px - self.centre) / self.focal;
        (self.forward + self.right * d.x - self.up * d.y).normalize()
    }

    /// The point on a pixel's ray at a depth along the optical axis, m.
    #[inline]
    pub fn at_depth(&self, px: DVec2, depth: f64) -> DVec3 {
        let d = (px - self.centre) / self.focal;
        self.place + (self.forward + self.right * d.x - self.up * d.y) * depth
    }

    /// Depth of a point along the optical axis, m.
    #[inline]
    pub fn depth(&self, point: DVec3) -> f64 {
        (point - self.place).dot(self.forward)
    }
}
