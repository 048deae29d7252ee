//! A recording that is flipped left-right, its picture too, says the same of the feet.
//!
//! Source: a rendered clip of a synthetic figure with a public estimator's points (see
//! tests/data/picture/make_clips.py); flipped here.

use flate2::read::GzDecoder;
use glam::DVec2;
use serde_json::Value;
use std::io::Read;
use underfoot::keypoints::{ImageSize, Layout, Setup, Side};
use underfoot::picture::{GreyView, Picture};
use underfoot::session::{Options, Session};

/// BlazePose-33: the same point on the other side.
fn other(i: usize) -> usize {
    match i {
        0 => 0,
        1..=3 => i + 3,
        4..=6 => i - 3,
        _ if i % 2 == 1 => i + 1,
        _ => i - 1,
    }
}

/// Heel lifts of the near foot over one repetition, and its heel in the last frame's picture.
fn lifts(flipped: bool, whole: bool) -> (Vec<f64>, DVec2) {
    let all: Value = serde_json::from_str(include_str!("../data/picture/clips.json")).unwrap();
    let about = all.as_array().unwrap().iter();
    let about = about
        .into_iter()
        .find(|c| c["name"] == "dev-side-heel-lift")
        .unwrap();
    let number = |v: &Value| v.as_f64().unwrap();
    let (w, h) = (
        number(&about["width"]) as usize,
        number(&about["height"]) as usize,
    );
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/picture/dev-side-heel-lift.y4m.gz"
    );
    let mut bytes = Vec::new();
    GzDecoder::new(std::fs::File::open(path).unwrap())
        .read_to_end(&mut bytes)
        .unwrap();
    let start = bytes.iter().position(|&b| b == b'\n').unwrap() + 1;
    let mut frames: Vec<Vec<u8>> = bytes[start..]
        .chunks_exact(6 + w * h)
        .map(|f| f[6..].to_vec())
        .collect();
    let image = ImageSize {
        width: number(&about["image"][0]),
        height: number(&about["image"][1]),
    };
    let mut setup = Setup::new(Layout::named("blazepose-33").unwrap(), image);
    setup.camera.mirrored = flipped;
    let mut corner = DVec2::new(number(&about["x"]), number(&about["y"]));
    let mut people: Vec<Vec<[f64; 3]>> = about["points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|person| {
            let point = |p: &Value| [number(&p[0]), number(&p[1]), number(&p[2])];
            person.as_array().unwrap().iter().map(point).collect()
        })
        .collect();
    if flipped {
        frames
            .iter_mut()
            .for_each(|f| f.chunks_exact_mut(w).for_each(<[u8]>::reverse));
        corner.x = image.width - corner.x - (w - 1) as f64;
        for person in &mut people {
            let old = person.clone();
            for (i, p) in old.iter().enumerate() {
                person[other(i)] = [image.width - p[0], p[1], p[2]];
            }
        }
    }
    let mut session = Session::new(setup, Options::default());
    let standing = number(&about["standing"]) as usize;
    let mut lifts = Vec::new();
    for i in 0..60 + frames.len() - standing {
        let frame = if i < 60 {
            i % standing
        } else {
            standing + i - 60
        };
        let view = GreyView::new(&frames[frame], w, h, w, corner, 1.0).unwrap();
        let picture = if whole {
            Picture::Whole(view)
        } else {
            Picture::Feet([Some(view), None])
        };
        let person = &people[i / 2 % people.len()];
        session
            .push_with(
                i as f64 * 100.0 / 3.0,
                std::slice::from_ref(person),
                Some(&picture),
            )
            .unwrap();
        if i >= 60
            && let Some(Ok(motion)) = session.feet().last(Side::Left)
        {
            lifts.extend(motion.heel_lift_mm.map(|e| e.value));
        }
    }
    let motion = session.feet().last(Side::Left).unwrap().unwrap();
    (lifts, motion.contacts_px[0].unwrap())
}

#[test]
fn a_flipped_picture_says_the_same() {
    let width = 540.0;
    for whole in [false, true] {
        let (plain, heel) = lifts(false, whole);
        let (flipped, there) = lifts(true, whole);
        let peak = |v: &[f64]| v.iter().copied().fold(0.0, f64::max);
        assert!(plain.len() > 15 && plain.len().abs_diff(flipped.len()) <= 2);
        assert!((peak(&plain) - 35.0).abs() < 5.0, "{plain:?}");
        assert!(
            (peak(&plain) - peak(&flipped)).abs() < 1.5,
            "{plain:?} {flipped:?}"
        );
        assert!(
            (there - DVec2::new(width - heel.x, heel.y)).length() < 2.0,
            "{heel} {there}"
        );
    }
}
