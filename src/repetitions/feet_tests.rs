//! A step is the same whatever the picture's size and the frame rate.

use super::*;
use crate::keypoints::Joint;
use crate::pose::Seen;

/// Ankles 80 px apart over the ground, the left one moved by so much, in a picture `larger` than usual.
fn pose(t_ms: f64, left: f64, magnification: f64) -> Pose {
    let mut pose = Pose::empty(t_ms);
    for (side, x) in [(Side::Left, 340.0 + left), (Side::Right, 260.0)] {
        let at = magnification * DVec2::new(x, 600.0);
        pose.joints[Joint::of(Part::Ankle, side).index()] = Some(Seen { at, score: 0.9 });
    }
    pose
}

/// Distances from their place at every tenth of a second, and when they had stepped, for feet that stand
/// for two seconds and are half a shank (100 px) to the side from then on.
fn step(every_ms: f64, magnification: f64) -> (Vec<f64>, Option<f64>) {
    let mut feet = Feet::default();
    let (mut away, mut stepped) = (vec![], None);
    let frames = (2400.0 / every_ms) as u32;
    for k in 0..=frames {
        let t_ms = f64::from(k) * every_ms;
        let left = if t_ms > 2000.0 { 50.0 } else { 0.0 };
        let stance = feet.push(&pose(t_ms, left, magnification), 100.0 * magnification, 0.0);
        if stance.planted && t_ms % 100.0 == 0.0 && t_ms <= 2100.0 {
            away.push(stance.away);
        }
        if t_ms > 2000.0 && !stance.planted {
            stepped = stepped.or(Some(t_ms));
        }
    }
    (away, stepped)
}

/// Smoothing over 70 ms leaves e^(-100/70) of a step of 0.5 after 100 ms: 0.380 of it is seen; the place
/// itself follows by a little before the step shows.
#[test]
fn a_step_is_as_far_at_every_frame_rate() {
    for every_ms in [6.25, 10.0, 25.0, 50.0] {
        let (away, stepped) = step(every_ms, 1.0);
        let last = away.last().copied().unwrap_or(0.0);
        assert!((last - 0.380).abs() < 4e-3, "{every_ms} ms: {away:?}");
        let stepped = stepped.unwrap_or(0.0) - 2000.0;
        assert!(
            (90.0..=250.0).contains(&stepped),
            "{every_ms} ms: {stepped}"
        );
    }
}

/// Lengths are those of the lifter's shank.
#[test]
fn a_step_is_as_far_in_every_picture() {
    let (usual, stepped) = step(25.0, 1.0);
    for magnification in [0.25, 0.5, 2.0, 8.0] {
        let (away, when) = step(25.0, magnification);
        assert_eq!(when, stepped);
        for (a, b) in usual.iter().zip(&away) {
            assert!((a - b).abs() < 1e-9, "{magnification}: {usual:?} {away:?}");
        }
    }
}
