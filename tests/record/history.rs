//! Thresholds and earlier reports read back from what hosts keep, and written for them.

use crate::sets::Set;
use crate::tree::Tree;
use serde_json::{Value, json};
use underfoot::measures::Channel;
use underfoot::record::{SetSummary, compare, read_history};
use underfoot::thresholds::{self, Thresholds};

/// A report of this set as a host keeps it.
fn report(set: &Set, azimuth_deg: f64) -> Value {
    json!({ "schema": 1, "view": { "azimuth_deg": azimuth_deg }, "reps": set.results() })
}

#[test]
fn reports_come_back_as_they_went() {
    let before = Set::front(5).all(Channel::KneeInLeft, 18.0);
    let after = Set::front(5).all(Channel::KneeInLeft, -4.0);
    let kept = json!([report(&before, 2.0), report(&after, 5.0)]);
    let sets = read_history(&Tree(&kept)).expect("two reports");
    let direct = SetSummary::of_reps(&before.results(), sets[0].day, Some(2.0));
    assert_eq!(sets[0], direct);
    let changes = compare(&sets[..1], &sets[1..], &Thresholds::default());
    let written = serde_json::to_value(&changes).expect("plain");
    let knee = written
        .as_array()
        .and_then(|l| {
            l.iter()
                .find(|c| c["check"] == "knee_in_deg" && c["side"] == "left")
        })
        .expect("the left knee");
    assert_eq!(knee["outcome"], "better");
    assert_eq!(knee["basis"], "published-days");
    assert_eq!(knee["difference"], -22.0);
    assert_eq!(
        knee["sentence"],
        "Left knee: better, by 22°. Up to 8.3° could be chance."
    );
    // Everything else stayed.
    let others = changes.iter().filter(|c| c.channel != Channel::KneeInLeft);
    assert!(others.clone().count() >= 5);
    for c in others {
        assert!(c.difference.abs() <= c.mdc95, "{c:?}");
    }
}

#[test]
fn damaged_histories_are_refused_by_field() {
    let one = report(&Set::front(1), 0.0);
    let refuse = |v: Value| {
        read_history(&Tree(&v))
            .expect_err("must be refused")
            .to_string()
    };
    assert_eq!(refuse(json!({})), "reports: must be a list");
    assert_eq!(
        refuse(json!([one])),
        "reports: a comparison needs at least two"
    );
    assert_eq!(refuse(json!([one, 3])), "reports[1]: must be an object");
    assert_eq!(refuse(json!([one, {}])), "reports[1].schema: must be 1");
    assert_eq!(
        refuse(json!([one, { "schema": 1 }])),
        "reports[1].reps: missing"
    );
    assert_eq!(
        refuse(json!([one, { "schema": 1, "day": 1.5, "reps": [] }])),
        "reports[1].day: must be a whole number of days"
    );
    // What a report lacks counts as unseen.
    let sparse = json!([one, { "schema": 1, "reps": [{}, null, 4, { "knee_in_deg": { "left": { "value": "x" } } }] }]);
    let sets = read_history(&Tree(&sparse)).expect("readable");
    assert!(compare(&sets[..1], &sets[1..], &Thresholds::default()).is_empty());
}

#[test]
fn default_lines_go_out_and_come_back() {
    let out = serde_json::to_value(Thresholds::default()).expect("plain");
    assert_eq!(out["heel_lift_mm"]["high"], 13.0);
    assert_eq!(out["heel_lift_mm"]["low"], Value::Null);
    assert_eq!(out["foot_roll_deg"]["changed"], false);
    for check in [
        "heel_lift_mm",
        "knee_in_deg",
        "foot_roll_deg",
        "forward_pct",
        "load_left_pct",
    ] {
        assert!(
            out[check]["source"].as_str().is_some_and(|s| s.len() > 20),
            "{check}"
        );
    }
    assert_eq!(
        thresholds::read(&Tree(&out)).expect("valid"),
        Thresholds::default()
    );
    let changed =
        thresholds::read(&Tree(&json!({ "load_left_pct": { "low": 45 } }))).expect("valid");
    let out = serde_json::to_value(&changed).expect("plain");
    assert_eq!(out["load_left_pct"]["low"], 45.0);
    assert_eq!(out["load_left_pct"]["high"], 57.5);
    assert_eq!(out["load_left_pct"]["changed"], true);
    for (tree, message) in [
        (json!([]), "thresholds: must be an object"),
        (
            json!({ "knee_in_deg": 4 }),
            "thresholds.knee_in_deg: must be an object with `low` and `high`",
        ),
        (
            json!({ "knee_in_deg": { "low": "a" } }),
            "thresholds.knee_in_deg.low: must be a number",
        ),
    ] {
        let e = thresholds::read(&Tree(&tree)).expect_err("must be refused");
        assert_eq!(e.to_string(), message);
    }
}

/// Lines that a coach moved decide which way is better, and that they moved is said.
#[test]
fn moved_lines_are_said_and_followed() {
    let low = thresholds::read(&Tree(
        &json!({ "knee_in_deg": { "low": -30, "high": -16 } }),
    ))
    .expect("valid lines");
    let before = Set::front(5).all(Channel::KneeInLeft, -8.0);
    let after = Set::front(5).all(Channel::KneeInLeft, -22.0);
    let mut last = report(&after, 2.0);
    last["thresholds"] = serde_json::to_value(&low).expect("plain");
    let kept = json!([report(&before, 2.0), last]);
    let sets = read_history(&Tree(&kept)).expect("two reports");
    assert_eq!(
        (&sets[0].lines, &sets[1].lines),
        (&None, &Some(low.clone()))
    );
    let knee = |lines: &Thresholds| {
        let changes = compare(&sets[..1], &sets[1..], lines);
        let knee = changes.iter().find(|c| c.channel == Channel::KneeInLeft);
        *knee.expect("the left knee")
    };
    use underfoot::record::Outcome;
    assert_eq!(knee(&low).outcome, Outcome::Better);
    assert_eq!(knee(&Thresholds::default()).outcome, Outcome::Worse);
    assert!(knee(&low).lines_changed);
    let said = knee(&low).basis_sentence();
    assert!(
        said.contains("A limit was changed between these sets"),
        "{said}"
    );
    let heel = compare(&sets[..1], &sets[1..], &low);
    let heel = heel.iter().find(|c| c.channel == Channel::HeelLiftLeft);
    assert!(!heel.expect("the left heel").lines_changed);
    let odd = json!([kept[0], { "schema": 1, "reps": [], "thresholds": { "knee": {} } }]);
    let refused = read_history(&Tree(&odd)).expect_err("no such check");
    assert!(
        refused
            .to_string()
            .starts_with("reports[1].thresholds.knee: is no check")
    );
}

/// Sets without a day may all be of one: they do not stand for days of the lifter's own.
#[test]
fn sets_without_a_day_count_as_one_day() {
    use underfoot::record::Basis;
    let of = |value: f64, day: Option<i64>| {
        let mut one = report(&Set::front(5).all(Channel::KneeInLeft, value), 2.0);
        if let Some(day) = day {
            one["day"] = json!(day);
        }
        one
    };
    let knee = |days: [Option<i64>; 4]| {
        let list: Vec<Value> = [9.0, 9.2, 8.9, 4.0]
            .iter()
            .zip(days)
            .map(|(v, d)| of(*v, d))
            .collect();
        let sets = read_history(&Tree(&json!(list))).expect("four reports");
        let changes = compare(&sets[..3], &sets[3..], &Thresholds::default());
        *changes
            .iter()
            .find(|c| c.channel == Channel::KneeInLeft)
            .expect("the left knee")
    };
    let dated = knee([1, 8, 15, 22].map(Some));
    let undated = knee([None; 4]);
    assert_eq!((dated.basis, dated.undated), (Basis::OwnDays, false));
    assert_eq!(
        (undated.basis, undated.undated),
        (Basis::PublishedDays, true)
    );
    assert!(undated.mdc95 > dated.mdc95);
    assert!(
        undated
            .basis_sentence()
            .ends_with("Sets without a day count as one day.")
    );
}
