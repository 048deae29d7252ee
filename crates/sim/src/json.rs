//! Recordings in the contract's form.

use serde_json::{Map, Value, json};
use underfoot::keypoints::{Carry, Footwear, Layout, Person, Recording};

/// The recording as the contract has it; pixels to a hundredth, scores to a thousandth.
pub fn recording(recording: &Recording) -> Value {
    let setup = &recording.setup;
    let mut root = Map::new();
    root.insert("layout".into(), layout(&setup.layout));
    root.insert(
        "image".into(),
        json!({"width": setup.image.width, "height": setup.image.height}),
    );
    let mut section = |name: &str, fields: Vec<(&str, Option<Value>)>| {
        let map: Map<String, Value> = fields
            .into_iter()
            .filter_map(|(k, v)| v.map(|v| (k.to_string(), v)))
            .collect();
        if !map.is_empty() {
            root.insert(name.into(), Value::Object(map));
        }
    };
    section(
        "lifter",
        vec![("height_m", setup.lifter.height_m.map(Value::from))],
    );
    let carry = match setup.load.carry {
        Carry::Back => "back",
        Carry::Front => "front",
        Carry::Overhead => "overhead",
        Carry::Goblet => "goblet",
        Carry::None => "none",
    };
    section(
        "load",
        vec![
            ("body_kg", setup.load.body_kg.map(Value::from)),
            ("bar_kg", setup.load.bar_kg.map(Value::from)),
            ("carry", Some(carry.into())),
        ],
    );
    let camera = &setup.camera;
    section(
        "camera",
        vec![
            ("hfov_deg", camera.hfov_deg.map(Value::from)),
            ("mirrored", camera.mirrored.then_some(Value::Bool(true))),
            ("pitch_deg", camera.pitch_deg.map(Value::from)),
            ("roll_deg", camera.roll_deg.map(Value::from)),
        ],
    );
    if let Some(footwear) = setup.footwear {
        let name = match footwear {
            Footwear::Barefoot => "barefoot",
            Footwear::Flat => "flat",
            Footwear::RaisedHeel => "raised-heel",
        };
        root.insert("footwear".into(), name.into());
    }
    if let Some(name) = &setup.estimator {
        root.insert("estimator".into(), name.clone().into());
    }
    let frames: Vec<Value> = recording
        .frames
        .iter()
        .map(|frame| {
            let t = round(frame.t_ms, 1e3);
            match frame.people.as_slice() {
                [] => json!({"t_ms": t, "points": null}),
                [one] => json!({"t_ms": t, "points": person(one)}),
                many => {
                    let people: Vec<Value> = many.iter().map(person).collect();
                    json!({"t_ms": t, "people": people})
                }
            }
        })
        .collect();
    root.insert("frames".into(), frames.into());
    Value::Object(root)
}

fn round(v: f64, k: f64) -> f64 {
    (v * k).round() / k
}

fn person(points: &Person) -> Value {
    points
        .iter()
        .map(|p| json!([round(p[0], 1e2), round(p[1], 1e2), round(p[2], 1e3)]))
        .collect()
}

fn layout(layout: &Layout) -> Value {
    if Layout::named(layout.name()).is_some() {
        return layout.name().into();
    }
    let joints: Map<String, Value> = underfoot::keypoints::Joint::ALL
        .into_iter()
        .filter_map(|j| layout.index_of(j).map(|i| (j.name().into(), i.into())))
        .collect();
    json!({"count": layout.count(), "joints": joints})
}
