//! `marks` in a recording: what is read, and what is refused by field and reason. Invented input.

use crate::tree::Tree;
use serde_json::{Value, json};
use underfoot::keypoints::{Joint, read_recording};

fn recording() -> Value {
    json!({
        "layout": "blazepose-33",
        "image": { "width": 1280, "height": 720 },
        "marks": { "t_ms": 1000, "joints": {
            "left_knee": [700, 200], "left_ankle": [710, 500], "left_heel": [700, 540], "left_big_toe": [760, 560],
            "left_small_toe": [790.5, 550], "right_knee": null,
        } },
        "frames": [{ "t_ms": 0, "points": null }, { "t_ms": 33.3, "points": null }],
    })
}

fn read(change: impl Fn(&mut Value)) -> Result<underfoot::keypoints::Recording, String> {
    let mut tree = recording();
    change(&mut tree["marks"]);
    read_recording(&Tree(&tree)).map_err(|e| e.to_string())
}

#[test]
fn marks_are_read_and_frames_need_no_points() {
    let recording = read(|_| ()).unwrap();
    let marks = recording.setup.marks.unwrap();
    assert_eq!(marks.t_ms, 1000.0);
    assert_eq!(marks.at(Joint::LeftSmallToe), Some([790.5, 550.0]));
    assert_eq!(marks.at(Joint::RightKnee), None);
    assert!(recording.frames.iter().all(|f| f.people.is_empty()));
}

/// A finger misses an edge by a few pixels, and a picture may cut off the big toe.
#[test]
fn marks_at_the_edge_are_taken() {
    let edge = read(|marks| marks["joints"]["left_knee"] = json!([1290, 2]));
    assert!(edge.is_ok());
    let toe = read(|marks| marks["joints"]["left_big_toe"] = Value::Null);
    assert!(
        toe.unwrap()
            .setup
            .marks
            .unwrap()
            .at(Joint::LeftSmallToe)
            .is_some()
    );
    let none = read(|marks| {
        marks["joints"]["left_big_toe"] = Value::Null;
        marks["joints"]["left_small_toe"] = Value::Null;
    });
    assert!(none.unwrap_err().contains("a toe"));
}

#[test]
fn what_cannot_be_meant_is_refused() {
    let joint = |name: &'static str, value: Value| {
        read(move |marks| marks["joints"][name] = value.clone()).unwrap_err()
    };
    let cases = [
        (
            joint("left_hip", json!([1, 2])),
            "marks.joints.left_hip: only knees",
        ),
        (
            joint("left_shin", json!([1, 2])),
            "marks.joints.left_shin: not a joint's name",
        ),
        (
            joint("left_knee", json!([1320, 2])),
            "marks.joints.left_knee: outside the picture",
        ),
        (
            joint("left_knee", json!([1])),
            "marks.joints.left_knee: must be [x, y]",
        ),
        (
            joint("left_knee", json!(["a", 2])),
            "marks.joints.left_knee: must be [x, y]",
        ),
        (
            joint("left_heel", Value::Null),
            "marks.joints: one leg at least needs",
        ),
        (
            read(|m| m["t_ms"] = json!("now")).unwrap_err(),
            "marks.t_ms: must be a number",
        ),
        (
            read(|m| *m = json!([1])).unwrap_err(),
            "marks: must be an object",
        ),
        (
            read(|m| *m = json!({ "t_ms": 1 })).unwrap_err(),
            "marks.joints: must be an object",
        ),
    ];
    for (said, expected) in cases {
        assert!(said.starts_with(expected), "{said}");
    }
}
