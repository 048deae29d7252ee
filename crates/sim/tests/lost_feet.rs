//! Feet out of sight for half of a set, or all of it: the hips still show the repetitions. They are counted,
//! nothing of them is judged or praised, and a note says for how long the feet were lost.
//!
//! Against: rendered clips with a real estimator's output (tests/data/clips), real squats through a
//! virtual camera (UI-PRMD, A. Vakanski et al., Data 3(1):2, 2018), and invented sets.

use underfoot::keypoints::{Joint, Part, Recording, Side};
use underfoot::report::{FindingKind, Report, Verdict};
use underfoot::{Options, analyze};
use underfoot_sim::clips;
use underfoot_sim::others::table::{real, squats};

const FEET: [Part; 4] = [Part::Ankle, Part::Heel, Part::BigToe, Part::SmallToe];

fn recordings() -> Vec<(String, Recording)> {
    let mut all = real(1, 21).unwrap();
    all.extend(squats(2, 31));
    for name in clips::NAMES {
        all.push((name.into(), clips::load(name, false).unwrap().recording));
    }
    all
}

/// The same with the feet scored at nothing from a time on.
fn unfooted(whole: &Recording, from_ms: f64) -> Recording {
    let mut out = whole.clone();
    let joints = FEET
        .iter()
        .flat_map(|&p| Side::BOTH.map(|s| Joint::of(p, s)));
    let points: Vec<usize> = joints
        .filter_map(|j| whole.setup.layout.index_of(j))
        .collect();
    for frame in out.frames.iter_mut().filter(|f| f.t_ms >= from_ms) {
        for person in &mut frame.people {
            points.iter().for_each(|&i| person[i][2] = 0.0);
        }
    }
    out
}

fn report(recording: &Recording) -> Report {
    analyze(recording, &Options::default()).unwrap()
}

#[test]
fn repetitions_whose_feet_were_lost_are_counted_and_not_judged() {
    let (mut all, mut counted, mut notes) = (0, 0, 0);
    for (name, whole) in recordings() {
        let full = report(&whole);
        // Between two repetitions, in the middle of the set.
        let half = full.reps.len() / 2;
        if half == 0 || full.finding.kind == FindingKind::NotSquats {
            continue;
        }
        let from_ms = full.reps[half].start_ms - 100.0;
        let lost = report(&unfooted(&whole, from_ms));
        all += full.reps.len();
        counted += lost.reps.len().min(full.reps.len());
        assert!(lost.reps.len() <= full.reps.len(), "{name}: too many");
        for rep in lost.reps.iter().filter(|r| r.start_ms > from_ms) {
            for mark in &rep.checks.0 {
                assert_eq!(mark.verdict, Verdict::Unseen, "{name}: {mark:?}");
            }
        }
        assert_ne!(lost.finding.kind, FindingKind::None, "{name}: praised");
        let note = lost.notes.iter().find(|n| n.code == "out-of-sight");
        if let Some(note) = note {
            notes += 1;
            let seconds: f64 = note.text.split(' ').find_map(|w| w.parse().ok()).unwrap();
            let rest: f64 = full.reps[half..]
                .iter()
                .map(|r| (r.end_ms - r.start_ms) / 1e3)
                .sum();
            assert!(
                (0.5..1.6).contains(&(seconds / rest)),
                "{name}: {seconds} s of {rest}"
            );
        } else {
            println!(
                "{name}: no note, {} of {}",
                lost.reps.len(),
                full.reps.len()
            );
        }
    }
    println!("{counted} of {all} repetitions, {notes} notes");
    assert!(counted * 20 >= all * 19, "{counted} of {all}");
    assert!(notes >= 20, "{notes}");
}

/// Feet that are never seen: nothing is judged, and nothing is praised.
#[test]
fn feet_never_seen_are_never_judged() {
    for (name, whole) in recordings() {
        let lost = report(&unfooted(&whole, f64::NEG_INFINITY));
        assert_ne!(lost.finding.kind, FindingKind::None, "{name}");
        for mark in lost.reps.iter().flat_map(|r| &r.checks.0) {
            assert_eq!(mark.verdict, Verdict::Unseen, "{name}: {mark:?}");
        }
    }
}
