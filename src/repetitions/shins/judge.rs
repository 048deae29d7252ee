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
/// speaks for it. The weights come from a logistic regression over 6600 humps of simulated sets.
const HEIGHT: f64 = 0.44;
const TALL: f64 = 0.8;
/// ... against it for going the other way from standing nearby, in heights,
const BACKWARD: f64 = 1.68;
/// ... and for each e-fold of time that it is shorter or longer than the usual, up to a limit.
const TEMPO: f64 = 0.74;
const SHORTER: f64 = 1.5;
const LONGER: f64 = 0.3;
/// Nearby is within so much time, ms.
const NEARBY_MS: f64 = 3000.0;

/// The humps that are repetitions.
pub(super) fn squats(course: &Course, all: &[Hump]) -> Vec<Hump> {
    let backward: Vec<f64> = all.iter().map(|h| backward(course, h)).collect();
    let usual = usual(course, all, &backward);
    let is = |(hump, back): (&Hump, &f64)| {
        let longer = libm::log(hump.lasts(course) / usual);
        let height = hump.height.max(1e-6);
        let speaks = 1.0 + HEIGHT * libm::log(height.min(TALL))
            - BACKWARD * back / height
            - TEMPO * longer.clamp(-SHORTER, LONGER).abs();
        hump.height > LEAST && speaks > 0.0
    };
    let judged = all.iter().zip(&backward).map(is);
    let kept = all.iter().zip(judged).filter(|(_, is)| *is);
    kept.map(|(hump, _)| *hump).gather()
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
