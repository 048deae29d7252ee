//! What the feet's pictures said, kept with a recording in place of the pictures.
//!
//! Invented input: that the same goes in and comes out, and that damage is refused by field.

use crate::tree::Tree;
use glam::DVec2;
use serde_json::{Value, json};
use underfoot::keypoints::{Person, TrackedFeet, read_recording};
use underfoot::picture::{GreyView, Picture};
use underfoot::{Options, Session, analyze};

const DEPTH: [f64; 61] = {
    let mut out = [0.0; 61];
    let mut i = 0;
    while i < 61 {
        let x = i as f64 / 60.0;
        out[i] = 16.0 * x * x * (1.0 - x) * (1.0 - x);
        i += 1;
    }
    out
};

/// A stick figure in halpe-26 from the front: stands, squats three times, stands.
fn person(i: usize) -> Person {
    let depth = match i.checked_sub(75) {
        Some(k) if k < 270 && k % 90 < 61 => DEPTH[k % 90],
        _ => 0.0,
    };
    let mut points = vec![[f64::NAN, f64::NAN, 0.0]; 26];
    let pairs = [
        (5, 85.0, 560.0, 250.0, 0.0),
        (11, 45.0, 800.0, 190.0, 0.0),
        (13, 80.0, 1000.0, 60.0, 30.0),
        (15, 90.0, 1190.0, 0.0, 0.0),
        (24, 85.0, 1205.0, 0.0, 0.0),
        (20, 100.0, 1240.0, 0.0, 0.0),
        (22, 118.0, 1235.0, 0.0, 0.0),
    ];
    for (left, x, y, down, out) in pairs {
        let jitter = ((i * 7 + left * 13) % 11) as f64 / 11.0 - 0.5;
        let (x, y) = (x + out * depth + jitter, y + down * depth + jitter);
        points[left] = [540.0 + x, y, 0.9];
        points[left + 1] = [540.0 - x, y, 0.9];
    }
    points
}

fn setup() -> Value {
    json!({ "layout": "halpe-26", "image": { "width": 1080, "height": 1920 } })
}

/// A textured floor and foot that do not move.
fn crop() -> Vec<u8> {
    let cell = |x: usize, y: usize| (((x / 5 * 31 + y / 5 * 57) * 2_654_435_761_usize) >> 7) % 160;
    (0..160 * 160)
        .map(|k| 40 + cell(k % 160, k / 160) as u8)
        .collect()
}

/// With its pictures, and again with what they said in their place: one report.
#[test]
fn a_set_is_read_again_without_its_pictures() {
    let options = Options {
        series: true,
        ..Options::default()
    };
    let data = crop();
    let view =
        |x: f64| GreyView::new(&data, 160, 160, 160, DVec2::new(x, 1130.0), 1.0).expect("a crop");
    let picture = Picture::Feet([Some(view(560.0)), Some(view(360.0))]);
    let recording = |frames: &Value| {
        let mut root = setup();
        root["frames"] = frames.clone();
        read_recording(&Tree(&root)).expect("a recording")
    };
    let set_up = recording(&json!([{ "t_ms": 0, "points": null }])).setup;
    let mut live = Session::new(set_up, options.clone());
    let mut frames = Vec::new();
    let mut followed = 0;
    for i in 0..400 {
        let t_ms = i as f64 * 1000.0 / 30.0;
        live.push_with(t_ms, &[person(i)], Some(&picture))
            .expect("in order");
        followed += usize::from(live.tracked().is_some_and(|f| f != TrackedFeet::default()));
        let points: Vec<Value> = person(i)
            .iter()
            .map(|p| if p[2] > 0.0 { json!(p) } else { Value::Null })
            .collect();
        frames.push(json!({ "t_ms": t_ms, "points": points, "feet": feet(&live.tracked().unwrap_or_default()) }));
    }
    assert!(
        followed > 200,
        "the picture was followed in {followed} frames"
    );
    let report = live.report();
    assert_eq!(report.reps.len(), 3);
    let used = |r: &underfoot::report::Report| {
        let text = serde_json::to_string(r).expect("plain");
        text.contains("\"both\"") || text.contains("\"picture\"")
    };
    assert!(used(&report), "the picture told something");
    let again = analyze(&recording(&json!(frames)), &options).expect("valid");
    assert_eq!(
        serde_json::to_value(&again).unwrap(),
        serde_json::to_value(&report).unwrap()
    );
    // Without them it is a different set.
    for frame in &mut frames {
        frame.as_object_mut().expect("a frame").remove("feet");
    }
    let blind = analyze(&recording(&json!(frames)), &options).expect("valid");
    assert!(!used(&blind));
}

#[test]
fn a_foot_set_elsewhere_is_told_with_its_repetition() {
    let said = |set_by: Value| {
        let frames: Vec<Value> = (0..400)
            .map(|i| {
                let points: Vec<Value> = person(i)
                    .iter()
                    .map(|p| if p[2] > 0.0 { json!(p) } else { Value::Null })
                    .collect();
                let set = if i > 150 { set_by.clone() } else { Value::Null };
                let left = json!({ "heel_lift_mm": [0, 2], "set_by": set });
                json!({ "t_ms": i as f64 * 1000.0 / 30.0, "points": points, "feet": { "left": left } })
            })
            .collect();
        let mut root = setup();
        root["frames"] = json!(frames);
        let recording = read_recording(&Tree(&root)).expect("a recording");
        analyze(&recording, &Options::default()).expect("valid")
    };
    for (set_by, sentence) in [
        (
            json!([30, -4, 1]),
            "You moved your left foot by 3 cm after repetition 1.",
        ),
        (
            json!([2, -4, -12]),
            "You turned your left foot by 12 degrees after repetition 1.",
        ),
    ] {
        let report = said(set_by.clone());
        assert_eq!(report.feet_set.len(), 1);
        assert_eq!(json!(report.feet_set[0].toward_mm), json!(-4.0));
        assert!(
            report.notes.iter().any(|n| n.text == sentence),
            "{:?}",
            report.notes
        );
    }
    let report = said(Value::Null);
    assert!(report.feet_set.is_empty());
    let text = serde_json::to_string(&report).expect("plain");
    assert!(!text.contains("feet_set") && !text.contains("elsewhere"));
}

/// As hosts write it.
fn feet(feet: &TrackedFeet) -> Value {
    let foot = |i: usize| {
        feet[i].map(|f| {
            json!({
                "heel_lift_mm": f.heel_lift_mm, "foot_roll_deg": f.foot_roll_deg, "contacts_px": f.contacts_px, "set_by": f.set_by,
            })
        })
    };
    json!({ "left": foot(0), "right": foot(1) })
}

#[test]
fn damaged_feet_are_refused_by_field() {
    for (feet, message) in [
        (json!(4), "frames[0].feet: must be an object"),
        (
            json!({ "left": [] }),
            "frames[0].feet.left: must be an object",
        ),
        (
            json!({ "left": { "heel_lift_mm": [3] } }),
            "frames[0].feet.left.heel_lift_mm: must be [value, standard error], the error from 0.001 to 1000",
        ),
        (
            json!({ "right": { "foot_roll_deg": [3, 0] } }),
            "frames[0].feet.right.foot_roll_deg: must be [value, standard error], the error from 0.001 to 1000",
        ),
        (
            json!({ "right": { "foot_roll_deg": [3e9, 1] } }),
            "frames[0].feet.right.foot_roll_deg: must be [value, standard error], the error from 0.001 to 1000",
        ),
        (
            json!({ "left": { "contacts_px": [[1, 2], null] } }),
            "frames[0].feet.left.contacts_px: must be three of [x, y] or null",
        ),
        (
            json!({ "left": { "contacts_px": [[1, 2], null, ["a", 2]] } }),
            "frames[0].feet.left.contacts_px: must be three of [x, y] or null",
        ),
        (
            json!({ "left": { "set_by": [1, 2] } }),
            "frames[0].feet.left.set_by: must be [mm along, mm toward the other foot, degrees out]",
        ),
    ] {
        let mut root = setup();
        root["frames"] = json!([{ "t_ms": 0, "points": null, "feet": feet }]);
        let refused = read_recording(&Tree(&root)).expect_err("must be refused");
        assert_eq!(refused.to_string(), message);
    }
    let mut root = setup();
    root["frames"] = json!([
        { "t_ms": 0, "points": null, "feet": { "left": null, "right": { "heel_lift_mm": [1.5, 0.5] } } },
        { "t_ms": 5, "points": null, "feet": null },
    ]);
    let taken = read_recording(&Tree(&root)).expect("fine");
    let [left, right] = taken.frames[0].feet.expect("feet");
    assert_eq!(
        (left, right.and_then(|f| f.heel_lift_mm)),
        (None, Some([1.5, 0.5]))
    );
    assert_eq!(taken.frames[1].feet, None);
}
