//! A foot that is set a few centimetres elsewhere within a set: lost or unsure until it stands still,
//! then learnt anew, with how far it was set.
//!
//! Invented scene, drawn by tests/picture/support/feet.rs; the distances are the drawing's own.

use crate::elsewhere::{on_the_way, set_by, turned_by};
use crate::feet::{Moment, Room, STILL, compressed};
use glam::DVec2;
use serde_json::Value;
use underfoot::keypoints::{ImageSize, Layout, Setup, Side};
use underfoot::picture::{FeetPictures, FootTracker, Picture};
use underfoot::pose::{Pose, PoseTracker};
use underfoot::standing::{StandingFit, fit};

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
            // From behind a lift is corrected for what skin and shoes do, which a drawn foot lacks: a fifth.
            let more = if azimuth > 120.0 { 6.0 } else { 0.0 };
            assert!(off < 6.0 && worst < 3.0 + more && errors.len() == 4);
        }
    }
}

#[test]
fn a_turned_foot_is_learnt_anew() {
    for azimuth in [0.0, 60.0, 160.0] {
        for degrees in [10.0f64, -10.0] {
            let room = Room::new(azimuth);
            let elsewhere = turned_by(&room, degrees.to_radians());
            let draw = |room: &Room, n| compressed(&room.draw(&STILL), room.size.0, 1.0, n);
            let fitted = room.fitted();
            let still: Vec<_> = (1..6).map(|i| draw(&room, i)).collect();
            let views: Vec<_> = still.iter().map(|f| room.view(f)).collect();
            let tracker = FootTracker::anchor(Side::Left, &fitted, &room.body, &views).unwrap();
            let still: Vec<_> = (11..16).map(|i| draw(&elsewhere, i)).collect();
            let views: Vec<_> = still.iter().map(|f| room.view(f)).collect();
            let anew = tracker.learnt_anew(&fitted, &room.body, &views);
            let mut anew = anew.unwrap_or_else(|| panic!("{azimuth} {degrees}: not found"));
            let [_, _, told] = anew.push(views.last()).unwrap().set_by.unwrap();
            println!("from {azimuth}: turned by {degrees}, told {told:.1}");
            assert!((told - degrees).abs() < 4.0);
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

#[test]
fn while_a_foot_set_elsewhere_is_in_doubt_no_lift_is_sure() {
    let image = ImageSize {
        width: 540.0,
        height: 960.0,
    };
    let setup = Setup::new(Layout::named("blazepose-33").unwrap(), image);
    for azimuth in [180.0, 150.0, 60.0] {
        let room = Room::new(azimuth);
        let fit = standing(&room, &setup);
        let width = room.size.0;
        let forward = |m: f64| set_by(&room, DVec2::new(m, 0.0));
        let places = [
            ("2.5 cm on", forward(0.025)),
            ("4 cm on", forward(0.04)),
            ("3 cm back", forward(-0.03)),
            ("3 cm out", set_by(&room, DVec2::new(0.0, -0.03))),
            ("turned by 10 degrees", turned_by(&room, 0.175)),
        ];
        for (name, place) in &places {
            // At once, as a slow phone sees it, and through the air.
            for frames in [0, 6] {
                let mut feet = FeetPictures::new(&setup);
                let mut n = 0;
                let mut see = |feet: &mut FeetPictures, room: &Room| {
                    n += 1;
                    let t_ms = 60.0 * n as f64;
                    let data = compressed(&room.draw(&STILL), width, 1.0, n);
                    let picture = Picture::Feet([Some(room.view(&data)), None]);
                    feet.see(&Pose::empty(t_ms), &picture, true);
                    feet.last(Side::Left)
                };
                for _ in 0..6 {
                    see(&mut feet, &room);
                }
                feet.anchor(&fit, None, 0.0, 360.0);
                for _ in 0..2 {
                    see(&mut feet, &room);
                }
                for i in 1..=frames {
                    let u = f64::from(i) / f64::from(frames + 1);
                    see(&mut feet, &on_the_way(&room, place, u));
                }
                for i in 0..8 {
                    let seen = see(&mut feet, place);
                    let lift = seen.and_then(Result::ok).and_then(|m| m.heel_lift_mm);
                    println!("{name} from {azimuth} in {frames} frames, {i}: {lift:?}");
                    // It takes a tenth of a second to doubt a foot.
                    if let Some(lift) = lift.filter(|_| i > 2) {
                        assert!(lift.value.abs() < 2.5f64.max(2.0 * lift.sd), "{lift:?}");
                    }
                }
            }
        }
    }
}

/// Some standing fit, of the room's camera and body.
fn standing(room: &Room, setup: &Setup) -> StandingFit {
    let all: Value = serde_json::from_str(include_str!("../data/picture/clips.json")).unwrap();
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
    for (azimuth, by, degrees) in [
        (90.0, 0.03, 0.0),
        (180.0, 0.03, 0.0),
        (0.0, 0.0, 10.0),
        (60.0, 0.0, -10.0),
        (90.0, 0.0, 10.0),
        (145.0, 0.0, 10.0),
    ] {
        let room = Room::new(azimuth);
        let elsewhere = turned_by(
            &set_by(&room, DVec2::new(by, 0.0)),
            f64::to_radians(degrees),
        );
        // It turns about its heel: the ball goes outward.
        let aside =
            (elsewhere.body.legs[0].ball - room.body.legs[0].ball).dot(room.body.legs[0].medial);
        let by = DVec2::new(by, aside);
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
                    true,
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
        let motion = feet.last(Side::Left).unwrap().unwrap();
        assert_eq!(motion.set_by, None, "{azimuth}");
        stand(&mut feet, &elsewhere, 18);
        let motion = feet.last(Side::Left).unwrap().unwrap();
        let [along, toward, turned] = motion.set_by.unwrap();
        let off = (DVec2::new(along, toward) - 1000.0 * by).length();
        println!("from {azimuth}, {by}, {degrees}: {:?}", motion.set_by);
        let (near, even) = if degrees == 0.0 {
            (6.0, 3.0)
        } else {
            (12.0, 4.0)
        };
        assert!(
            off < near && (turned - degrees).abs() < even,
            "{azimuth}: {motion:?}"
        );
        let lift = motion.heel_lift_mm;
        assert!(lift.is_some() || degrees != 0.0, "{azimuth}");
        assert!(
            lift.is_none_or(|e| e.value.abs() < 3.0),
            "{azimuth}: {lift:?}"
        );
        assert!(motion.slip_mm.iter().all(|s| s.value.abs() < 5.0));
    }
}
