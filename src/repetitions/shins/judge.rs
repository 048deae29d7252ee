//! Which humps are repetitions.
//!
//! Shifting about goes to and fro, and anywhere; a squat leaves standing one way and comes back.
//! One lifter's repetitions take about the same time whatever their depth, and shifting about does
//! not take theirs.

use super::humps::Hump;
use super::lists::weighted_middle;
use super::way::Course;
use crate::gather::Gather;

/// A hump of less than this share of the deepest is none.
const LEAST: f64 = 0.25;
/// What speaks for a hump for each e-fold of height, up to [`TALL`]; at that of the deepest, 1
/// speaks for it. The weights come from a logistic regression over 6900 humps of simulated sets.
const HEIGHT: f64 = 0.68;
const TALL: f64 = 0.8;
/// ... against it for going the other way from standing nearby, in heights, but no farther than this:
/// beyond, standing is misjudged, or a joint leapt; and for going back within it,
const BACKWARD: (f64, f64) = (1.46, 0.5);
const WOBBLE: f64 = 0.58;
/// ... and for each e-fold of time that it is shorter or longer than the usual, up to a limit;
const SHORT: (f64, f64) = (0.75, 1.5);
const LONG: (f64, f64) = (1.33, 0.3);
/// ... and for it in a set in which the hips come down into the picture: the deepest are squats.
const HIPS: f64 = 0.35;
/// Nearby is within so much time, ms.
const NEARBY_MS: f64 = 3000.0;

/// A hump, and what speaks for it.
pub(super) type Judged = (Hump, f64);

/// The humps that may be repetitions with what speaks for each: one is more likely a repetition than
/// not from 0 on.
pub(super) fn speaking(course: &Course, all: &[Hump]) -> Vec<Judged> {
    let backward: Vec<f64> = all.iter().map(|h| backward(course, h)).collect();
    let usual = usual(course, all, &backward);
    let hips = all.iter().any(|h| h.height > LEAST && hips(course, h));
    let judge = |(hump, back): (&Hump, &f64)| {
        let longer = libm::log(hump.lasts(course) / usual);
        let astray = if longer < 0.0 {
            SHORT.0 * (-longer).min(SHORT.1)
        } else {
            LONG.0 * longer.min(LONG.1)
        };
        let height = hump.height.max(1e-6);
        let speaks = 1.0 + HEIGHT * libm::log(height.min(TALL))
            - BACKWARD.0 * back.min(BACKWARD.1) / height
            - WOBBLE * hump.back / height
            - astray
            + if hips { HIPS } else { 0.0 };
        (*hump, speaks)
    };
    let large = |(hump, _): &Judged| hump.height > LEAST;
    all.iter().zip(&backward).map(judge).filter(large).gather()
}

/// The humps that are repetitions.
pub(super) fn squats(course: &Course, all: &[Hump]) -> Vec<Hump> {
    let is = |(hump, speaks): Judged| (speaks > 0.0).then_some(hump);
    speaking(course, all).into_iter().filter_map(is).gather()
}

/// The hips come into the picture.
fn hips(course: &Course, hump: &Hump) -> bool {
    let high = course.hips.get(hump.half.0..=hump.half.1).unwrap_or(&[]);
    high.iter().filter(|y| y.is_finite()).count() * 2 > high.len()
}

/// How far the knees go back beyond standing, nearby.
fn backward(course: &Course, hump: &Hump) -> f64 {
    let t = |i: usize| course.t_ms.get(i).copied().unwrap_or(0.0);
    let (from, to) = (t(hump.half.0) - NEARBY_MS, t(hump.half.1) + NEARBY_MS);
    let same = |s: &&(usize, usize)| s.0 <= hump.peak && hump.peak < s.1;
    let (first, end) = course
        .stretches
        .iter()
        .find(same)
        .copied()
        .unwrap_or_default();
    let from = course.t_ms.partition_point(|&t| t < from).max(first);
    let to = course.t_ms.partition_point(|&t| t < to).min(end);
    let near = course.smooth.get(from..to).unwrap_or(&[]);
    -near
        .iter()
        .fold(0.0, |low, &y| if y < low { y } else { low })
}

/// How long a repetition lasts, ms: a median in which the large and steady humps weigh most.
fn usual(course: &Course, all: &[Hump], backward: &[f64]) -> f64 {
    let one = |(hump, back): (&Hump, &f64)| {
        let steady = (1.0 - back / hump.height.max(0.01)).max(0.05);
        (hump.lasts(course), hump.weight(course) * steady)
    };
    let mut list: Vec<(f64, f64)> = all.iter().zip(backward).map(one).collect();
    weighted_middle(&mut list).unwrap_or(1.0)
}
