//! How far a foot is rolled in quiet standing, from a made-up lifter seen through a pinhole camera
//! (Hartley & Zisserman, Multiple View Geometry, ch. 6): the angle that went in comes out, within
//! the error that is claimed, where the view shows it.

use glam::DVec3;
use underfoot::findings::{Inward, RestingShape};
use underfoot::keypoints::{ImageSize, Joint, Layout, Part, Setup, Side};
use underfoot::pose::{Pose, Seen};
use underfoot::standing::camera::Placement;
use underfoot::standing::priors::{Priors, Unknown};
use underfoot::standing::{Body, Camera, fit};

/// A small well-known generator (xorshift64), so that noise is the same everywhere.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        // The sum of twelve uniform numbers less six is nearly normal, with spread 1.
        let mut sum = -6.0;
        for _ in 0..12 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            sum += (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        }
        sum
    }
}

fn setup() -> Setup {
    let image = ImageSize {
        width: 1080.0,
        height: 1920.0,
    };
    let mut setup = Setup::new(Layout::named("halpe-26").expect("a layout"), image);
    setup.lifter.height_m = Some(1.76);
    setup
}

/// Thirty frames of standing, the left foot rolled inward by `roll_deg`: its ankle, and the leg on
/// it, stand that far to the inside of its heel and toes. Every joint has an offset of its own, as
/// estimators' points have.
fn standing(roll_deg: f64, azimuth_deg: f64, seed: u64) -> Vec<Pose> {
    let mut noise = Noise(seed | 1);
    let setup = setup();
    let mut x = Priors::new(&setup).mean;
    x[Unknown::Azimuth.index()] = azimuth_deg.to_radians();
    for (u, spread) in [
        (Unknown::ToeOutLeft, 0.08),
        (Unknown::ToeOutRight, 0.08),
        (Unknown::Stance, 0.04),
    ] {
        x[u.index()] += spread * noise.next();
    }
    let body = Body::new(&x, false);
    let at = Placement {
        azimuth: x[Unknown::Azimuth.index()],
        distance: 2.8,
        height: 0.6,
        pitch: 0.03,
        roll: 0.0,
        yaw: 0.0,
    };
    let camera = Camera::new(
        &at,
        x[Unknown::LnFocal.index()].exp(),
        glam::DVec2::new(540.0, 960.0),
    );
    let leg = body.legs[0];
    let aside: DVec3 = leg.medial * (leg.ankle.y * roll_deg.to_radians().sin());
    let of_foot = |j: Joint| {
        [Part::Heel, Part::BigToe, Part::SmallToe]
            .iter()
            .any(|&p| j == Joint::of(p, Side::Left))
    };
    let places = Joint::ALL.map(|joint| {
        let mut place = body.joint(joint)?;
        if of_foot(joint) {
            place -= aside;
        }
        let offset = glam::DVec2::new(noise.next(), noise.next()) * 1.5;
        camera.project(place).map(|at| at + offset)
    });
    (0..30)
        .map(|i| {
            let mut pose = Pose::empty(f64::from(i) * 33.0);
            for (slot, place) in pose.joints.iter_mut().zip(places) {
                let at = place.map(|p| p + glam::DVec2::new(noise.next(), noise.next()));
                *slot = at.map(|at| Seen { at, score: 0.9 });
            }
            pose
        })
        .collect()
}

fn found(roll_deg: f64, azimuth_deg: f64, seed: u64) -> ([Option<[f64; 2]>; 2], Option<Inward>) {
    let fit = fit(&standing(roll_deg, azimuth_deg, seed), &setup()).expect("a plain stand");
    (fit.resting_roll_deg, RestingShape::of(&fit).inward(0))
}

#[test]
fn the_roll_that_went_in_comes_out_within_its_error() {
    let (mut within, mut all) = (0, 0);
    for roll in [0.0, 10.0, 20.0] {
        for seed in 1..=20_u64 {
            let ([left, right], _) = found(roll, 8.0, seed * 77_777);
            let [value, sd] = left.expect("seen from the front");
            let [other, other_sd] = right.expect("seen from the front");
            assert!((2.0..9.0).contains(&sd), "{sd}");
            within += usize::from((value - roll).abs() < 2.0 * sd);
            within += usize::from(other.abs() < 2.0 * other_sd);
            all += 2;
        }
    }
    // 95 % of a normal error lie within two standard errors.
    assert!(10 * within >= 9 * all, "{within} of {all}");
}

#[test]
fn only_a_foot_that_is_surely_rolled_is_called_so() {
    let said = |roll: f64| {
        (1..=20_u64)
            .filter(|s| matches!(found(roll, 5.0, s * 99_991).1, Some(Inward::Roll(_))))
            .count()
    };
    assert_eq!(said(0.0), 0);
    assert!(said(6.0) <= 1);
    assert!(said(24.0) >= 14, "{}", said(24.0));
}

#[test]
fn from_the_side_nothing_is_said_of_it() {
    for seed in 1..=5_u64 {
        let (rolls, inward) = found(20.0, 90.0, seed * 31_337);
        let quiet = rolls[0].is_none_or(|[_, sd]| sd > 8.0);
        assert!(
            quiet && !matches!(inward, Some(Inward::Roll(_))),
            "{rolls:?}"
        );
    }
}
