//! Classifier: log-odds that a candidate is a repetition.
//!
//! Shifting about goes to and fro, in any direction, and there is more of it on either side; a squat leaves
//! standing in one direction and comes back. One lifter's repetitions take about the same time whatever
//! their depth, and so do their ways down and up; shifting about takes other times.

use super::candidates::Candidate;
use super::trajectory::KneeTrajectory;
use crate::gather::Gather;
use crate::statistics::weighted_median;

/// A candidate of less than this share of the deepest is none.
/// tuned: `reps`
const LEAST: f64 = 0.24;
/// ... and of this share where repetitions go different ways: how high, quick and quiet they are says
/// less of such candidates, by this part (tried on 2170 candidates, the other weights kept).
/// tuned: on 2170 candidates of `reps`
const VARIED: (f64, f64) = (0.13, 0.35);
/// Log-odds of a candidate of [`REFERENCE_HEIGHT`], seen at its best. The weights come from a logistic regression
/// over 8100 candidates of simulated sets, and are a tenth of its.
/// tuned: logistic regression over 8100 candidates of `reps`, November 2026; a tenth of its weights
const BIAS: f64 = 1.22;
/// ... less so much for each e-fold of height that it is smaller;
/// tuned: logistic regression over 8100 candidates of `reps`, November 2026; a tenth of its weights
const HEIGHT: f64 = 0.43;
const REFERENCE_HEIGHT: f64 = 0.8;
/// ... against it for going the other way from standing nearby, in heights, but no farther than this:
/// beyond, standing is misjudged, or a joint leapt;
/// tuned: logistic regression over 8100 candidates of `reps`, November 2026; a tenth of its weights
const BACKWARD: (f64, f64) = (1.06, 0.5);
/// ... but for what may be other repetitions, of at least this part of its height;
/// tuned: `reps`
const ANOTHER: f64 = 0.6;
/// ... and for local noise beside it, in heights: on the quieter side; and smaller candidates nearby,
/// of less than this part of its own height;
/// tuned: logistic regression over 8100 candidates of `reps`, November 2026; a tenth of its weights
const LOCAL_NOISE: (f64, f64) = (0.23, 1.0);
const SMALLER: (f64, f64) = (0.39, 0.9);
/// ... once more for what of it is more than this and no other repetition: talking has more of its kind
/// around it, and one of many repetitions has repetitions;
/// tuned: `reps`
const CLUTTER: (f64, f64) = (0.4, 0.6);
/// ... and for each e-fold of time that it is shorter than the usual, and that its ways are shorter
/// or longer than theirs, up to a limit;
/// tuned: logistic regression over 8100 candidates of `reps`, November 2026; a tenth of its weights
const SHORT: (f64, f64) = (0.55, 1.5);
const PHASES: (f64, f64) = (0.27, 1.5);
/// Nearby is within so much time of it, and of its peak; beside it, of its feet, ms.
/// tuned: `reps`
const NEARBY_MS: f64 = 3000.0;
const PEAKS_MS: f64 = 4000.0;
const BESIDE_MS: f64 = 1500.0;
/// A way is timed between these shares of the height, and taken to last at least so long, ms.
/// tuned: `reps`
const PHASE: [f64; 2] = [0.25, 0.8];
const SHORTEST_MS: f64 = 30.0;

/// A candidate, with its log-odds.
pub(super) type Scored = (Candidate, f64);

/// Features of a candidate beside its height.
struct Features {
    /// How far the knees go back beyond standing, nearby.
    back: f64,
    /// Local noise: range of the signal beside it, on the quieter side, in heights.
    local_noise: f64,
    /// How long it lasts, and its ways, ms.
    times: [f64; 3],
}

/// The candidates that may be repetitions with the log-odds of each: one is more likely a repetition
/// than not from 0 on.
pub(super) fn scored(trajectory: &KneeTrajectory, all: &[Candidate]) -> Vec<Scored> {
    let features = all.iter().map(|h| features(trajectory, all, h)).gather();
    let (least, part) = if trajectory.off_axis_weight > 0.0 {
        VARIED
    } else {
        (LEAST, 1.0)
    };
    let usual = [0, 1, 2].map(|k| usual(trajectory, all, &features, k));
    let judge = |(candidate, features): (&Candidate, &Features)| {
        let off = |k: usize| libm::log(features.times[k] / usual[k]);
        let height = candidate.height.max(1e-6);
        let looked = HEIGHT * libm::log((height / REFERENCE_HEIGHT).min(1.0))
            - LOCAL_NOISE.0 * features.local_noise.min(LOCAL_NOISE.1)
            - SMALLER.0 * smaller(trajectory, all, candidate) / height
            - PHASES.0 * (off(1).abs() + off(2).abs()).min(PHASES.1);
        let log_odds = BIAS + part * looked
            - BACKWARD.0 * features.back.min(BACKWARD.1) / height
            - SHORT.0 * (-off(0)).max(0.0).min(SHORT.1);
        (*candidate, log_odds)
    };
    let large = |(candidate, _): &Scored| candidate.height > least;
    let mut list = all.iter().zip(&features).map(judge).filter(large).gather();
    let clutter = list
        .iter()
        .map(|(h, _)| clutter(trajectory, &list, h))
        .gather();
    for ((_, log_odds), clutter) in list.iter_mut().zip(clutter) {
        *log_odds -= part * clutter;
    }
    list
}

/// Penalty for the clutter around a candidate, other repetitions left out.
fn clutter(trajectory: &KneeTrajectory, list: &[Scored], candidate: &Candidate) -> f64 {
    let another = |i: usize| {
        let over = |h: &Candidate| h.from < i && i < h.to && h.peak != candidate.peak;
        list.iter().any(|(h, log_odds)| *log_odds > 0.0 && over(h))
    };
    CLUTTER.0 * (local_noise(trajectory, candidate, &another) - CLUTTER.1).max(0.0)
}

/// The candidates that are repetitions.
pub(super) fn repetitions(trajectory: &KneeTrajectory, all: &[Candidate]) -> Vec<Candidate> {
    let is = |(candidate, log_odds): Scored| (log_odds > 0.0).then_some(candidate);
    scored(trajectory, all).into_iter().filter_map(is).gather()
}

fn features(trajectory: &KneeTrajectory, all: &[Candidate], candidate: &Candidate) -> Features {
    let t = |i: usize| trajectory.time(i);
    let (from, to) = (
        t(candidate.half.0) - NEARBY_MS,
        t(candidate.half.1) + NEARBY_MS,
    );
    // Another repetition that goes another way than this one takes the knees back along it.
    let large = |h: &&Candidate| h.peak != candidate.peak && h.height > ANOTHER * candidate.height;
    let varied = if trajectory.off_axis_weight > 0.0 {
        all
    } else {
        &[]
    };
    let others = varied.iter().filter(large).gather();
    let another = |i: usize| others.iter().any(|h| h.half.0 <= i && i <= h.half.1);
    let own = |i: usize| {
        trajectory
            .steady
            .get(i)
            .map(|m| trajectory.project(m, candidate))
    };
    let interval = trajectory.interval(candidate).unwrap_or_default();
    let (low, _) = range(trajectory, &own, interval, [from, to], &another);
    Features {
        back: (-low).max(0.0),
        local_noise: local_noise(trajectory, candidate, &|_| false),
        times: [
            candidate.lasts(trajectory),
            phase_ms(trajectory, candidate, true),
            phase_ms(trajectory, candidate, false),
        ],
    }
}

/// Local noise: range of the signal beside a candidate, on the quieter side, in heights, but for what
/// is `out`.
fn local_noise(
    trajectory: &KneeTrajectory,
    candidate: &Candidate,
    out: &dyn Fn(usize) -> bool,
) -> f64 {
    let t = |i: usize| trajectory.time(i);
    let all = (0, trajectory.t_ms.len());
    let [(_, before), (after, _)] = candidate.standing(trajectory, all.0, all.1);
    let (from, to) = (t(before.saturating_sub(1)), t(after));
    let sides = [[from - BESIDE_MS, from], [to, to + BESIDE_MS]].map(|times| {
        let signal = |i: usize| trajectory.smooth.get(i).copied();
        let (low, high) = range(trajectory, &signal, all, times, out);
        (high - low).max(0.0)
    });
    sides[0].min(sides[1]) / candidate.height.max(1e-3)
}

/// Least and greatest signal in a time, within a interval, but for what is `out`.
fn range(
    trajectory: &KneeTrajectory,
    signal: &dyn Fn(usize) -> Option<f64>,
    interval: (usize, usize),
    times: [f64; 2],
    out: &dyn Fn(usize) -> bool,
) -> (f64, f64) {
    let [from, to] = times.map(|ms| trajectory.t_ms.partition_point(|&t| t < ms));
    let mut of = (f64::INFINITY, f64::NEG_INFINITY);
    for i in from.max(interval.0)..to.min(interval.1) {
        if let Some(y) = signal(i)
            && !out(i)
        {
            of = (of.0.min(y), of.1.max(y));
        }
    }
    of
}

/// How long the way down or up takes, ms.
fn phase_ms(trajectory: &KneeTrajectory, candidate: &Candidate, down: bool) -> f64 {
    let y = |i: usize| trajectory.smooth.get(i).copied().unwrap_or(f64::NAN);
    let foot = if down { candidate.from } else { candidate.to };
    let base = y(foot.min(trajectory.smooth.len().saturating_sub(1)));
    let [low, high] = PHASE.map(|share| {
        let below = |i: &usize| y(*i) < base + share * (candidate.top - base);
        let found = if down {
            (candidate.from..candidate.peak).rev().find(below)
        } else {
            (candidate.peak..candidate.to).find(below)
        };
        trajectory.time(found.unwrap_or(foot))
    });
    (high - low).abs().max(SHORTEST_MS)
}

/// The highest of the smaller candidates nearby.
fn smaller(trajectory: &KneeTrajectory, all: &[Candidate], candidate: &Candidate) -> f64 {
    let t = |i: usize| trajectory.time(i);
    let near = |h: &&Candidate| {
        h.height < SMALLER.1 * candidate.height && (t(h.peak) - t(candidate.peak)).abs() < PEAKS_MS
    };
    all.iter()
        .filter(near)
        .fold(0.0, |most, h| h.height.max(most))
}

/// How long a repetition, or one of its ways, lasts, ms: a median in which the large, steady and
/// quiet candidates weigh most.
fn usual(trajectory: &KneeTrajectory, all: &[Candidate], features: &[Features], k: usize) -> f64 {
    let one = |(candidate, features): (&Candidate, &Features)| {
        let steady = (1.0 - features.back / candidate.height.max(0.01)).max(0.05);
        let quiet = (1.0 - features.local_noise).max(0.05);
        // A failed attempt at the end lasts many times as long and weighs no more for it.
        let weight = candidate.weight(trajectory) / features.times[0];
        (features.times[k], weight * steady * quiet)
    };
    let mut list = all.iter().zip(features).map(one).gather();
    weighted_median(&mut list).unwrap_or(1.0)
}
