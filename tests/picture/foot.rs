//! The foot tracker on analytically drawn pictures: the motion is known because a formula made it.
//!
//! Invented scene, drawn by tests/picture/support/plate.rs.

use crate::plate::{Frame, H, STILL, Scene, W};
use glam::{DVec2, DVec3};
use underfoot::keypoints::Side;
use underfoot::picture::{FootTracker, GreyView, Lost};

/// Pitch of a repetition at share `t` of it.
fn repetition(t: f64, deepest: f64) -> f64 {
    deepest * (std::f64::consts::PI * t).sin().powi(2)
}

#[test]
fn follows_a_lifting_heel() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    for i in 0..40 {
        let pitch = repetition(i as f64 / 39.0, 0.25);
        let motion = scene
            .push(&mut tracker, &Frame { pitch, ..STILL }, 100 + i)
            .unwrap();
        let (lift, truth) = (motion.heel_lift_mm.unwrap(), scene.lift_mm(pitch));
        // A lift of a few mm may pass for a lean of the upper edge, which turns by as much.
        let most = 3.0f64.max(0.1 * truth);
        assert!(
            (lift.value - truth).abs() < most,
            "frame {i}: {lift:?}, true {truth}"
        );
        assert!(
            (lift.value - truth).abs() < 3.0 * lift.sd,
            "frame {i}: {lift:?}, true {truth}"
        );
        assert!(
            lift.sd < 6.0f64.max(0.15 * truth),
            "frame {i}: {lift:?}, true {truth}"
        );
    }
}

#[test]
fn light_shake_and_lost_frames_do_not_lift_a_heel() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    for i in 0..40 {
        if i % 10 == 4 {
            assert_eq!(tracker.push(None), Err(Lost::NoPicture));
            continue;
        }
        let t = i as f64;
        let shake = DVec2::new(2.0 * (1.7 * t).sin(), 2.0 * (2.3 * t).cos());
        let frame = Frame {
            shake,
            gain: 0.835 + 0.165 * (0.5 * t).cos(),
            ..STILL
        };
        let motion = scene.push(&mut tracker, &frame, 200 + i).unwrap();
        let lift = motion.heel_lift_mm.unwrap();
        assert!(lift.value.abs() < 3.0, "frame {i}: {lift:?}");
        // Where the picture jumps by 3 px a foot's slip of a mm passes for half a pixel of shake.
        assert!(
            (motion.shake_px - shake).length() < 0.6,
            "frame {i}: {:?}",
            motion.shake_px
        );
        assert!(
            motion.slip_mm.iter().all(|s| s.value.abs() < 2.0 + s.sd),
            "frame {i}: {motion:?}"
        );
    }
}

#[test]
fn twelve_millimetres_are_told_from_none() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    let pitch = (1..400)
        .map(|i| i as f64 * 1e-3)
        .find(|&p| scene.lift_mm(p) >= 12.0)
        .unwrap();
    let none = scene
        .push(&mut tracker, &STILL, 1)
        .unwrap()
        .heel_lift_mm
        .unwrap();
    let some = Frame { pitch, ..STILL };
    let some = scene
        .push(&mut tracker, &some, 2)
        .unwrap()
        .heel_lift_mm
        .unwrap();
    assert!(
        some.value - none.value > 2.0 * some.sd.max(none.sd),
        "{none:?} {some:?}"
    );
}

#[test]
fn says_why_it_lost_the_foot_and_finds_it_again() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    let lifted = Frame {
        pitch: 0.2,
        ..STILL
    };
    let found = |tracker: &mut FootTracker, seed| {
        let lift = scene
            .push(tracker, &lifted, seed)
            .unwrap()
            .heel_lift_mm
            .unwrap();
        let truth = scene.lift_mm(0.2);
        assert!((lift.value - truth).abs() < 3.0, "{lift:?}, true {truth}");
    };
    found(&mut tracker, 1);
    // A plate of another grey in front of the foot, with a rim.
    let plate: Vec<u8> = (0..W * H)
        .map(|k| if (k % W) % 37 < 3 { 90 } else { 40 })
        .collect();
    for _ in 0..20 {
        assert_eq!(tracker.push(Some(&scene.view(&plate))), Err(Lost::Covered));
    }
    found(&mut tracker, 2);
    let dark = Frame {
        gain: 0.04,
        ..STILL
    };
    assert_eq!(scene.push(&mut tracker, &dark, 3), Err(Lost::Dark));
    found(&mut tracker, 4);
    let blurred = Frame { blur: 9, ..STILL };
    assert_eq!(scene.push(&mut tracker, &blurred, 5), Err(Lost::Blurred));
    found(&mut tracker, 6);
    assert_eq!(tracker.push(None), Err(Lost::NoPicture));
    found(&mut tracker, 7);
}

#[test]
fn a_foot_set_elsewhere_is_not_a_lifted_heel() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    // The whole picture moves by 40 px, as after a step: nothing is where it was.
    let away = scene.draw(&STILL, 1);
    let moved = DVec2::new(40.0, 12.0);
    let view = GreyView::new(&away, W, H, W, scene.origin + moved, 1.0).unwrap();
    match tracker.push(Some(&view)) {
        Err(lost) => assert_eq!(lost, Lost::Covered),
        Ok(motion) => assert!(motion.heel_lift_mm.is_none(), "{motion:?}"),
    }
}

#[test]
fn nothing_to_follow_is_said_at_once() {
    let scene = Scene::new();
    let anchor = |frame: &[u8]| {
        let view = [scene.view(frame)];
        FootTracker::anchor(Side::Left, &scene.camera, &scene.body, &view).err()
    };
    let none = FootTracker::anchor(Side::Left, &scene.camera, &scene.body, &[]).err();
    assert_eq!(none, Some(Lost::NoPicture));
    assert_eq!(anchor(&vec![120; W * H]), Some(Lost::NoTexture));
    assert_eq!(anchor(&vec![3; W * H]), Some(Lost::Dark));
}

#[test]
fn other_offsets_scales_and_sizes_of_later_crops_are_read_too() {
    let scene = Scene::new();
    let mut tracker = scene.anchored();
    let frame = scene.draw(
        &Frame {
            pitch: 0.15,
            ..STILL
        },
        1,
    );
    let truth = scene.lift_mm(0.15);
    // A part of the same frame, with its own offset.
    let (x, y) = (7, 5);
    let part = GreyView::new(
        &frame[y * W + x..],
        W - 2 * x,
        H - y,
        W,
        scene.origin + DVec2::new(x as f64, y as f64),
        1.0,
    );
    let lift = tracker
        .push(Some(&part.unwrap()))
        .unwrap()
        .heel_lift_mm
        .unwrap();
    assert!((lift.value - truth).abs() < 2.5, "{lift:?}, true {truth}");
    // Twice as fine, from the same drawing.
    let fine: Vec<u8> = (0..4 * W * H)
        .map(|k| {
            let px = DVec2::new((k % (2 * W)) as f64, (k / (2 * W)) as f64) * 0.5 + scene.origin;
            scene.shade(px, 0.15) as u8
        })
        .collect();
    let view = GreyView::new(&fine, 2 * W, 2 * H, 2 * W, scene.origin, 0.5).unwrap();
    let lift = tracker.push(Some(&view)).unwrap().heel_lift_mm.unwrap();
    assert!((lift.value - truth).abs() < 2.5, "{lift:?}, true {truth}");
}

#[test]
fn no_picture_and_no_camera_makes_it_panic() {
    let scene = Scene::new();
    let mut h = 1u64;
    let mut next = || {
        h = h
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        h >> 33
    };
    let mut tracker = scene.anchored();
    for _ in 0..30 {
        let noise: Vec<u8> = (0..W * H).map(|_| next() as u8).collect();
        let (w, hgt) = (
            16 + next() as usize % (W - 16),
            16 + next() as usize % (H - 16),
        );
        let at = DVec2::new(next() as f64 - 1e9, 1e5);
        for origin in [
            scene.origin,
            at.clamp(DVec2::splat(-9e5), DVec2::splat(9e5)),
        ] {
            let view =
                GreyView::new(&noise, w, hgt, W, origin, 0.1 + (next() % 50) as f64).unwrap();
            let _ = tracker.push(Some(&view));
        }
    }
    let noise: Vec<u8> = (0..W * H).map(|_| next() as u8).collect();
    for broken in [f64::NAN, f64::INFINITY, 0.0, -1.0, 1e300] {
        let mut camera = scene.camera;
        camera.focal = broken;
        let _ = FootTracker::anchor(Side::Left, &camera, &scene.body, &[scene.view(&noise)])
            .map(|mut t| t.push(Some(&scene.view(&noise))));
        let mut body = scene.body;
        body.foot = broken;
        body.legs[0].heel = DVec3::splat(broken);
        let _ = FootTracker::anchor(Side::Left, &scene.camera, &body, &[scene.view(&noise)])
            .map(|mut t| t.push(Some(&scene.view(&noise))));
    }
}
