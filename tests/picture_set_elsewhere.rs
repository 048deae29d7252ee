//! A foot that is set a few centimetres elsewhere within a set: lost or unsure until it stands still,
//! then learnt anew, with how far it was set.
//!
//! Invented scene, drawn by tests/support/feet.rs; the distances are the drawing's own.

#[path = "support/feet.rs"]
#[allow(dead_code)] // other tests use the rest
mod feet;

use feet::{Moment, Room, STILL, compressed};
use glam::DVec2;
use serde_json::Value;
use underfoot::keypoints::{ImageSize, Layout, Setup, Side};
use underfoot::picture::{FeetPictures, FootTracker, Picture};
use underfoot::pose::{Pose, PoseTracker};
use underfoot::standing::{StandingFit, fit};

/// The room with its left foot set on by so much along itself and toward the other foot, m.
fn set_by(room: &Room, by: DVec2) -> Room {
    let mut set = Room {
        body: room.body,
        ..Room::new(0.0)
    };
    (set.camera, set.origin) = (room.camera, room.origin);
    let leg = &mut set.body.legs[0];
    let shift = leg.along * by.x + leg.medial * by.y;
    for place in [&mut leg.ball, &mut leg.heel, &mut leg.ankle, &mut leg.knee] {
        *place += shift;
    }
    set
}

#[test]
fn a_foot_set_elsewhere_is_learnt_anew_and_its_lifts_are_right_again() {
    for azimuth in [90.0, 60.0, 145.0, 180.0] {
        for by in [
            DVec2::new(0.03, 0.0),
            DVec2::new(-0.02, 0.015),
            DVec2::new(0.0, 0.04),
        ] {
            let room = Room::new(azimuth);
            let elsewhere = set_by(&room, by);
            let width = room.size.0;
            let draw =
                |room: &Room, at: &Moment, seed| compressed(&room.draw(at), width, 1.0, seed);
            let fitted = room.fitted();
            let still: Vec<_> = (1..6).map(|i| draw(&room, &STILL, i)).collect();
            let views: Vec<_> = still.iter().map(|f| room.view(f)).collect();
            let tracker = FootTracker::anchor(Side::Left, &fitted, &room.body, &views).unwrap();
            // Where it stands already there is nothing to learn.
            assert!(tracker.learnt_anew(&fitted, &room.body, &views).is_none());
            let still: Vec<_> = (11..16).map(|i| draw(&elsewhere, &STILL, i)).collect();
            let views: Vec<_> = still.iter().map(|f| room.view(f)).collect();
            let anew = tracker.learnt_anew(&fitted, &room.body, &views);
            let mut anew = anew.unwrap_or_else(|| panic!("{azimuth} {by}: not found"));
            let off = (anew.set_by_mm() - 1000.0 * by).length();
            let mut errors = Vec::new();
            for (i, pitch) in [0.0, 0.05, 0.1, 0.15].into_iter().enumerate() {
                let at = Moment { pitch, ..STILL };
                let frame = draw(&elsewhere, &at, 20 + i as u64);
                let motion = anew.push(Some(&room.view(&frame))).unwrap();
                errors.extend(
                    motion
                        .heel_lift_mm
                        .map(|e| e.value - elsewhere.lift_mm(&at)),
                );
            }
            let worst = errors.iter().fold(0.0, |a: f64, e| a.max(e.abs()));
            println!(
                "from {azimuth}, set by {by}: told to {off:.1} mm, lifts to {worst:.1} mm, {} seen",
                errors.len()
            );
            assert!(off < 6.0 && worst < 3.0 && errors.len() == 4);
        }
    }
}

#[test]
fn a_plate_or_a_lifted_heel_is_not_learnt() {
    let room = Room::new(90.0);
    let width = room.size.0;
    let still = compressed(&room.draw(&STILL), width, 1.0, 1);
    let fitted = room.fitted();
    let tracker =
        FootTracker::anchor(Side::Left, &fitted, &room.body, &[room.view(&still)]).unwrap();
    let plate: Vec<u8> = (0..still.len())
        .map(|k| if (k % width) % 37 < 3 { 90 } else { 40 })
        .collect();
    let lifted = Moment {
        pitch: 0.15,
        ..STILL
    };
    let lifted = compressed(&room.draw(&lifted), width, 1.0, 2);
    for frame in [&plate, &lifted] {
        let anew = tracker.learnt_anew(&fitted, &room.body, &[room.view(frame)]);
        assert!(anew.is_none(), "{:?}", anew.map(|a| a.set_by_mm()));
    }
}

#[test]
fn a_foot_that_was_out_of_sight_is_less_sure_of_its_place() {
    // From behind three centimetres ahead look like a heel that is six millimetres up.
    let room = Room::new(180.0);
    let elsewhere = set_by(&room, DVec2::new(0.03, 0.0));
    let width = room.size.0;
    let still = compressed(&room.draw(&STILL), width, 1.0, 1);
    let fitted = room.fitted();
    let mut tracker =
        FootTracker::anchor(Side::Left, &fitted, &room.body, &[room.view(&still)]).unwrap();
    let plate = vec![40; still.len()];
    for _ in 0..5 {
        assert!(tracker.push(Some(&room.view(&plate))).is_err());
    }
    let after = compressed(&elsewhere.draw(&STILL), width, 1.0, 2);
    if let Ok(motion) = tracker.push(Some(&room.view(&after)))
        && let Some(lift) = motion.heel_lift_mm
    {
        assert!(lift.value.abs() < 2.0 * lift.sd, "{lift:?}");
    }
}

/// Some standing fit, of the room's camera and body.
fn standing(room: &Room, setup: &Setup) -> StandingFit {
    let all: Value = serde_json::from_str(include_str!("data/picture/clips.json")).unwrap();
    let number = |v: &Value| v.as_f64().unwrap();
    let mut tracker = PoseTracker::new(setup);
    let mut poses = Vec::new();
    for (i, person) in all[0]["points"].as_array().unwrap().iter().enumerate() {
        let point = |p: &Value| [number(&p[0]), number(&p[1]), number(&p[2])];
        let person: Vec<[f64; 3]> = person.as_array().unwrap().iter().map(point).collect();
        poses.extend(tracker.push(i as f64 * 2000.0 / 30.0, &[person]));
    }
    let mut fit = fit(&poses, setup).unwrap();
    (fit.camera, fit.body) = (room.fitted(), room.body);
    fit
}

#[test]
fn a_step_within_a_set_is_told_once_the_lifter_stands_still() {
    let image = ImageSize {
        width: 540.0,
        height: 960.0,
    };
    let setup = Setup::new(Layout::named("blazepose-33").unwrap(), image);
    for azimuth in [90.0, 180.0] {
        let by = DVec2::new(0.03, 0.0);
        let room = Room::new(azimuth);
        let elsewhere = set_by(&room, by);
        let fit = standing(&room, &setup);
        let width = room.size.0;
        let mut feet = FeetPictures::new(&setup);
        let mut t_ms = 0.0;
        let mut stand = |feet: &mut FeetPictures, room: &Room, frames: u64| {
            let from = t_ms;
            for i in 0..frames {
                t_ms += 60.0;
                let data = compressed(&room.draw(&STILL), width, 1.0, 100 + i);
                feet.see(
                    &Pose::empty(t_ms),
                    &Picture::Feet([Some(room.view(&data)), None]),
                );
                if feet.last(Side::Left).is_some() {
                    feet.settle(&fit, from, t_ms);
                }
            }
            (from, t_ms)
        };
        let (from, to) = stand(&mut feet, &room, 8);
        feet.anchor(&fit, None, from, to);
        stand(&mut feet, &room, 18);
        assert_eq!(feet.set_by_mm(Side::Left), DVec2::ZERO, "{azimuth}");
        stand(&mut feet, &elsewhere, 18);
        let told = feet.set_by_mm(Side::Left);
        assert!((told - 1000.0 * by).length() < 6.0, "{azimuth}: {told}");
        let motion = feet.last(Side::Left).unwrap().unwrap();
        let lift = motion.heel_lift_mm.unwrap();
        assert!(lift.value.abs() < 3.0, "{azimuth}: {lift:?}");
        assert!(motion.slip_mm.iter().all(|s| s.value.abs() < 5.0));
    }
}
