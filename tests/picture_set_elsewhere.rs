//! A foot that is set a few centimetres elsewhere within a set: lost or unsure until it stands still,
//! then learnt anew, with how far it was set.
//!
//! Invented scene, drawn by tests/support/feet.rs; the distances are the drawing's own.

#[path = "support/feet.rs"]
#[allow(dead_code)] // other tests use the rest
mod feet;

use feet::{Moment, Room, STILL, compressed};
use glam::DVec2;
use underfoot::keypoints::Side;
use underfoot::picture::FootTracker;

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
