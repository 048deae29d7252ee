//! Rendered clips: a real estimator's output with exact truth. See `tests/data/clips`.

use crate::film::Film;
use crate::truth::{ABSOLUTE, CHANNELS, Curves, RepTruth, Truth, extreme};
use flate2::read::GzDecoder;
use glam::DVec3;
use serde::Deserialize;
use serde_json::Value;
use std::path::{Path, PathBuf};
use underfoot::keypoints::{Footwear, ImageSize, Layout, RawFrame, Recording, Setup};

/// The clips' names.
pub const NAMES: [&str; 6] = [
    "dev-front-clean",
    "dev-front-knees-in",
    "dev-front-rolled-out",
    "dev-front-shift",
    "dev-side-clean",
    "dev-side-heel-lift",
];

/// Where the files are in the project.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/clips")
}

#[derive(Deserialize)]
struct FootCurves {
    heel_mm: Vec<f64>,
    knee_dev_deg: Vec<f64>,
    foot_roll_deg: Vec<f64>,
}

#[derive(Deserialize)]
struct Rep {
    start_ms: f64,
    bottom_ms: f64,
    bottom_end_ms: f64,
    end_ms: f64,
}

#[derive(Deserialize)]
struct Standing {
    ms: [f64; 2],
    left_heel: [f64; 3],
    right_heel: [f64; 3],
    left_ankle: [f64; 3],
    right_ankle: [f64; 3],
    left_tip: [f64; 3],
    right_tip: [f64; 3],
}

#[derive(Deserialize)]
struct File {
    azimuth_deg: f64,
    distance_m: f64,
    height_m: f64,
    focal_px: f64,
    pitch_deg: f64,
    roll_deg: f64,
    standing: Standing,
    reps: Vec<Rep>,
    t_ms: Vec<f64>,
    com_m: Vec<[f64; 3]>,
    pelvis_y_m: Vec<f64>,
    left: FootCurves,
    right: FootCurves,
}

fn unpack<T: serde::de::DeserializeOwned>(path: &Path) -> Result<T, String> {
    let fail = |e: &dyn std::fmt::Display| format!("{}: {e}", path.display());
    let file = std::fs::File::open(path).map_err(|e| fail(&e))?;
    serde_json::from_reader(GzDecoder::new(file)).map_err(|e| fail(&e))
}

/// A clip by name.
///
/// # Errors
/// The file that could not be read and why.
pub fn load(name: &str, known_height: bool) -> Result<Film, String> {
    let pose: Value = unpack(&folder().join(format!("{name}.pose.json.gz")))?;
    let file: File = unpack(&folder().join(format!("{name}.truth.json.gz")))?;
    let mut recording = recording(&pose).ok_or(format!("{name}: not a recording"))?;
    recording.setup.lifter.height_m = known_height.then_some(file.height_m);
    let width = recording.setup.image.width;
    Ok(Film {
        recording,
        truth: truth(name, &file, width),
        traits: vec![name.to_string()],
    })
}

/// Every rendered clip of a folder, as its renderer and a pose estimator wrote it: `NAME.pose.json.gz` with
/// `frames[].lm`, 33 of x px, y px, depth and visibility, and `NAME.truth.json.gz` with the picture's size.
///
/// # Errors
/// The file that could not be read and why.
pub fn in_folder(folder: &Path) -> Result<Vec<(String, Recording)>, String> {
    let fail = |e: &dyn std::fmt::Display| format!("{}: {e}", folder.display());
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .map_err(|e| fail(&e))?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|file| file.strip_suffix(".pose.json.gz").map(str::to_owned))
        .collect();
    names.sort();
    let mut out = Vec::new();
    for name in names {
        let pose: Value = unpack(&folder.join(format!("{name}.pose.json.gz")))?;
        let truth: Value = unpack(&folder.join(format!("{name}.truth.json.gz")))?;
        let landmarks = landmarks(&pose, &truth["camera"]);
        out.push((
            name.clone(),
            landmarks.ok_or(format!("{name}: not landmarks"))?,
        ));
    }
    Ok(out)
}

fn landmarks(pose: &Value, camera: &Value) -> Option<Recording> {
    let image = ImageSize {
        width: camera["width"].as_f64()?,
        height: camera["height"].as_f64()?,
    };
    let mut setup = Setup::new(Layout::named("blazepose-33")?, image);
    setup.estimator = Some("mediapipe-pose".into());
    let point = |p: &Value| Some([p[0].as_f64()?, p[1].as_f64()?, p[3].as_f64()?]);
    let frame = |f: &Value| {
        let person = f["lm"].as_array();
        let person = person.and_then(|p| p.iter().map(point).collect::<Option<Vec<_>>>());
        Some(RawFrame {
            t_ms: f["t"].as_f64()? * 1e3,
            people: person.into_iter().collect(),
            ..RawFrame::default()
        })
    };
    let frames = pose["frames"]
        .as_array()?
        .iter()
        .map(frame)
        .collect::<Option<_>>()?;
    Some(Recording { setup, frames })
}

fn recording(root: &Value) -> Option<Recording> {
    let layout = Layout::named(root["layout"].as_str()?)?;
    let image = ImageSize {
        width: root["image"]["width"].as_f64()?,
        height: root["image"]["height"].as_f64()?,
    };
    let mut setup = Setup::new(layout, image);
    setup.estimator = root["estimator"].as_str().map(Into::into);
    setup.footwear = match root["footwear"].as_str() {
        Some("barefoot") => Some(Footwear::Barefoot),
        Some("flat") => Some(Footwear::Flat),
        _ => None,
    };
    let frame = |f: &Value| {
        let person = |p: &Value| -> Option<Vec<[f64; 3]>> {
            p.as_array()?
                .iter()
                .map(|q| Some([q[0].as_f64()?, q[1].as_f64()?, q[2].as_f64()?]))
                .collect()
        };
        Some(RawFrame {
            t_ms: f["t_ms"].as_f64()?,
            people: person(&f["points"]).into_iter().collect(),
            ..RawFrame::default()
        })
    };
    let frames: Option<Vec<RawFrame>> = root["frames"].as_array()?.iter().map(frame).collect();
    Some(Recording {
        setup,
        frames: frames?,
    })
}

fn truth(name: &str, file: &File, width: f64) -> Truth {
    let s = &file.standing;
    let flat = |p: [f64; 3]| DVec3::new(p[0], 0.0, p[2]);
    let heels = [s.left_heel, s.right_heel].map(flat);
    let tips = [s.left_tip, s.right_tip].map(flat);
    let ankles = [s.left_ankle, s.right_ankle].map(flat);
    let feet = [tips[0] - heels[0], tips[1] - heels[1]];
    let length = 0.5 * (feet[0].length() + feet[1].length());
    let ahead = (feet[0].normalize() + feet[1].normalize()).normalize();
    let supports = [heels[0] + feet[0] * 0.4, heels[1] + feet[1] * 0.4];
    let line = supports[0] - supports[1];
    let com: Vec<DVec3> = file.com_m.iter().map(|&p| DVec3::from_array(p)).collect();
    let mut channels: [Vec<f64>; CHANNELS] = [
        file.left.heel_mm.clone(),
        file.right.heel_mm.clone(),
        file.left.knee_dev_deg.clone(),
        file.right.knee_dev_deg.clone(),
        file.left.foot_roll_deg.clone(),
        file.right.foot_roll_deg.clone(),
        com.iter().map(|c| 100.0 * c.dot(ahead) / length).collect(),
        com.iter()
            .map(|c| 100.0 * (*c - supports[1]).dot(line) / line.length_squared())
            .collect(),
    ];
    let standing = |list: &[f64]| {
        let values: Vec<f64> = list
            .iter()
            .zip(&file.t_ms)
            .filter(|(_, t)| (s.ms[0]..=s.ms[1]).contains(*t))
            .map(|(v, _)| *v)
            .collect();
        values.iter().sum::<f64>() / values.len().max(1) as f64
    };
    for (i, list) in channels.iter_mut().enumerate() {
        if !ABSOLUTE.contains(&i) {
            let rest = standing(list);
            list.iter_mut().for_each(|v| *v -= rest);
        }
    }
    let pelvis = standing(&file.pelvis_y_m);
    let reps = file.reps.iter().map(|r| {
        let within: Vec<usize> = (0..file.t_ms.len())
            .filter(|&i| (r.start_ms..=r.end_ms).contains(&file.t_ms[i]))
            .collect();
        let low = within.iter().map(|&i| file.pelvis_y_m[i]);
        let deepest = pelvis - low.clone().fold(f64::INFINITY, f64::min);
        let of = |c: usize| {
            let seen = within.iter().map(|&i| {
                let depth = (pelvis - file.pelvis_y_m[i]) / deepest.max(1e-9);
                (file.t_ms[i], channels[c][i], depth)
            });
            extreme(c, seen)
        };
        RepTruth {
            start_ms: r.start_ms,
            bottom_ms: r.bottom_ms,
            bottom_end_ms: r.bottom_end_ms,
            end_ms: r.end_ms,
            depth: 1.0 - low.fold(f64::INFINITY, f64::min) / pelvis,
            extremes: std::array::from_fn(of),
            moving_ms: [r.start_ms, r.end_ms],
        }
    });
    let toe_out = [feet[0], -feet[1]].map(|f| (f.x / f.length()).asin().to_degrees());
    Truth {
        source: format!("rendered clip {name}"),
        azimuth_deg: file.azimuth_deg,
        distance_m: file.distance_m,
        height_m: Some(file.height_m),
        hfov_deg: 2.0 * (width / 2.0 / file.focal_px).atan().to_degrees(),
        pitch_roll_deg: [file.pitch_deg, file.roll_deg],
        stance_width_mm: 1e3 * ankles[0].distance(ankles[1]),
        toe_out_deg: toe_out,
        standing_ms: vec![s.ms],
        reps: reps.collect(),
        curves: Curves {
            t_ms: file.t_ms.clone(),
            channels: channels.map(|list| list.into_iter().map(Some).collect()),
            depth: file.pelvis_y_m.iter().map(|y| 1.0 - y / pelvis).collect(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clips_carry_the_faults_they_are_named_for() {
        let peak = |name: &str, c: usize| {
            load(name, true).unwrap().truth.reps[2].extremes[c]
                .unwrap()
                .value
        };
        assert!(peak("dev-front-knees-in", 2) > 4.0);
        assert!(peak("dev-front-rolled-out", 4) < -10.0);
        assert!(peak("dev-side-heel-lift", 0) > 35.0);
        assert!(peak("dev-side-clean", 0) < 10.0);
        for name in NAMES {
            let film = load(name, true).unwrap();
            assert!(film.recording.frames.len() > 400);
            assert_eq!(film.truth.reps.len(), 3);
        }
    }
}
