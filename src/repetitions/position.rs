//! Position of the lifter in the picture, with size: whether getting there took walking.

use glam::DVec2;

/// Walking is moving by more than this, shank lengths; setting the feet anew is less.
/// tuned: `reps`
pub(crate) const WALKED: f64 = 0.33;
/// One of two lengths that has changed by less than this has not.
/// tuned: `reps`
const ALONE: f64 = 0.015;
/// Distance of the camera, shank lengths: how much a change of size means along the line of sight.
/// tuned: `reps`
const CAMERA_AWAY: f64 = 7.0;

/// Where the lifter stands in the picture, and how large.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Position {
    /// Places of the feet, px.
    pub feet: [Option<DVec2>; 2],
    /// Pelvis height, px.
    pub height: f64,
    /// Shank length, px.
    pub shank: f64,
}

impl Position {
    /// Mean movement of the feet to `other`, shank lengths.
    pub fn displacement(&self, other: &Self) -> DVec2 {
        let (mut sum, mut n) = (DVec2::ZERO, 0.0);
        for (a, b) in self.feet.iter().zip(other.feet) {
            if let (Some(a), Some(b)) = (a, b) {
                sum += b - *a;
                n += 1.0;
            }
        }
        if n == 0.0 {
            return DVec2::ZERO;
        }
        sum / n / (self.shank * other.shank).max(1.0).sqrt()
    }

    /// Its length.
    pub fn across(&self, other: &Self) -> f64 {
        self.displacement(other).length()
    }

    /// Whether getting from here to `other` takes walking.
    pub fn walked(&self, other: &Self) -> bool {
        self.moved(other) > WALKED
    }

    /// How far it is from here to `other`, shank lengths.
    pub fn moved(&self, other: &Self) -> f64 {
        // Pelvis and shank tell alike; one of them alone is an error.
        let (a, b) = (
            ratio(self.height, other.height),
            ratio(self.shank, other.shank),
        );
        let alike = a * b > 0.0 && a.abs().min(b.abs()) > ALONE;
        let toward = if alike {
            CAMERA_AWAY * (2.0 * a + b) / 3.0
        } else {
            0.0
        };
        crate::angle::hypot(self.across(other), toward)
    }
}

/// Change of a length in the picture, as a logarithm.
fn ratio(from: f64, to: f64) -> f64 {
    libm::log(from.max(1.0) / to.max(1.0))
}
