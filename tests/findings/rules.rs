//! Rules of findings, cues, notes and thresholds beside the table of situations.

use crate::sets::{Seen, Set};
use underfoot::measures::Channel::{self, *};
use underfoot::measures::Estimate;
use underfoot::report::{FindingKind, Unseen};
use underfoot::thresholds::{Lines, Thresholds};

#[test]
fn names_the_repetitions_onset_and_growth() {
    let grows = Set::side(6)
        .each(HeelLiftLeft, &[4.0, 7.0, 10.0, 13.0, 17.0, 20.0])
        .conclude();
    assert_eq!(grows.finding.reps, [5, 6]);
    assert_eq!(grows.finding.onset, Some(0.7));
    let trend = grows.finding.trend.expect("six repetitions");
    assert!(
        trend.growing && (trend.per_rep - 3.2).abs() < 0.1,
        "{trend:?}"
    );
    assert_eq!(
        grows.finding.sentence,
        "The left heel comes up on 2 of 6 repetitions, from half-way down. It gets worse through the set."
    );
    let steady = Set::side(6)
        .each(HeelLiftLeft, &[30.0, 28.0, 31.0, 29.0, 30.5, 29.5])
        .conclude();
    assert!(!steady.finding.trend.expect("six repetitions").growing);
}

#[test]
fn agreement_raises_and_disagreement_lowers_confidence() {
    let feet = Set::front(5)
        .all(FootRollLeft, -13.0)
        .all(FootRollRight, 12.0);
    let of = |load: f64| feet.clone().all(LoadLeft, load).conclude();
    let unseen = feet.clone().unseen(&[LoadLeft], Unseen::Missing).conclude();
    let (agree, disagree) = (of(64.0), of(37.0));
    assert!(agree.finding.confidence > unseen.finding.confidence);
    assert!(disagree.finding.confidence < unseen.finding.confidence);
    assert_eq!(
        agree.cue.why[1],
        "Load share and feet point to the same side, so that foot is cued first."
    );
    assert_eq!(
        disagree.cue.why[1],
        "The load share says right, the feet say left: the load share is followed."
    );
}

#[test]
fn pain_comes_before_any_cue() {
    let mut set = Set::front(5).all(KneeInLeft, 14.0);
    set.about.hurts = true;
    let c = set.conclude();
    assert_eq!((c.cue.id, c.cue.side), ("stop", None));
    assert!(c.cue.text.contains("licensed clinician"));
    assert!(c.cue.cautions[0].contains("stop, and see a licensed clinician"));
    assert_eq!(
        c.finding.kind,
        FindingKind::Inward,
        "what was seen is still told"
    );
    assert!(c.cue.film_next.is_none() && c.cue.look_again_days == 0);
    set.about.hurts = false;
    assert_eq!(set.conclude().cue.cautions.len(), 3);
}

#[test]
fn a_resting_shape_is_no_fault() {
    let mut set = Set::front(5);
    set.resting.foot_roll_deg[0] = Some(Estimate {
        value: 12.0,
        sd: 2.0,
    });
    let c = set.conclude();
    assert_eq!(c.finding.kind, FindingKind::None);
    assert_eq!(
        c.finding.resting_shape,
        [
            "At rest the left foot already stands rolled inward, by 12 ± 2°.",
            "The squat does not change it: a resting shape, not a fault.",
            "If it hurts or is new, have a licensed clinician look at it.",
        ]
    );
    // What the squat adds is one.
    let added = Set { ..set.clone() }.all(FootRollLeft, 13.0).conclude();
    assert_eq!(added.finding.kind, FindingKind::Inward);
    assert_eq!(
        added.finding.resting_shape[1],
        "The squat adds to it; only what it adds is counted."
    );
    // An uncertain one is not mentioned.
    set.resting.foot_roll_deg[0] = Some(Estimate {
        value: 12.0,
        sd: 6.0,
    });
    assert!(set.conclude().finding.resting_shape.is_empty());
}

#[test]
fn a_shallow_set_is_not_called_good() {
    let mut set = Set::oblique(4);
    set.shallow = 3;
    let c = set.conclude();
    assert!(c.finding.sentence.contains("shallow"));
    assert!(
        c.cue
            .film_next
            .expect("a deeper set")
            .contains("usual depth")
    );
    assert!(
        c.notes
            .iter()
            .any(|n| n.text == "Shallow: 3 of 4 repetitions. Deeper ones may show more.")
    );
    assert!(c.finding.confidence < Set::oblique(4).conclude().finding.confidence);
}

#[test]
fn notes_say_what_could_not_be_judged_and_why() {
    let c = Set::side(5)
        .unseen(&[HeelLiftRight], Unseen::Missing)
        .conclude();
    let notes: Vec<&str> = c.notes.iter().map(|n| n.text.as_str()).collect();
    assert!(
        notes.contains(&"Can't be judged from this side: knees, foot roll and load share."),
        "{notes:?}"
    );
    assert!(
        notes.contains(&"Hidden or out of the picture: right heel."),
        "{notes:?}"
    );
    let slip = Set::front(10).on(KneeInLeft, &[4], 11.0).conclude();
    let notes: Vec<&str> = slip.notes.iter().map(|n| n.text.as_str()).collect();
    assert!(
        notes
            .contains(&"A fault on 1 of 10 repetitions only, too little for a finding: left knee."),
        "{notes:?}"
    );
}

#[test]
fn a_coach_can_change_the_lines() {
    let set = Set::front(5).all(KneeInLeft, 3.0);
    assert_eq!(set.conclude().finding.kind, FindingKind::None);
    let mut strict = set.clone();
    strict.thresholds = Thresholds::default()
        .with(
            "knee_in_deg",
            Lines {
                low: None,
                high: Some(0.0),
            },
        )
        .expect("valid");
    assert_eq!(strict.conclude().finding.kind, FindingKind::Inward);
    let results = strict.results();
    assert!(results[0].checks.get(KneeInLeft).threshold_changed);
    assert!(!results[0].checks.get(HeelLiftLeft).threshold_changed);
    assert!(
        strict
            .conclude()
            .notes
            .iter()
            .any(|n| n.text == "Limits set by the coach: knees.")
    );
    // The low line stays.
    assert_eq!(strict.thresholds.band(KneeInLeft).low, Some(-8.0));
}

#[test]
fn wrong_lines_are_refused_by_name() {
    let refuse = |check: &str, low: Option<f64>, high: Option<f64>| {
        let e = Thresholds::default()
            .with(check, Lines { low, high })
            .expect_err("must be refused");
        assert_eq!(e.code().as_str(), "bad-option");
        e.to_string()
    };
    assert!(refuse("knee", None, Some(1.0)).starts_with("thresholds.knee: is no check"));
    assert_eq!(
        refuse("knee_in_deg", None, Some(f64::NAN)),
        "thresholds.knee_in_deg.high: not a finite number"
    );
    assert_eq!(
        refuse("heel_lift_mm", None, Some(900.0)),
        "thresholds.heel_lift_mm.high: must lie between -20 and 200"
    );
    assert_eq!(
        refuse("knee_in_deg", Some(9.0), None),
        "thresholds.knee_in_deg: low (9) must be below high (8)"
    );
}

/// Values that are no numbers, absurd ones and impossible errors give a conclusion, not a panic.
#[test]
fn nothing_panics_on_absurd_values() {
    let odd = [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e300,
        0.0,
    ];
    for value in odd {
        for sd in odd {
            let mut set = Set::front(3);
            for channel in Channel::ALL {
                set.channels[channel.index()] = Seen::Values(vec![value; 3], sd);
            }
            set.onset = value;
            set.about.azimuth_deg = Some(value);
            set.resting.knee_in_deg = [Some(Estimate { value, sd }); 2];
            let c = set.conclude();
            assert!((0.0..=1.0).contains(&c.finding.confidence));
            assert!(!c.cue.text.is_empty());
        }
    }
}
