//! A leg of exact lengths between an ankle and a hip.

use glam::DVec3;

/// The knee between `ankle` and `hip`.
///
/// The knee lies on a circle about the line from ankle to hip; of its points the one is taken
/// whose shank leans by `target` degrees toward `medial` (the nearest that can be had), on the
/// side that `long` points to. `target` `None` takes the point straight ahead along `long`.
pub fn knee(
    ankle: DVec3,
    hip: DVec3,
    shank: f64,
    thigh: f64,
    long: DVec3,
    medial: DVec3,
    target: Option<f64>,
) -> DVec3 {
    let line = hip - ankle;
    let span = line.length();
    let u = line / span.max(1e-9);
    if span >= shank + thigh {
        return ankle + u * span * shank / (shank + thigh);
    }
    let x = (span * span + shank * shank - thigh * thigh) / (2.0 * span);
    let radius = (shank * shank - x * x).max(0.0).sqrt();
    let e1 = (long - u * long.dot(u)).normalize_or_zero();
    let mut e2 = u.cross(e1);
    if e2.dot(medial) < 0.0 {
        e2 = -e2;
    }
    let at = |angle: f64| ankle + u * x + (e1 * angle.cos() + e2 * angle.sin()) * radius;
    let Some(target) = target else { return at(0.0) };
    // medial part = a + b cos(angle) + c sin(angle)
    let (a, b, c) = (
        x * u.dot(medial),
        radius * e1.dot(medial),
        radius * e2.dot(medial),
    );
    let size = b.hypot(c);
    if size < 1e-9 {
        return at(0.0);
    }
    let middle = c.atan2(b);
    let spread = ((shank * target.to_radians().sin() - a) / size)
        .clamp(-1.0, 1.0)
        .acos();
    let (p, q) = (wrap(middle + spread), wrap(middle - spread));
    at(if p.abs() < q.abs() { p } else { q })
}

fn wrap(angle: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    (angle + turn / 2.0).rem_euclid(turn) - turn / 2.0
}

/// The middle joint of a two-part limb from `from` to `to` that bends toward `pole`; an end out
/// of reach is pulled in.
pub fn bend(from: DVec3, to: DVec3, first: f64, second: f64, pole: DVec3) -> (DVec3, DVec3) {
    let line = to - from;
    let span = line
        .length()
        .clamp((first - second).abs() + 1e-3, (first + second) * 0.998);
    let u = line.normalize_or_zero();
    let x = (span * span + first * first - second * second) / (2.0 * span);
    let radius = (first * first - x * x).max(0.0).sqrt();
    let side = (pole - u * pole.dot(u)).normalize_or_zero();
    (from + u * x + side * radius, from + u * span)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_exact_and_the_lean_is_the_one_asked_for() {
        let (ankle, hip) = (DVec3::new(0.2, 0.07, 0.0), DVec3::new(0.09, 0.45, -0.2));
        let (long, medial) = (DVec3::Z, DVec3::NEG_X);
        for target in [-10.0, 0.0, 8.0] {
            let k = knee(ankle, hip, 0.43, 0.42, long, medial, Some(target));
            assert!((k.distance(ankle) - 0.43).abs() < 1e-9);
            assert!((k.distance(hip) - 0.42).abs() < 1e-9);
            let lean = ((k - ankle).dot(medial) / 0.43).asin().to_degrees();
            assert!((lean - target).abs() < 1e-6, "{lean} {target}");
        }
    }
}
