//! The points that a public pose estimator gave for a rendered clip (tests/data/clips), as a recording.

#[path = "tree.rs"]
mod tree;

use flate2::read::GzDecoder;
use std::io::Read;
use tree::Tree;
use underfoot::keypoints::{Recording, read_recording};

pub fn recording() -> Recording {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/recordings/front-knees-in.json.gz"
    );
    let mut text = String::new();
    GzDecoder::new(std::fs::File::open(path).unwrap())
        .read_to_string(&mut text)
        .unwrap();
    read_recording(&Tree(&serde_json::from_str(&text).unwrap())).unwrap()
}
