//! Motions put in by formula must come out of the fit; no picture is involved.

use super::*;
use crate::keypoints::{ImageSize, Layout, Setup, Side};
use crate::standing::Body;
use crate::standing::camera::Placement;
use crate::standing::priors::Priors;

fn kinematics(azimuth_deg: f64) -> Kinematics {
    let image = ImageSize {
        width: 540.0,
        height: 960.0,
    };
    let layout = Layout::named("blazepose-33").expect("a known layout");
    let body = Body::new(&Priors::new(&Setup::new(layout, image)).mean, true);
    let at = Placement {
        azimuth: azimuth_deg.to_radians(),
        distance: 2.8,
        height: 0.7,
        pitch: -0.1,
        roll: 0.0,
        yaw: 0.0,
    };
    Kinematics {
        camera: Camera::new(&at, 830.0, DVec2::new(270.0, 480.0)),
        leg: body.legs[Side::Left.index()],
        sign: Side::Left.sign(),
        foot_m: body.foot,
        stance: Stance::Planted,
        shake_px: MOST_SHAKE,
    }
}

/// Patches over the foot's back and the floor, moved by `q` exactly; every fifth of the foot's
/// is somewhere else.
fn patches(k: &Kinematics, q: &Unknowns) -> Vec<Observed> {
    let mut all = Vec::new();
    for i in 0..45usize {
        let (a, b) = ((i % 5) as f64 / 4.0 - 0.5, (i / 5) as f64 / 8.0);
        let place = k.leg.heel
            + k.leg.along * (b * k.foot_m)
            + k.leg.medial * (0.3 * a * k.foot_m)
            + DVec3::Y * (0.07 * (1.0 - b) + 0.01 * (i % 3) as f64);
        let part = match b {
            b if b < 0.52 => Part::Rear,
            b if b < 0.80 => Part::Bend,
            _ => Part::Fore,
        };
        all.push((part, place));
    }
    all.extend((0..6).map(|_| (Part::Floor, DVec3::ZERO)));
    let moved: Vec<DVec2> = k.displacements(q, all.iter().copied()).collect();
    all.iter()
        .zip(moved)
        .enumerate()
        .map(|(i, (&(part, place), moved))| Observed {
            part,
            place,
            moved: if i % 5 == 2 && part != Part::Floor {
                moved + DVec2::new(9.0, 5.0)
            } else {
                moved
            },
            expected: DVec2::ZERO,
            standing: k.camera.project(place).expect("in front of the camera"),
            variance: DMat2::IDENTITY * 0.02,
            trust: 1.0,
            weight: 0.0,
            slopes: [DVec2::ZERO; UNKNOWNS],
            sound: true,
        })
        .collect()
}

fn fitted(azimuth_deg: f64, set: &[(usize, f64)]) -> (Kinematics, Unknowns, Fitted) {
    let k = kinematics(azimuth_deg);
    let mut q = Unknowns::zeros();
    for &(i, v) in set {
        q[i] = v;
    }
    let mut seen = patches(&k, &q);
    let mut start = Unknowns::zeros();
    let mut got = None;
    for _ in 0..3 {
        let f = k.fit(&start, None, &mut seen, 6).expect("a motion");
        start = f.q;
        got = Some(f);
    }
    (k, q, got.expect("a motion"))
}

#[test]
fn a_lift_is_read_from_every_side() {
    for azimuth in [0.0, 45.0, 90.0, 135.0, 180.0] {
        let (k, q, f) = fitted(azimuth, &[(PITCH, 0.18), (SHAKE, 1.5), (SHAKE + 1, -2.0)]);
        let (lift, truth) = (k.heel_lift(&f, 1.0), 1000.0 * k.heel_rise(&q));
        assert!(
            (lift.value - truth).abs() < 2.0,
            "{azimuth}: {lift:?}, true {truth}"
        );
        assert!((f.q[SHAKE] - 1.5).abs() < 0.3 && (f.q[SHAKE + 1] + 2.0).abs() < 0.3);
    }
}

#[test]
fn a_roll_is_read_from_front_and_rear() {
    for roll in [-0.2, 0.15] {
        let (_, _, f) = fitted(6.0, &[(ROLL, roll)]);
        assert!((f.q[ROLL] - roll).abs() < 0.02, "{roll}: {}", f.q[ROLL]);
        let (_, _, f) = fitted(186.0, &[(ROLL, roll)]);
        assert!((f.q[ROLL] - roll).abs() < 0.02, "{roll}: {}", f.q[ROLL]);
    }
}

#[test]
fn a_heel_does_not_sink_into_the_floor() {
    let (k, _, f) = fitted(90.0, &[]);
    assert!(k.heel_lift(&f, 1.0).value.abs() < 0.1);
}
