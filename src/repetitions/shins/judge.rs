//! Which humps are repetitions.
//!
//! Shifting about goes to and fro, and anywhere, and there is more of it on either side; a squat
//! leaves standing one way and comes back. One lifter's repetitions take about the same time whatever
//! their depth, and so do their ways down and up; shifting about does not take theirs.

use super::course::Course;
use super::humps::Hump;
use crate::gather::Gather;
use crate::statistics::weighted_median;

/// A hump of less than this share of the deepest is none.
const LEAST: f64 = 0.24;
/// ... and of this share where repetitions go different ways: how high, quick and quiet they are says
/// less of such humps, by this part (tried on 2170 humps, the other weights kept).
const VARIED: (f64, f64) = (0.13, 0.35);
/// What speaks for a hump of [`TALL`], seen at its best. The weights come from a logistic regression
/// over 8100 humps of simulated sets, and are a tenth of its.
const TALLEST: f64 = 1.22;
/// ... less so much for each e-fold of height that it is smaller;
const HEIGHT: f64 = 0.43;
const TALL: f64 = 0.8;
/// ... against it for going the other way from standing nearby, in heights, but no farther than this:
/// beyond, standing is misjudged, or a joint leapt;
const BACKWARD: (f64, f64) = (1.06, 0.5);
/// ... but for what may be other repetitions, of at least this part of its height;
const ANOTHER: f64 = 0.6;
/// ... and for unrest beside it, in heights: on the quieter side; and smaller humps nearby, of less
/// than this part of its own height;
const RESTLESS: (f64, f64) = (0.23, 1.0);
const SMALLER: (f64, f64) = (0.39, 0.9);
/// ... once more for what of it is more than this and no other repetition: talking has more of its kind
/// around it, and one of many repetitions has repetitions;
const AMONG: (f64, f64) = (0.4, 0.6);
/// ... and for each e-fold of time that it is shorter than the usual, and that its ways are shorter
/// or longer than theirs, up to a limit;
const SHORT: (f64, f64) = (0.55, 1.5);
const WAYS: (f64, f64) = (0.27, 1.5);
/// Nearby is within so much time of it, and of its peak; beside it, of its feet, ms.
const NEARBY_MS: f64 = 3000.0;
const PEAKS_MS: f64 = 4000.0;
const BESIDE_MS: f64 = 1500.0;
/// A way is timed between these shares of the height, and taken to last at least so long, ms.
const WAY: [f64; 2] = [0.25, 0.8];
const SHORTEST_MS: f64 = 30.0;

/// A hump, and what speaks for it.
pub(super) type Judged = (Hump, f64);

/// What a hump looks like beside its height.
struct Looks {
    /// How far the knees go back beyond standing, nearby.
    back: f64,
    /// By how much the signal changes beside it, on the quieter side, in heights.
    restless: f64,
    /// How long it lasts, and its ways, ms.
    times: [f64; 3],
}

/// The humps that may be repetitions with what speaks for each: one is more likely a repetition than
/// not from 0 on.
pub(super) fn speaking(course: &Course, all: &[Hump]) -> Vec<Judged> {
    let looks = all.iter().map(|h| look(course, all, h)).gather();
    let (least, part) = if course.aside > 0.0 {
        VARIED
    } else {
        (LEAST, 1.0)
    };
    let usual = [0, 1, 2].map(|k| usual(course, all, &looks, k));
    let judge = |(hump, looks): (&Hump, &Looks)| {
        let off = |k: usize| libm::log(looks.times[k] / usual[k]);
        let height = hump.height.max(1e-6);
        let looked = HEIGHT * libm::log((height / TALL).min(1.0))
            - RESTLESS.0 * looks.restless.min(RESTLESS.1)
            - SMALLER.0 * smaller(course, all, hump) / height
            - WAYS.0 * (off(1).abs() + off(2).abs()).min(WAYS.1);
        let speaks = TALLEST + part * looked
            - BACKWARD.0 * looks.back.min(BACKWARD.1) / height
            - SHORT.0 * (-off(0)).max(0.0).min(SHORT.1);
        (*hump, speaks)
    };
    let large = |(hump, _): &Judged| hump.height > least;
    let mut list = all.iter().zip(&looks).map(judge).filter(large).gather();
    let among = list.iter().map(|(h, _)| among(course, &list, h)).gather();
    for ((_, speaks), among) in list.iter_mut().zip(among) {
        *speaks -= part * among;
    }
    list
}

/// What speaks against a hump for what is around it, other repetitions left out.
fn among(course: &Course, list: &[Judged], hump: &Hump) -> f64 {
    let another = |i: usize| {
        let over = |h: &Hump| h.from < i && i < h.to && h.peak != hump.peak;
        list.iter().any(|(h, speaks)| *speaks > 0.0 && over(h))
    };
    AMONG.0 * (restless(course, hump, &another) - AMONG.1).max(0.0)
}

/// The humps that are repetitions.
pub(super) fn squats(course: &Course, all: &[Hump]) -> Vec<Hump> {
    let is = |(hump, speaks): Judged| (speaks > 0.0).then_some(hump);
    speaking(course, all).into_iter().filter_map(is).gather()
}

fn look(course: &Course, all: &[Hump], hump: &Hump) -> Looks {
    let t = |i: usize| course.time(i);
    let (from, to) = (t(hump.half.0) - NEARBY_MS, t(hump.half.1) + NEARBY_MS);
    // Another repetition that goes another way than this one takes the knees back along it.
    let large = |h: &&Hump| h.peak != hump.peak && h.height > ANOTHER * hump.height;
    let varied = if course.aside > 0.0 { all } else { &[] };
    let others = varied.iter().filter(large).gather();
    let another = |i: usize| others.iter().any(|h| h.half.0 <= i && i <= h.half.1);
    let own = |i: usize| course.steady.get(i).map(|m| course.along(m, hump));
    let stretch = course.stretch(hump).unwrap_or_default();
    let (low, _) = range(course, &own, stretch, [from, to], &another);
    Looks {
        back: (-low).max(0.0),
        restless: restless(course, hump, &|_| false),
        times: [
            hump.lasts(course),
            way(course, hump, true),
            way(course, hump, false),
        ],
    }
}

/// By how much the signal changes beside a hump, on the quieter side, in heights, but for what is `out`.
fn restless(course: &Course, hump: &Hump, out: &dyn Fn(usize) -> bool) -> f64 {
    let t = |i: usize| course.time(i);
    let all = (0, course.t_ms.len());
    let [(_, before), (after, _)] = hump.standing(course, all.0, all.1);
    let (from, to) = (t(before.saturating_sub(1)), t(after));
    let sides = [[from - BESIDE_MS, from], [to, to + BESIDE_MS]].map(|times| {
        let signal = |i: usize| course.smooth.get(i).copied();
        let (low, high) = range(course, &signal, all, times, out);
        (high - low).max(0.0)
    });
    sides[0].min(sides[1]) / hump.height.max(1e-3)
}

/// Least and greatest signal in a time, within a stretch, but for what is `out`.
fn range(
    course: &Course,
    signal: &dyn Fn(usize) -> Option<f64>,
    stretch: (usize, usize),
    times: [f64; 2],
    out: &dyn Fn(usize) -> bool,
) -> (f64, f64) {
    let [from, to] = times.map(|ms| course.t_ms.partition_point(|&t| t < ms));
    let mut of = (f64::INFINITY, f64::NEG_INFINITY);
    for i in from.max(stretch.0)..to.min(stretch.1) {
        if let Some(y) = signal(i)
            && !out(i)
        {
            of = (of.0.min(y), of.1.max(y));
        }
    }
    of
}

/// How long the way down or up takes, ms.
fn way(course: &Course, hump: &Hump, down: bool) -> f64 {
    let y = |i: usize| course.smooth.get(i).copied().unwrap_or(f64::NAN);
    let foot = if down { hump.from } else { hump.to };
    let base = y(foot.min(course.smooth.len().saturating_sub(1)));
    let [low, high] = WAY.map(|share| {
        let below = |i: &usize| y(*i) < base + share * (hump.top - base);
        let found = if down {
            (hump.from..hump.peak).rev().find(below)
        } else {
            (hump.peak..hump.to).find(below)
        };
        course.time(found.unwrap_or(foot))
    });
    (high - low).abs().max(SHORTEST_MS)
}

/// The highest of the smaller humps nearby.
fn smaller(course: &Course, all: &[Hump], hump: &Hump) -> f64 {
    let t = |i: usize| course.time(i);
    let near = |h: &&Hump| {
        h.height < SMALLER.1 * hump.height && (t(h.peak) - t(hump.peak)).abs() < PEAKS_MS
    };
    all.iter()
        .filter(near)
        .fold(0.0, |most, h| h.height.max(most))
}

/// How long a repetition, or one of its ways, lasts, ms: a median in which the large, steady and
/// quiet humps weigh most.
fn usual(course: &Course, all: &[Hump], looks: &[Looks], k: usize) -> f64 {
    let one = |(hump, looks): (&Hump, &Looks)| {
        let steady = (1.0 - looks.back / hump.height.max(0.01)).max(0.05);
        let quiet = (1.0 - looks.restless).max(0.05);
        // A failed attempt at the end lasts many times as long and weighs no more for it.
        let weight = hump.weight(course) / looks.times[0];
        (looks.times[k], weight * steady * quiet)
    };
    let mut list = all.iter().zip(looks).map(one).gather();
    weighted_median(&mut list).unwrap_or(1.0)
}
