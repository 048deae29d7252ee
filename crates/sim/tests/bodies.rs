//! The simulated body keeps its bones' lengths, and the truth says what was asked for.

use underfoot::keypoints::{Joint, Part, Side};
use underfoot_sim::film::{Film, Filming};
use underfoot_sim::rng::Draw;
use underfoot_sim::{Camera, Fault, Kind, Lifter, SetSpec, View};

fn film(seed: u64, faults: Vec<Fault>) -> (underfoot_sim::Scene, Film) {
    let mut draw = Draw::new(seed);
    let lifter = Lifter::random(&mut draw);
    let camera = Camera::random(&mut draw, View::Any);
    let scene = SetSpec::with(faults).scene(lifter, &mut draw);
    let filming = Filming::standard(camera, "halpe-26").unwrap();
    let film = Film::new(&scene, &filming, &mut draw);
    (scene, film)
}

#[test]
fn bones_keep_their_lengths() {
    for seed in 0..40 {
        let faults = vec![
            Fault::steady(Kind::KneeIn([10.0, -8.0])),
            Fault::steady(Kind::HeelLift([0.0, 30.0])),
            Fault::steady(Kind::Shift(40.0)),
        ];
        let (scene, _) = film(seed, faults);
        let l = &scene.lifter;
        let mut t = 0.0;
        while t < scene.script.seconds() {
            let body = scene.at(t).body;
            for side in Side::BOTH {
                let at = |part| body.at(Joint::of(part, side));
                for (part, a, b, length) in [
                    ("shank", Part::Ankle, Part::Knee, l.shank),
                    ("thigh", Part::Knee, Part::Hip, l.thigh),
                    ("upper arm", Part::Shoulder, Part::Elbow, l.upper_arm),
                    ("forearm", Part::Elbow, Part::Wrist, l.forearm),
                ] {
                    let d = at(a).distance(at(b)) - length;
                    assert!(
                        d.abs() < 2e-3,
                        "seed {seed} t {t:.2} {part} off by {d:.4} m"
                    );
                }
            }
            t += 0.1;
        }
    }
}

#[test]
fn truth_is_what_was_asked_for() {
    let (mut heel, mut roll, mut knee) = (0, 0, 0);
    for seed in 0..30 {
        let clean = film(seed, vec![]).1.truth;
        let with = |kind| film(seed, vec![Fault::steady(kind)]).1.truth;
        let value = |t: &underfoot_sim::Truth, c: usize| t.reps[1].extremes[c].unwrap().value;
        let more = |kind, c| value(&with(kind), c) - value(&clean, c);
        heel += usize::from((more(Kind::HeelLift([30.0, 0.0]), 0) - 30.0).abs() < 2.0);
        roll += usize::from((more(Kind::Roll([0.0, -10.0]), 5) + 10.0).abs() < 0.5);
        knee += usize::from(more(Kind::KneeIn([14.0, 0.0]), 2) > 9.0);
        // A shift of the pelvis to the left loads the left foot.
        assert!(value(&with(Kind::Shift(40.0)), 7) > 53.0);
        let f = value(&with(Kind::Forward(15.0)), 6);
        assert!(f > 8.0, "seed {seed} forward {f}");
    }
    assert!(
        heel >= 28 && roll == 30 && knee >= 27,
        "{heel} {roll} {knee}"
    );
}

#[test]
#[ignore = "prints the spread of clean squats"]
fn clean_squats_look_like_squats() {
    for seed in 0..12 {
        let (scene, film) = film(seed, vec![]);
        let t = &film.truth;
        let r = &t.reps[1];
        let body = scene.at(r.bottom_ms / 1e3).body;
        let (sh, hip) = (body.at(Joint::LeftShoulder), body.at(Joint::LeftHip));
        let lean = (sh.z - hip.z).atan2(sh.y - hip.y).to_degrees();
        let shank = body.at(Joint::LeftKnee) - body.at(Joint::LeftAnkle);
        let thigh = body.at(Joint::LeftHip) - body.at(Joint::LeftKnee);
        println!(
            "H {:.2} {:?} depth {:.2} trunk lean {lean:.0} shank lean {:.0} thigh above horizontal {:.0} | {}",
            scene.lifter.height,
            scene.lifter.carry,
            r.depth,
            shank.z.atan2(shank.y).to_degrees(),
            (thigh.y / thigh.length()).asin().to_degrees(),
            r.extremes
                .iter()
                .map(|e| format!("{:6.1}", e.unwrap().value))
                .collect::<Vec<_>>()
                .join(" ")
        );
    }
}
