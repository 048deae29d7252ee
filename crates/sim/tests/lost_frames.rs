//! Frames in which nobody was found, or the feet were hardly seen, cost nothing but their instants:
//! recordings with them give the report that the same recordings give with those frames left out.
//!
//! Against: rendered clips with a real estimator's output (tests/data/clips), real squats through a
//! virtual camera (UI-PRMD, A. Vakanski et al., Data 3(1):2, 2018), and invented sets.

use underfoot::keypoints::{Joint, Part, Recording, Side};
use underfoot::report::Report;
use underfoot::{Options, Session, analyze};
use underfoot_sim::film::Filming;
use underfoot_sim::rng::Draw;
use underfoot_sim::{Camera, Film, Lifter, SetSpec, View, clips, prmd};

fn recordings() -> Vec<(String, Recording)> {
    let mut all = Vec::new();
    for name in clips::NAMES {
        all.push((name.into(), clips::load(name, false).unwrap().recording));
    }
    for (k, set) in prmd::all().unwrap().iter().enumerate().step_by(3) {
        let mut draw = Draw::new(40 + k as u64);
        let view = View::NAMED[k % View::NAMED.len()];
        let camera = Camera::random(&mut draw, view);
        let filming = Filming::standard(camera, "blazepose-33").unwrap();
        let film = set.film(&filming, 2.0, &mut draw);
        all.push((format!("{} {}", set.name, view.name()), film.recording));
    }
    for (k, fps) in [12.0, 24.0, 30.0, 60.0].into_iter().enumerate() {
        let mut draw = Draw::new(60 + k as u64);
        let view = View::NAMED[k];
        let camera = Camera::random(&mut draw, view);
        let mut filming = Filming::standard(camera, "halpe-26").unwrap();
        filming.timing.fps = fps;
        let scene = SetSpec::default().scene(Lifter::random(&mut draw), &mut draw);
        let film = Film::new(&scene, &filming, &mut draw);
        all.push((format!("invented at {fps}"), film.recording));
    }
    all
}

fn pushed(recording: &Recording) -> Report {
    let mut session = Session::new(recording.setup.clone(), Options::default());
    for frame in &recording.frames {
        session.push(frame.t_ms, &frame.people).unwrap();
    }
    session.report()
}

fn analyzed(recording: &Recording) -> Report {
    analyze(recording, &Options::default()).unwrap()
}

/// Root mean square and largest of the differences between two reports' values, in standard errors;
/// panics where they differ otherwise.
fn apart(name: &str, a: &Report, b: &Report) -> (f64, f64) {
    let [a, b] = [a, b].map(|r| serde_json::to_value(r).unwrap());
    assert!(!a["standing"].is_null(), "{name}: standing lost");
    let [left, right] = [&a, &b].map(|r| r["reps"].as_array().unwrap());
    assert_eq!(left.len(), right.len(), "{name}: repetitions");
    let mut all = Vec::new();
    for (p, q) in left.iter().zip(right) {
        for check in ["heel_lift_mm", "knee_in_deg", "foot_roll_deg"] {
            for side in ["left", "right"] {
                all.extend(between(&p[check][side], &q[check][side]));
            }
        }
        for check in ["forward_pct", "load_left_pct"] {
            all.extend(between(&p[check], &q[check]));
        }
    }
    let squares: f64 = all.iter().map(|d| d * d).sum();
    let rms = (squares / all.len().max(1) as f64).sqrt();
    (rms, all.into_iter().fold(0.0, f64::max))
}

fn between(p: &serde_json::Value, q: &serde_json::Value) -> Option<f64> {
    let number = |v: &serde_json::Value, key: &str| v[key].as_f64();
    let off = number(p, "value")? - number(q, "value")?;
    Some(off.abs() / number(q, "sd")?.max(1e-9))
}

/// One frame in twenty shows nobody.
#[test]
fn frames_with_nobody_are_the_same_as_frames_left_out() {
    for (name, whole) in recordings() {
        let mut draw = Draw::new(5);
        let lost: Vec<bool> = whole.frames.iter().map(|_| draw.chance(0.05)).collect();
        let (mut empty, mut without) = (whole.clone(), whole.clone());
        for (frame, &lost) in empty.frames.iter_mut().zip(&lost) {
            if lost {
                frame.people.clear();
            }
        }
        let mut kept = lost.iter().map(|l| !l);
        without.frames.retain(|_| kept.next().unwrap_or(true));
        for report in [analyzed, pushed] {
            let (empty, without) = (report(&empty), report(&without));
            let (_, most) = apart(&name, &empty, &without);
            assert!(most < 0.1, "{name}: {most} standard errors apart");
            assert_eq!(empty.finding.kind, without.finding.kind, "{name}");
        }
    }
}

/// The feet, or the feet and knees, are hardly seen in one frame of ten.
#[test]
fn feet_scored_low_now_and_then_keep_standing() {
    let feet = [Part::Ankle, Part::Heel, Part::BigToe, Part::SmallToe];
    for (name, whole) in recordings() {
        for parts in [&feet[..], &[&feet[..], &[Part::Knee]].concat()] {
            let mut draw = Draw::new(6);
            let mut dim = whole.clone();
            let joints = parts
                .iter()
                .flat_map(|&p| Side::BOTH.map(|s| Joint::of(p, s)));
            let layout = &whole.setup.layout;
            let points: Vec<usize> = joints.filter_map(|j| layout.index_of(j)).collect();
            for frame in &mut dim.frames {
                if draw.chance(0.1) {
                    for person in &mut frame.people {
                        points.iter().for_each(|&i| person[i][2] = 0.1);
                    }
                }
            }
            let (dim, whole) = (analyzed(&dim), analyzed(&whole));
            // A tenth of what was seen is missing: values differ by part of their own error.
            let (rms, most) = apart(&name, &dim, &whole);
            println!("{name}: {rms:.2}, at most {most:.2} standard errors apart");
            assert!(
                rms < 0.5 && most < 3.0,
                "{name}: {rms} and {most} standard errors apart"
            );
        }
    }
}
