//! Close-ups into which a lifter bends: hips, shoulders and head come into the picture of feet and shins toward the
//! bottom, and are no more of it than before. Invented sets, whose repetitions and instants are known.

use underfoot::keypoints::{Joint, Recording};
use underfoot_sim::film::Filming;
use underfoot_sim::rng::Draw;
use underfoot_sim::sets::repetitions;
use underfoot_sim::{Camera, Fault, Film, Kind, Lifter, SetSpec, View};

/// The balance point goes so far toward the toes, % of the foot: the trunk leans far.
const FORWARD: f64 = 30.0;
/// Instants are off by no more than this, the mean of a set, ms. 43 to 168 were measured on these sets; read as
/// whole bodies, 430 to 820.
const OFF_MS: f64 = 250.0;

/// The share of frames in which one of these joints is seen (a score of 0.3 or more, the contract's).
fn share(recording: &Recording, joints: &[Joint]) -> f64 {
    let layout = &recording.setup.layout;
    let at: Vec<usize> = joints.iter().filter_map(|&j| layout.index_of(j)).collect();
    let seen = recording.frames.iter().filter(|f| {
        let mut points = f.people.iter().flat_map(|p| at.iter().map(|&i| p[i]));
        points.any(|p| p[2] >= 0.3)
    });
    seen.count() as f64 / recording.frames.len() as f64
}

fn film(view: View, seed: u64) -> Film {
    let mut draw = Draw::new(seed);
    let lifter = Lifter::random(&mut draw);
    let camera = Camera::random(&mut draw, view).close_up(&mut draw, lifter.height);
    let mut filming = Filming::standard(camera, "halpe-26").unwrap();
    // As in the simulator's other sets of feet and shins.
    filming.crop_above = Some(0.40 * lifter.height);
    let spec = SetSpec::with(vec![Fault::steady(Kind::Forward(FORWARD))]).random_tempo(&mut draw);
    let scene = spec.scene(lifter, &mut draw);
    Film::new(&scene, &filming, &mut draw)
}

#[test]
fn a_close_up_stays_one_when_the_lifter_bends_into_it() {
    let (mut bent, mut wrong) = (0, vec![]);
    for (v, view) in View::NAMED.into_iter().enumerate() {
        for i in 0..24 {
            let Film {
                recording, truth, ..
            } = film(view, 7000 + 100 * v as u64 + i);
            let shoulders = share(&recording, &[Joint::LeftShoulder, Joint::RightShoulder]);
            let top = shoulders.max(share(&recording, &Joint::ALL[..5]));
            let hips = share(&recording, &[Joint::LeftHip, Joint::RightHip]);
            if top < 0.2 {
                continue;
            }
            bent += 1;
            assert!(top < hips && hips < 0.5, "at the bottom only");
            let reps = repetitions(&recording);
            let off = reps.iter().zip(&truth.reps).map(|(is, was)| {
                (is.start_ms - was.start_ms).abs()
                    + (is.bottom_ms - was.bottom_ms).abs()
                    + (is.end_ms - was.end_ms).abs()
            });
            let off_ms = off.sum::<f64>() / (3.0 * reps.len() as f64);
            if reps.len() != truth.reps.len() || off_ms > OFF_MS {
                wrong.push((view.name(), i, top, reps.len(), off_ms));
            }
        }
    }
    println!("{bent} sets");
    assert!(bent >= 8, "{bent} sets are enough to see");
    assert!(wrong.is_empty(), "{wrong:#?}");
}
