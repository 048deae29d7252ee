//! Sine and cosine of the angles of limbs and cameras, together. With libm's exponential, logarithm
//! and arctangent, which are used everywhere instead of the platform's, they make every host compute
//! the same to the last digit. The library's reduce arguments of any size exactly, which takes eight kilobytes of
//! the module that pages download, and each by itself takes twice the time of both together.

use glam::{DQuat, DVec3};

/// Beyond this (rad) the quarter turns are no longer taken off exactly.
const MOST: f64 = 1e6;

/// Sine and cosine of an angle in rad, within 1e-15 up to a million rad; not a number beyond it.
///
/// Quarter turns are taken off in two parts (Cody & Waite 1980, Software Manual for the Elementary
/// Functions, ch. 8); the rest goes into the minimax polynomials of fdlibm (Sun Microsystems 1993,
/// k_sin.c and k_cos.c).
#[inline(never)]
pub(crate) fn sin_cos(angle: f64) -> (f64, f64) {
    const QUARTER: [f64; 2] = [1.570_796_326_734_125_6, 6.077_100_506_506_192e-11];
    // Added and taken off again, this rounds to a whole number, and leaves it in the lowest bits.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    if angle.abs() > MOST {
        return (f64::NAN, f64::NAN);
    }
    let rounded = angle * std::f64::consts::FRAC_2_PI + ROUND;
    let turns = rounded - ROUND;
    let x = (angle - turns * QUARTER[0]) - turns * QUARTER[1];
    let z = x * x;
    let s = -2.505_076_025_340_686_3e-8 + z * 1.589_690_995_211_55e-10;
    let s = -1.984_126_982_985_795e-4 + z * (2.755_731_370_707_006_8e-6 + z * s);
    let s = x + x * z * (-1.666_666_666_666_663_2e-1 + z * (8.333_333_333_322_49e-3 + z * s));
    let c = 2.087_572_321_298_175e-9 + z * -1.135_964_755_778_819_5e-11;
    let c = 2.480_158_728_947_673e-5 + z * (-2.755_731_435_139_066_3e-7 + z * c);
    let c = z * z * (4.166_666_666_666_66e-2 + z * (-1.388_888_888_887_411e-3 + z * c));
    // One less half of z is rounded; what that lost is given back.
    let half = 0.5 * z;
    let w = 1.0 - half;
    let c = w + ((1.0 - w - half) + c);
    let quarter = rounded.to_bits();
    let (s, c) = if quarter & 1 == 0 { (s, c) } else { (c, -s) };
    if quarter & 2 == 0 { (s, c) } else { (-s, -c) }
}

/// Sine of an angle in rad.
pub(crate) fn sin(angle: f64) -> f64 {
    sin_cos(angle).0
}

/// Cosine of an angle in rad.
pub(crate) fn cos(angle: f64) -> f64 {
    sin_cos(angle).1
}

/// Tangent of an angle in rad.
pub(crate) fn tan(angle: f64) -> f64 {
    let (s, c) = sin_cos(angle);
    s / c
}

/// Angle in rad of a cosine from -1 to 1.
pub(crate) fn acos(cosine: f64) -> f64 {
    libm::atan2((1.0 - cosine * cosine).max(0.0).sqrt(), cosine)
}

/// The root of the sum of two squares, of numbers whose squares neither overflow nor vanish.
pub(crate) fn hypot(a: f64, b: f64) -> f64 {
    (a * a + b * b).sqrt()
}

/// Turn by `angle` rad about a unit vector.
pub(crate) fn turn(axis: DVec3, angle: f64) -> DQuat {
    // Every fit begins here.
    if angle == 0.0 {
        return DQuat::IDENTITY;
    }
    let (s, c) = sin_cos(0.5 * angle);
    let v = axis * s;
    DQuat::from_xyzw(v.x, v.y, v.z, c)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the platform's library and libm's, which hold to 1 ulp.
    #[test]
    fn as_the_library_has_it() {
        let mut angles: Vec<f64> = (-4000..4000).map(|i| f64::from(i) * 0.003_7).collect();
        angles.extend((-2000..2000).map(|i| f64::from(i) * 487.3));
        angles.extend((-40..40).map(|i| f64::from(i) * std::f64::consts::FRAC_PI_4));
        angles.extend([1e-300, -1e-20, 1e-9, 999_999.999]);
        for a in angles {
            let (s, c) = sin_cos(a);
            for (own, library) in [
                (s, a.sin()),
                (c, a.cos()),
                (s, libm::sin(a)),
                (c, libm::cos(a)),
            ] {
                assert!(
                    (own - library).abs() <= 2.3e-16,
                    "{a}: {own} is not {library}"
                );
            }
        }
        assert!(sin_cos(f64::INFINITY).0.is_nan() && sin_cos(f64::NAN).1.is_nan());
    }

    #[test]
    fn a_turn_is_the_librarys() {
        for i in -20..20 {
            let axis = DVec3::new(1.0, 0.3 * f64::from(i), -2.0).normalize();
            let angle = 0.2 * f64::from(i);
            let both = [turn(axis, angle), DQuat::from_axis_angle(axis, angle)];
            assert!(both[0].abs_diff_eq(both[1], 1e-15), "{both:?}");
        }
    }
}
