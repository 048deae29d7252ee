//! Where the drawn rooms of the foot tracker's tests are seen from, and on what body.

use glam::DVec2;
use underfoot::keypoints::{ImageSize, Layout, Setup};
use underfoot::standing::Body;
use underfoot::standing::camera::{Camera, Placement};
use underfoot::standing::priors::{Priors, Unknown};

/// A phone on a low stand, seen from `azimuth` degrees (0 in front, 90 on the lifter's left), and a
/// body of common measures whose feet are turned out by so much, left and right, rad.
pub fn from(azimuth: f64, toe_out: [f64; 2]) -> (Camera, Body) {
    let image = ImageSize {
        width: 540.0,
        height: 960.0,
    };
    let setup = Setup::new(Layout::named("blazepose-33").unwrap(), image);
    let mut x = Priors::new(&setup).mean;
    x[Unknown::ToeOutLeft.index()] = toe_out[0];
    x[Unknown::ToeOutRight.index()] = toe_out[1];
    let placement = Placement {
        azimuth: azimuth.to_radians(),
        distance: 2.6,
        height: 0.7,
        pitch: -0.1,
        roll: 0.01,
        yaw: 0.0,
    };
    let camera = Camera::new(&placement, 830.0, DVec2::new(270.0, 480.0));
    (camera, Body::new(&x, true))
}
