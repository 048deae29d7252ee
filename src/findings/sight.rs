//! Which checks a view can show at all, given the best of pictures.

use crate::angle::sin_cos;
use crate::measures::Check;

/// Nearer than this to straight ahead, degrees, the front of a foot hides its heel (common practice, no
/// source: a foot turned out by 15 degrees and a third as broad as long).
const HEEL_HIDDEN: f64 = 20.0;
/// Knees and rolls are seen from within 60 degrees of the front or the rear, where more than half of a
/// movement aside is across the picture: the sine.
const ASIDE: f64 = 0.866;
/// Within 30 degrees of exactly in front, behind or at the side counts as that view: the cosine.
const NEAR: f64 = 0.866;

/// Whether a check can be seen from a bearing, degrees; everything from one that is not known, so that
/// what was not seen counts as missed.
pub fn shows(check: Check, azimuth_deg: Option<f64>) -> bool {
    let Some(azimuth) = azimuth_deg.filter(|a| a.is_finite()) else {
        return true;
    };
    match check {
        Check::HeelLift => azimuth.abs() > HEEL_HIDDEN,
        Check::KneeIn | Check::FootRoll => sin_cos(azimuth.to_radians()).0.abs() < ASIDE,
        Check::Forward | Check::LoadLeft => false,
    }
}

/// Whether the camera already stands where a check is seen best: at the side for heels and the way
/// forward, in front or behind for the rest.
pub fn best(check: Check, azimuth_deg: Option<f64>) -> bool {
    azimuth_deg.is_some_and(|a| {
        let (sin, cos) = sin_cos(a.to_radians());
        match check {
            Check::HeelLift | Check::Forward => sin.abs() > NEAR,
            Check::KneeIn | Check::FootRoll | Check::LoadLeft => cos.abs() > NEAR,
        }
    })
}
