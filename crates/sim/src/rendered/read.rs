//! Reads a rendered clip: NAME.truth.json.gz, NAME.pose.json.gz and, where its pictures are wanted, NAME.webm.

use crate::film::Film;
use crate::truth::{ABSOLUTE, CHANNELS, Curves, RepTruth, Truth, extreme};
use flate2::read::GzDecoder;
use glam::DVec3;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};
use underfoot::keypoints::{Footwear, ImageSize, Layout, RawFrame, Recording, Setup};

/// Name by which the core knows the estimator that was run on the clips.
pub const ESTIMATOR: &str = "mediapipe-pose";
/// Before this time the lifter stands still in every clip, s.
const STILL_S: f64 = 1.2;

#[derive(Deserialize)]
struct Camera {
    width: f64,
    height: f64,
    fx: f64,
}

#[derive(Deserialize)]
struct Foot {
    heel_mm: f64,
    knee_dev_deg: f64,
    foot_roll_deg: f64,
}

#[derive(Deserialize)]
struct Frame {
    t: f64,
    xyz: Vec<[f64; 3]>,
    px: Vec<[f64; 2]>,
    com: [f64; 3],
    left: Foot,
    right: Foot,
}

impl Frame {
    fn foot(&self, side: usize) -> &Foot {
        [&self.left, &self.right][side]
    }
}

#[derive(Deserialize)]
struct Rep {
    start: f64,
    bottom: f64,
    bottom_end: f64,
    end: f64,
}

#[derive(Deserialize)]
struct SpecCamera {
    azimuth_deg: f64,
    distance_m: f64,
    pitch_deg: f64,
    roll_deg: f64,
}

#[derive(Deserialize)]
struct Spec {
    camera: SpecCamera,
    view: String,
}

#[derive(Deserialize)]
struct TruthFile {
    spec: Spec,
    camera: Camera,
    body_height_m: f64,
    shank_m: f64,
    shoes: bool,
    points: Vec<String>,
    reps: Vec<Rep>,
    frames: Vec<Frame>,
}

#[derive(Deserialize)]
struct PoseFrame {
    t: f64,
    lm: Option<Vec<[f64; 4]>>,
}

#[derive(Deserialize)]
struct PoseFile {
    frames: Vec<PoseFrame>,
}

/// A rendered clip with what is true about it.
#[derive(Clone, Debug)]
pub struct Clip {
    /// File name without its ending.
    pub name: String,
    /// `front`, `oblique`, `side`, `rear-oblique` or `rear`; with `close-` for feet and shins.
    pub view: String,
    /// The recording and its truth.
    pub film: Film,
    /// Lean of each shank inside the foot's line in standing, degrees.
    pub knee_standing_deg: [f64; 2],
    /// True places of named points in the picture, px, by frame of the truth.
    pub px: Vec<Vec<[f64; 2]>>,
    /// Their names.
    pub points: Vec<String>,
    /// Length of the shank, m, and focal length, px.
    pub shank_m: f64,
    /// Focal length, px.
    pub focal_px: f64,
    /// The clip itself.
    pub video: PathBuf,
}

fn unpack<T: DeserializeOwned>(path: &Path) -> Result<T, String> {
    let fail = |e: &dyn std::fmt::Display| format!("{}: {e}", path.display());
    let file = std::fs::File::open(path).map_err(|e| fail(&e))?;
    let reader = std::io::BufReader::new(GzDecoder::new(file));
    serde_json::from_reader(reader).map_err(|e| fail(&e))
}

/// Names of the clips in a folder that have truth and an estimator's points, in order.
///
/// # Errors
/// A folder that can't be read.
pub fn names(folder: &Path) -> Result<Vec<String>, String> {
    let list = std::fs::read_dir(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let mut names: Vec<String> = list
        .filter_map(|entry| {
            let name = entry.ok()?.file_name().into_string().ok()?;
            let name = name.strip_suffix(".pose.json.gz")?;
            let truth = folder.join(format!("{name}.truth.json.gz"));
            truth.is_file().then(|| name.to_string())
        })
        .collect();
    names.sort();
    Ok(names)
}

/// A clip by name.
///
/// # Errors
/// The file that could not be read and why.
pub fn load(folder: &Path, name: &str) -> Result<Clip, String> {
    let file: TruthFile = unpack(&folder.join(format!("{name}.truth.json.gz")))?;
    let pose: PoseFile = unpack(&folder.join(format!("{name}.pose.json.gz")))?;
    let layout = Layout::named("blazepose-33").ok_or("no such layout")?;
    let image = ImageSize {
        width: file.camera.width,
        height: file.camera.height,
    };
    let mut setup = Setup::new(layout, image);
    setup.estimator = Some(ESTIMATOR.into());
    setup.lifter.height_m = Some(file.body_height_m);
    setup.footwear = Some(if file.shoes {
        Footwear::Flat
    } else {
        Footwear::Barefoot
    });
    let frames = pose.frames.into_iter().map(|f| RawFrame {
        t_ms: f.t * 1e3,
        people: f
            .lm
            .map(|lm| lm.iter().map(|q| [q[0], q[1], q[3]]).collect())
            .into_iter()
            .collect(),
        ..RawFrame::default()
    });
    let recording = Recording {
        setup,
        frames: frames.collect(),
    };
    let (truth, knee_standing_deg) = truth(name, &file)?;
    Ok(Clip {
        name: name.into(),
        film: Film {
            recording,
            truth,
            traits: vec![file.spec.view.clone()],
        },
        view: file.spec.view,
        knee_standing_deg,
        px: file.frames.into_iter().map(|f| f.px).collect(),
        points: file.points,
        shank_m: file.shank_m,
        focal_px: file.camera.fx,
        video: folder.join(format!("{name}.webm")),
    })
}

fn truth(name: &str, file: &TruthFile) -> Result<(Truth, [f64; 2]), String> {
    let index = |point: &str| {
        let at = file.points.iter().position(|p| p == point);
        at.ok_or_else(|| format!("{name}: no point `{point}`"))
    };
    let still: Vec<&Frame> = file.frames.iter().filter(|f| f.t < STILL_S).collect();
    if still.is_empty() {
        return Err(format!("{name}: no frame of standing"));
    }
    let n = still.len() as f64;
    let mean = |i: usize| {
        still
            .iter()
            .map(|f| DVec3::from_array(f.xyz[i]))
            .sum::<DVec3>()
            / n
    };
    let both = |part: &str| -> Result<[DVec3; 2], String> {
        Ok([
            mean(index(&format!("left_{part}"))?),
            mean(index(&format!("right_{part}"))?),
        ])
    };
    let flat = |v: DVec3| DVec3::new(v.x, 0.0, v.z);
    let heels = both("heel")?.map(flat);
    let tips = both(if file.shoes { "shoe_tip" } else { "big_toe" })?.map(flat);
    let ankles = both("ankle")?.map(flat);
    let feet = [tips[0] - heels[0], tips[1] - heels[1]];
    let length = 0.5 * (feet[0].length() + feet[1].length());
    let ahead = (feet[0].normalize_or_zero() + feet[1].normalize_or_zero()).normalize_or_zero();
    let supports = [heels[0] + feet[0] * 0.4, heels[1] + feet[1] * 0.4];
    let line = supports[0] - supports[1];
    let hips = [index("left_hip")?, index("right_hip")?];
    let curve = |f: &dyn Fn(&Frame) -> f64| file.frames.iter().map(f).collect::<Vec<f64>>();
    let com = |f: &Frame| DVec3::from_array(f.com);
    let mut channels: [Vec<f64>; CHANNELS] = [
        curve(&|f| f.foot(0).heel_mm),
        curve(&|f| f.foot(1).heel_mm),
        curve(&|f| f.foot(0).knee_dev_deg),
        curve(&|f| f.foot(1).knee_dev_deg),
        curve(&|f| f.foot(0).foot_roll_deg),
        curve(&|f| f.foot(1).foot_roll_deg),
        curve(&|f| 100.0 * com(f).dot(ahead) / length),
        curve(&|f| 100.0 * (com(f) - supports[1]).dot(line) / line.length_squared()),
    ];
    let pelvis = curve(&|f| 0.5 * (f.xyz[hips[0]][1] + f.xyz[hips[1]][1]));
    let t_ms = curve(&|f| f.t * 1e3);
    let standing = |list: &[f64]| list[..still.len()].iter().sum::<f64>() / n;
    let knee_standing = [standing(&channels[2]), standing(&channels[3])];
    for (i, list) in channels.iter_mut().enumerate() {
        if !ABSOLUTE.contains(&i) {
            let rest = standing(list);
            list.iter_mut().for_each(|v| *v -= rest);
        }
    }
    let stood = standing(&pelvis);
    let reps = file.reps.iter().map(|r| {
        let ms = [r.start, r.bottom, r.bottom_end, r.end].map(|s| s * 1e3);
        let within: Vec<usize> = (0..t_ms.len())
            .filter(|&i| (ms[0]..=ms[3]).contains(&t_ms[i]))
            .collect();
        let low = within.iter().map(|&i| pelvis[i]);
        let deepest = stood - low.clone().fold(f64::INFINITY, f64::min);
        let of = |c: usize| {
            let seen = within.iter().map(|&i| {
                let depth = (stood - pelvis[i]) / deepest.max(1e-9);
                (t_ms[i], channels[c][i], depth)
            });
            extreme(c, seen)
        };
        RepTruth {
            start_ms: ms[0],
            bottom_ms: ms[1],
            bottom_end_ms: ms[2],
            end_ms: ms[3],
            depth: 1.0 - low.fold(f64::INFINITY, f64::min) / stood,
            extremes: std::array::from_fn(of),
            moving_ms: [ms[0], ms[3]],
        }
    });
    let toe_out = [feet[0], -feet[1]].map(|f| (f.x / f.length()).asin().to_degrees());
    let camera = &file.spec.camera;
    let truth = Truth {
        source: format!("rendered clip {name}"),
        azimuth_deg: camera.azimuth_deg,
        distance_m: camera.distance_m,
        height_m: Some(file.body_height_m),
        hfov_deg: 2.0
            * (file.camera.width / 2.0 / file.camera.fx)
                .atan()
                .to_degrees(),
        pitch_roll_deg: [camera.pitch_deg, camera.roll_deg],
        stance_width_mm: 1e3 * ankles[0].distance(ankles[1]),
        toe_out_deg: toe_out,
        standing_ms: vec![[0.0, 1e3 * STILL_S]],
        reps: reps.collect(),
        curves: Curves {
            t_ms,
            depth: pelvis.iter().map(|y| 1.0 - y / stood).collect(),
            channels: channels.map(|list| list.into_iter().map(Some).collect()),
        },
    };
    Ok((truth, knee_standing))
}
