//! Real squats: UI-PRMD joint centres through a virtual camera.
//!
//! A. Vakanski, H.-P. Jun, D. Paul, R. Baker, Data 3(1):2, 2018, movement m01; PDDL 1.0. See
//! `tests/data/ui-prmd`.

use crate::anthropometry::BALL;
use crate::body::Body;
use crate::film::{Film, Filming, see, truth_points};
use crate::lifter::Lifter;
use crate::rng::Draw;
use crate::truth::{Curves, Points, RepTruth, Rest, Truth};
use crate::upper;
use glam::DVec3;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use underfoot::keypoints::{Joint, Part, RawFrame, Recording, Side};

/// Frames a second in the files.
const RATE: usize = 50;

/// One set as it is in the file.
#[derive(Clone, Debug)]
pub struct Squats {
    /// For example `s01 correct`.
    pub name: String,
    /// Joint centres at 50 Hz; what was not measured is not a number.
    pub frames: Vec<Body>,
    /// First and last frame of each repetition, as its authors cut them.
    pub reps: Vec<[usize; 2]>,
}

/// Where the files are in the project.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/ui-prmd")
}

/// All sets, in order of name; read once.
///
/// # Errors
/// The file that could not be read and why.
pub fn all() -> Result<&'static [Squats], String> {
    static SETS: OnceLock<Result<Vec<Squats>, String>> = OnceLock::new();
    match SETS.get_or_init(read_all) {
        Ok(sets) => Ok(sets),
        Err(e) => Err(e.clone()),
    }
}

fn read_all() -> Result<Vec<Squats>, String> {
    let mut sets = Vec::new();
    for person in 1..=5 {
        for kind in ["correct", "incorrect"] {
            sets.push(load(person, kind)?);
        }
    }
    Ok(sets)
}

fn load(person: usize, kind: &str) -> Result<Squats, String> {
    let path = folder().join(format!("squat_s{person:02}_{kind}.csv.gz"));
    let fail = |e: &dyn std::fmt::Display| format!("{}: {e}", path.display());
    let file = std::fs::File::open(&path).map_err(|e| fail(&e))?;
    let mut text = String::new();
    flate2::read::GzDecoder::new(file)
        .read_to_string(&mut text)
        .map_err(|e| fail(&e))?;
    let mut lines = text.lines();
    let spans = lines.next().and_then(|l| l.rsplit(':').next());
    let reps = spans
        .unwrap_or_default()
        .split_whitespace()
        .map(|pair| {
            let (a, b) = pair.split_once('-')?;
            Some([a.parse().ok()?, b.parse().ok()?])
        })
        .collect::<Option<Vec<[usize; 2]>>>()
        .ok_or_else(|| fail(&"repetitions not readable"))?;
    let rows = lines.skip(1).map(|line| {
        line.split(',')
            .map(|v| v.parse::<f64>().unwrap_or(f64::NAN) / 1e3)
            .collect::<Vec<f64>>()
    });
    let mut frames: Vec<Body> = rows.filter(|r| r.len() >= 51).map(|r| body(&r)).collect();
    let reps = begin_upright(&mut frames, reps);
    toe_tips(&mut frames);
    for frame in &mut frames {
        frame.com = centre_of_mass(frame);
    }
    Ok(Squats {
        name: format!("s{person:02} {kind}"),
        frames,
        reps,
    })
}

/// Cuts off what comes before the first repetition that begins upright, with the hips within a twentieth
/// of their greatest height: the recording of s02 correct begins in the middle of a descent, knees bent by
/// 59 degrees, and nothing in it is standing before the second repetition.
fn begin_upright(frames: &mut Vec<Body>, reps: Vec<[usize; 2]>) -> Vec<[usize; 2]> {
    let hips = |f: &Body| (f.at(Joint::LeftHip).y + f.at(Joint::RightHip).y) / 2.0;
    let tallest = frames.iter().map(hips).fold(0.0, f64::max);
    let upright =
        |&[from, _]: &[usize; 2]| frames.get(from).is_some_and(|f| hips(f) > 0.95 * tallest);
    let first = reps.iter().position(upright).unwrap_or(0);
    let cut = reps.get(first).map_or(0, |r| r[0]);
    frames.drain(..cut);
    reps[first..].iter().map(|r| r.map(|i| i - cut)).collect()
}

/// Columns: nose, then shoulders, elbows, wrists, hips, knees, ankles, heels, toes, left first.
fn body(row: &[f64]) -> Body {
    let at = |i: usize| DVec3::new(row[3 * i], row[3 * i + 1], row[3 * i + 2]);
    let mut body = Body {
        joints: [DVec3::NAN; Joint::COUNT],
        roll: [f64::NAN; 2],
        ..Body::blank()
    };
    body.joints[Joint::Nose.index()] = at(0);
    let parts = [
        Part::Shoulder,
        Part::Elbow,
        Part::Wrist,
        Part::Hip,
        Part::Knee,
        Part::Ankle,
        Part::Heel,
        Part::BigToe,
    ];
    for (i, part) in parts.into_iter().enumerate() {
        for side in 0..2 {
            body.set(part, side, at(1 + 2 * i + side));
        }
    }
    body
}

/// The toe marker is over the second metatarsal head, about 0.74 of foot length: the tip is
/// further along the floor by 0.26/0.74 of the standing length.
fn toe_tips(frames: &mut [Body]) {
    let Some(first) = frames.first().copied() else {
        return;
    };
    for (s, side) in Side::BOTH.into_iter().enumerate() {
        let (heel, toe) = (Joint::of(Part::Heel, side), Joint::of(Part::BigToe, side));
        let foot = first.at(toe) - first.at(heel);
        let on = DVec3::new(foot.x, 0.0, foot.z) * ((1.0 - BALL) / BALL);
        for frame in frames.iter_mut() {
            frame.tip[s] = frame.at(toe) + on;
        }
    }
}

/// de Leva's table; the head's centre is put at the nose's height, a tenth of a metre behind it.
fn centre_of_mass(body: &Body) -> DVec3 {
    let mut with_head = *body;
    let ears = body.at(Joint::Nose) - DVec3::Z * 0.10;
    with_head.joints[Joint::LeftEar.index()] = ears;
    with_head.joints[Joint::RightEar.index()] = ears;
    let mut lifter = Lifter::random(&mut Draw::new(0));
    (lifter.hand, lifter.bar_kg) = (0.08, 0.0);
    upper::centre_of_mass(&lifter, &with_head, DVec3::ZERO)
}

impl Squats {
    /// Stature from the nose's height over the heels; the nose at 0.92 of stature is common
    /// practice, no source.
    pub fn height(&self) -> f64 {
        self.frames.first().map_or(1.7, |f| {
            (f.at(Joint::Nose).y - f.at(Joint::LeftHeel).y + 0.02) / 0.92
        })
    }

    /// Only repetition `i`.
    pub fn one(&self, i: usize) -> Self {
        let [a, b] = self.reps[i];
        let b = b.min(self.frames.len() - 1);
        Self {
            name: format!("{} rep {}", self.name, i + 1),
            frames: self.frames[a..=b].to_vec(),
            reps: vec![[0, b - a]],
        }
    }

    /// Films it at 25 frames a second. The first pose is held for `hold` seconds before (the
    /// data hold no quiet standing) and the last for one second after.
    pub fn film(&self, filming: &Filming, hold: f64, draw: &mut Draw) -> Film {
        let before = (hold * RATE as f64).round() as usize;
        let body = |i: usize| {
            let i = i.saturating_sub(before).min(self.frames.len() - 1);
            &self.frames[i]
        };
        let count = before + self.frames.len() + RATE;
        let shank = self.frames[0]
            .at(Joint::LeftKnee)
            .distance(self.frames[0].at(Joint::LeftAnkle));
        let mut errors = filming.errors(shank, draw);
        let ms = |i: usize| i as f64 * 1e3 / RATE as f64;
        let mut setup = filming.setup();
        setup.estimator = Some("optical-markers".into());
        setup.lifter.height_m = filming.known_height.then(|| self.height());
        let frames = (0..count)
            .step_by(2)
            .map(|i| RawFrame {
                t_ms: ms(i),
                people: vec![see(body(i), filming, &mut errors, ms(i) / 1e3, draw)],
                ..RawFrame::default()
            })
            .collect();
        Film {
            recording: Recording { setup, frames },
            truth: self.truth(filming, before, count),
            traits: vec![
                self.name
                    .split(" rep")
                    .next()
                    .unwrap_or_default()
                    .to_string(),
            ],
        }
    }

    fn truth(&self, filming: &Filming, before: usize, count: usize) -> Truth {
        let ms = |i: usize| i as f64 * 1e3 / RATE as f64;
        let points: Vec<Points> = self.frames.iter().map(truth_points).collect();
        let rest = Rest::new(&points[..1]).unwrap_or_else(|| unreachable!("sets have frames"));
        let reps = self.reps.iter().map(|&[a, b]| {
            let moments: Vec<(f64, Points)> = (a..=b.min(points.len() - 1))
                .map(|i| (ms(i + before), points[i]))
                .collect();
            let low = moments
                .iter()
                .min_by(|p, q| p.1.pelvis.y.total_cmp(&q.1.pelvis.y));
            let bottom = low.map_or(0.0, |m| m.0);
            // Between repetitions these lifters set their feet up to 60 mm elsewhere.
            let rest = moments.first().map_or(rest, |m| rest.with_feet_of(&m.1));
            RepTruth::new(&rest, &moments, [bottom; 2])
        });
        let mut curves = Curves::default();
        for i in (0..count).step_by(2) {
            let p = &points[i.saturating_sub(before).min(points.len() - 1)];
            curves.t_ms.push(ms(i));
            for (list, v) in curves.channels.iter_mut().zip(rest.read(p)) {
                list.push(v);
            }
            curves.depth.push((rest.pelvis - p.pelvis.y) / rest.pelvis);
        }
        Truth {
            source: format!("UI-PRMD m01 {}", self.name),
            azimuth_deg: filming.camera.azimuth - rest.facing,
            distance_m: filming.camera.distance,
            height_m: None,
            hfov_deg: filming.camera.hfov(),
            pitch_roll_deg: [filming.camera.pitch, filming.camera.roll],
            stance_width_mm: 1e3 * rest.stance,
            toe_out_deg: rest.toe_out,
            standing_ms: vec![[0.0, ms(before)]],
            reps: reps.collect(),
            curves,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// README of the data: shank's apparent length varies by 20 to 40 mm; facts of the same data:
    /// correct squats' pelvis drop 0.535 (SD 0.080), heel marker up 7.0 (3.5) mm.
    #[test]
    fn the_sets_are_what_their_description_says() {
        let sets = all().unwrap();
        assert_eq!(sets.len(), 10);
        let mut filming = crate::film::Filming::standard(
            crate::Camera::random(&mut Draw::new(1), crate::View::Front),
            "blazepose-33",
        )
        .unwrap();
        filming.noise = crate::Noise::NONE;
        let (mut depth, mut heel, mut n) = (0.0, 0.0, 0.0);
        for set in sets.iter().filter(|s| s.name.ends_with(" correct")) {
            assert!((9..=11).contains(&set.reps.len()), "{}", set.name);
            assert!((1.45..1.95).contains(&set.height()), "{}", set.height());
            for i in 0..set.reps.len() {
                let film = set.one(i).film(&filming, 2.0, &mut Draw::new(2));
                let rep = &film.truth.reps[0];
                depth += rep.depth;
                heel += rep.extremes[0].unwrap().value;
                n += 1.0;
            }
        }
        // The published fraction is of the pelvic markers' height, some 0.1 m above the hip joints.
        let (share, of_markers): (f64, f64) = (depth / n, 0.82 / 0.95);
        assert!((share * of_markers - 0.535).abs() < 0.05, "{share}");
        assert!((heel / n - 7.0f64).abs() < 3.5, "{}", heel / n);
    }
}
