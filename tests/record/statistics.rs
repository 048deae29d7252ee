//! The statistics against published examples and reference libraries: Weir 2005 and Shrout &
//! Fleiss 1979 (their data and results), scipy 1.17.1 and pingouin 0.7.0 for what the papers
//! round. The numbers are in `tests/data/statistics.json`.

use serde_json::Value;
use underfoot::findings::{normal_cdf, trend};
use underfoot::measures::{Channel, Check};
use underfoot::record::{Basis, Outcome, SetSummary, between_day_sem, compare};
use underfoot::statistics::*;
use underfoot::thresholds::Thresholds;

fn data() -> Value {
    serde_json::from_str(include_str!("../data/statistics.json")).expect("valid JSON")
}

fn list(v: &Value) -> Vec<f64> {
    v.as_array()
        .expect("a list")
        .iter()
        .map(|x| x.as_f64().expect("a number"))
        .collect()
}

fn num(v: &Value) -> f64 {
    v.as_f64().expect("a number")
}

#[track_caller]
fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b}");
}

#[test]
fn weir_2005_sem_and_minimal_detectable_change() {
    let w = &data()["weir2005_set_A"];
    let (a, b) = (list(&w["trial1"]), list(&w["trial2"]));
    let pairs: Vec<(f64, f64)> = a.iter().copied().zip(b.iter().copied()).collect();
    let sem = sem_of_pairs(&pairs).expect("enough");
    near(sem, num(&w["SEM_sqrt_MSE"]), 1e-9);
    // The paper's own rounding, p. 236.
    near(sem, num(&w["paper_says_SEM"]), 0.05);
    near(mdc95(sem), num(&w["MDC95_exact_z"]), 1e-9);
    let rows: Vec<Vec<f64>> = pairs.iter().map(|p| vec![p.0, p.1]).collect();
    let icc = icc(&rows).expect("enough");
    near(icc.sem, sem, 1e-9);
    for (value, name) in [
        (icc.one[0], "ICC(1,1)"),
        (icc.one[1], "ICC(A,1)"),
        (icc.one[2], "ICC(C,1)"),
        (icc.mean[0], "ICC(1,k)"),
        (icc.mean[1], "ICC(A,k)"),
        (icc.mean[2], "ICC(C,k)"),
    ] {
        near(value, num(&w["pingouin_icc"][name]), 1e-9);
    }
}

#[test]
fn shrout_and_fleiss_1979_six_correlations() {
    let s = &data()["shrout_fleiss_1979"];
    let rows: Vec<Vec<f64>> = s["ratings"]
        .as_array()
        .expect("rows")
        .iter()
        .map(list)
        .collect();
    let icc = icc(&rows).expect("enough");
    let published = &s["published_2dp"];
    for (value, name) in icc
        .one
        .iter()
        .chain(&icc.mean)
        .zip(["ICC1", "ICC2", "ICC3", "ICC1k", "ICC2k", "ICC3k"])
    {
        near(*value, num(&published[name]), 0.005);
    }
    near(icc.one[1], num(&s["pingouin_icc"]["ICC(A,1)"]), 1e-9);
    near(icc.mean[2], num(&s["pingouin_icc"]["ICC(C,k)"]), 1e-9);
}

#[test]
fn welch_against_scipy() {
    let w = &data()["welch"];
    let found = welch(&list(&w["a"]), &list(&w["b"])).expect("enough");
    near(found.t, num(&w["t"]), 1e-9);
    near(found.df, num(&w["df"]), 1e-9);
    near(found.p, num(&w["p"]), 1e-9);
    let half = found.half_95().expect("df above 0");
    let ci = list(&w["ci95"]);
    near(found.difference - half, ci[0], 1e-7);
    near(found.difference + half, ci[1], 1e-7);
}

#[test]
fn distributions_against_scipy() {
    let d = data();
    for (df, q) in d["t_ppf_0975"].as_object().expect("a table") {
        let df: f64 = df.parse().expect("a number");
        near(t_quantile(0.975, df).expect("valid"), num(q), 1e-6);
        near(t_quantile(0.025, df).expect("valid"), -num(q), 1e-6);
    }
    for row in d["t_cdf"].as_array().expect("rows") {
        let cdf = t_cdf(num(&row["t"]), num(&row["df"])).expect("valid");
        near(cdf, num(&row["cdf"]), 1e-9);
    }
    for (p, z) in d["norm_ppf"].as_object().expect("a table") {
        near(normal_cdf(num(z)), p.parse().expect("a number"), 1e-9);
    }
    let described = &d["descriptive"];
    let values = list(&described["data"]);
    near(mean(&values).expect("some"), num(&described["mean"]), 1e-12);
    near(
        median(&values).expect("some"),
        num(&described["median"]),
        1e-12,
    );
    let sd = variance(&values).expect("some").sqrt();
    near(sd, num(&described["sd_ddof1"]), 1e-12);
}

/// Slope and standard error of scipy 1.17.1's `linregress` over 0 to 7.
#[test]
fn slope_and_its_error_against_scipy() {
    let d = data();
    for (values, slope, stderr) in [
        (
            &d["weir2005_set_A"]["trial1"],
            6.880952380952381,
            4.684237652864227,
        ),
        (
            &d["two_session"]["week0"],
            0.009523809523809532,
            0.11497395281607345,
        ),
        (&d["welch"]["a"], 0.07380952380952376, 0.09493503367989857),
    ] {
        let points: Vec<(f64, f64)> = list(values)
            .into_iter()
            .enumerate()
            .map(|(i, v)| (i as f64, v))
            .collect();
        let t = trend(&points, 10.0).expect("enough");
        near(t.per_rep, slope, 1e-9);
        near(t.sd, stderr, 1e-9);
        assert!(!t.growing, "none of these slopes is beyond doubt");
    }
}

#[test]
fn nonsense_gives_nothing() {
    assert!(t_quantile(0.0, 3.0).is_none());
    assert!(t_quantile(0.5, f64::NAN).is_none());
    assert!(t_quantile(f64::NAN, 3.0).is_none());
    assert!(t_cdf(f64::NAN, 3.0).is_none());
    assert!(t_cdf(1.0, -1.0).is_none());
    assert!(welch(&[1.0], &[1.0, 2.0]).is_none());
    assert!(welch(&[1.0, 1.0], &[1.0, 1.0]).is_none());
    assert!(welch(&[f64::NAN, 1.0], &[1.0, 1.0]).is_none());
    assert!(icc(&[]).is_none());
    assert!(icc(&[vec![1.0, 2.0], vec![1.0]]).is_none());
    assert!(icc(&[vec![1.0, 1.0], vec![1.0, 1.0]]).is_none());
    assert!(mean(&[]).is_none() && median(&[]).is_none() && variance(&[1.0]).is_none());
    near(t_cdf(f64::INFINITY, 3.0).expect("valid"), 1.0, 1e-12);
}

/// A share of the left foot is 50 plus half of the bilateral difference; the default load lines
/// are at 15 % of it.
#[test]
fn load_lines_are_fifteen_percent_of_bilateral_difference() {
    for row in data()["symmetry_index"].as_array().expect("rows") {
        let share = 50.0 - num(&row["bilateral_asymmetry_pct_of_total"]) / 2.0;
        near(share, 100.0 * (1.0 - num(&row["right_share"])), 1e-9);
    }
    let thresholds = Thresholds::default();
    let band = thresholds.of(Check::LoadLeft);
    assert_eq!((band.low, band.high), (Some(50.0 - 7.5), Some(50.0 + 7.5)));
}

fn set(day: i64, channel: Channel, values: &[f64]) -> SetSummary {
    let mut out = SetSummary {
        day: Some(day),
        azimuth_deg: Some(3.0),
        ..SetSummary::default()
    };
    out.values[channel.index()] = values.to_vec();
    out.sd[channel.index()] = 1.5;
    out
}

/// Two sessions whose difference would be real by the spread within each alone (0.62 degrees),
/// and is not by the published spread between days.
#[test]
fn one_day_each_is_judged_by_the_published_floor() {
    let d = &data()["two_session"];
    let (a, b) = (list(&d["week0"]), list(&d["week1"]));
    let within = num(&d["sem_of_session_mean"]);
    near(
        mdc95(within),
        num(&d["mdc95_of_difference_of_means_within_only"]),
        1e-4,
    );
    let channel = Channel::KneeInLeft;
    let changes = compare(
        &[set(0, channel, &a)],
        &[set(7, channel, &b)],
        &Thresholds::default(),
    );
    assert_eq!(changes.len(), 1, "only the channel that both show");
    let c = changes[0];
    near(c.difference, num(&d["difference"]), 1e-9);
    assert_eq!(c.basis, Basis::PublishedDays);
    assert_eq!(c.outcome, Outcome::NoRealChange);
    let floor = mdc95(between_day_sem(Check::KneeIn).0);
    assert!(c.mdc95 > floor && c.mdc95 < floor + 0.2, "{}", c.mdc95);
    assert!(!c.view_changed);
}

#[test]
fn own_days_take_the_place_of_the_floor() {
    let channel = Channel::KneeInLeft;
    let days = |from: i64, means: &[f64]| -> Vec<SetSummary> {
        means
            .iter()
            .zip(from..)
            .map(|(m, day)| set(day, channel, &[m - 0.5, *m, m + 0.5]))
            .collect()
    };
    let compare_days =
        |a: &[f64], b: &[f64]| compare(&days(0, a), &days(100, b), &Thresholds::default())[0];
    let steady = compare_days(&[9.0, 9.4, 8.8, 9.2], &[4.0, 4.3, 3.9, 4.1]);
    assert_eq!(steady.basis, Basis::OwnDays);
    assert_eq!(steady.outcome, Outcome::Better);
    let restless = compare_days(&[9.0, 3.0, 13.0, 11.0], &[4.0, 9.0, -1.0, 4.4]);
    assert_eq!(restless.outcome, Outcome::NoRealChange);
    assert!(restless.mdc95 > steady.mdc95);
    // A steady lifter's days make smaller changes visible than the published spread would.
    let one_day = compare_days(&[9.1], &[4.1]);
    assert_eq!(one_day.basis, Basis::PublishedDays);
    assert!(steady.mdc95 < one_day.mdc95);
    // Two sets on one day are one day.
    let same_day = [set(0, channel, &[9.0]), set(0, channel, &[9.4])];
    let c = compare(&same_day, &days(7, &[4.0]), &Thresholds::default())[0];
    assert_eq!(c.basis, Basis::PublishedDays);
}

#[test]
fn better_means_nearer_to_an_ordinary_squat() {
    let t = Thresholds::default();
    let judge = |channel: Channel, from: f64, to: f64| {
        let a = set(0, channel, &[from - 0.1, from, from + 0.1]);
        let b = set(7, channel, &[to - 0.1, to, to + 0.1]);
        compare(&[a], &[b], &t)[0].outcome
    };
    assert_eq!(judge(Channel::HeelLiftLeft, 40.0, 8.0), Outcome::Better);
    assert_eq!(judge(Channel::HeelLiftLeft, 8.0, 40.0), Outcome::Worse);
    assert_eq!(judge(Channel::KneeInRight, 15.0, -2.0), Outcome::Better);
    assert_eq!(judge(Channel::KneeInRight, -25.0, -6.0), Outcome::Better);
    assert_eq!(judge(Channel::KneeInRight, -6.0, -25.0), Outcome::Worse);
    assert_eq!(judge(Channel::LoadLeft, 62.0, 51.0), Outcome::Better);
    assert_eq!(judge(Channel::LoadLeft, 50.0, 51.0), Outcome::NoRealChange);
}

#[test]
fn sets_from_another_view_are_not_compared() {
    let channel = Channel::KneeInLeft;
    let a = set(0, channel, &[10.0, 10.2, 9.8]);
    let b = set(7, channel, &[1.0, 1.2, 0.8]);
    let turned = SetSummary {
        azimuth_deg: Some(-170.0),
        ..b.clone()
    };
    let t = Thresholds::default();
    let same = compare(std::slice::from_ref(&a), &[b], &t)[0];
    let other = compare(&[a], &[turned], &t)[0];
    assert!(other.view_changed && !same.view_changed);
    assert_eq!(other.outcome, Outcome::NoRealChange);
    assert_eq!(
        other.sentence(),
        "Left knee: not compared, because the camera was moved."
    );
    assert!(
        same.sentence().starts_with("Left knee: better, by 9°"),
        "{}",
        same.sentence()
    );
}

/// A change inside either set's own error is none: 1.96 times 6 is 11.8.
#[test]
fn a_change_inside_a_sets_own_error_is_none() {
    let channel = Channel::KneeInLeft;
    let a = set(0, channel, &[1.0, 1.2, 0.8]);
    let mut b = set(7, channel, &[10.6, 10.4, 10.5]);
    let judge = |b: &SetSummary| {
        use std::slice::from_ref;
        compare(from_ref(&a), from_ref(b), &Thresholds::default())[0]
    };
    assert_eq!(judge(&b).outcome, Outcome::Worse);
    b.sd[channel.index()] = 6.0;
    let change = judge(&b);
    assert_eq!(change.outcome, Outcome::NoRealChange);
    assert!((change.mdc95 - 11.76).abs() < 0.01, "{}", change.mdc95);
}
