//! Crops of rendered clips around one foot, with the standing fit that belongs to them.
//!
//! Source: rendered clips of a synthetic figure (mesh data CC0) with the keypoints that a public
//! pose estimator gave for them; cut by tests/data/picture/make_clips.py.

use flate2::read::GzDecoder;
use glam::DVec2;
use serde_json::Value;
use std::io::Read;
use underfoot::keypoints::{ImageSize, Layout, Setup, Side};
use underfoot::picture::GreyView;
use underfoot::pose::PoseTracker;
use underfoot::standing::{StandingFit, fit};

pub struct Clip {
    pub about: Value,
    pub side: Side,
    pub size: (usize, usize),
    pub frames: Vec<Vec<u8>>,
    pub fit: StandingFit,
    pub setup: Setup,
}

pub fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

pub fn clip(name: &str) -> Clip {
    let all: Value = serde_json::from_str(include_str!("../../data/picture/clips.json")).unwrap();
    let about = all.as_array().unwrap();
    let about = about.iter().find(|c| c["name"] == name).unwrap().clone();
    let size = ["width", "height"].map(|k| number(&about[k]) as usize);
    let path = format!(
        "{}/tests/data/picture/{name}.y4m.gz",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut bytes = Vec::new();
    GzDecoder::new(std::fs::File::open(path).unwrap())
        .read_to_end(&mut bytes)
        .unwrap();
    let start = bytes.iter().position(|&b| b == b'\n').unwrap() + 1;
    let frames = bytes[start..]
        .chunks_exact(6 + size[0] * size[1])
        .map(|f| f[6..].to_vec())
        .collect();
    let image = ImageSize {
        width: number(&about["image"][0]),
        height: number(&about["image"][1]),
    };
    let setup = Setup::new(Layout::named("blazepose-33").unwrap(), image);
    let mut tracker = PoseTracker::new(&setup);
    let poses: Vec<_> = about["points"]
        .as_array()
        .unwrap()
        .iter()
        .enumerate()
        .filter_map(|(i, person)| {
            let point = |p: &Value| [number(&p[0]), number(&p[1]), number(&p[2])];
            let person: Vec<[f64; 3]> = person.as_array().unwrap().iter().map(point).collect();
            tracker.push(i as f64 * 2000.0 / 30.0, &[person])
        })
        .collect();
    Clip {
        side: if about["side"] == "left" {
            Side::Left
        } else {
            Side::Right
        },
        size: (size[0], size[1]),
        frames,
        fit: fit(&poses, &setup).unwrap(),
        about,
        setup,
    }
}

impl Clip {
    pub fn view<'a>(&self, frame: &'a [u8]) -> GreyView<'a> {
        let at = DVec2::new(number(&self.about["x"]), number(&self.about["y"]));
        GreyView::new(frame, self.size.0, self.size.1, self.size.0, at, 1.0).unwrap()
    }
}
