//! The repetitions of a set of which only feet and shins were seen, counted once it is over.
//!
//! Which way a squat takes the knees in the picture is not known until some have been seen, and
//! shifting about looks like a small squat. Over the whole set both are clear: the deepest samples
//! tell the way, and the repetitions what one looks like.

mod humps;
mod judge;
mod lists;
mod planted;
mod samples;
mod way;

use super::judge::SHALLOW;
use super::phase::Repetition;
use super::refine::{SHAPE, Sample, refine};
use super::signal::bent;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::Pose;
use humps::{Hump, humps};
use way::{Course, Movement};

/// Coming up by this share of the drop and going down again is a failed attempt.
const FAILED: f64 = 0.37;

/// Joints seen in less than this share of the frames are not in the picture: shoulders and head,
/// and the hips, which come into it at the bottom.
const HARDLY: [f64; 2] = [0.15, 0.95];

/// Nothing above the knees is seen in standing.
pub(super) fn only(poses: &[Pose]) -> bool {
    let share = |joints: &[Joint]| {
        let seen = |p: &&Pose| joints.iter().any(|&j| p.at(j).is_some());
        let lifter = |p: &&Pose| p.joints.iter().any(Option::is_some);
        let all = poses.iter().filter(lifter).count().max(1);
        poses.iter().filter(seen).count() as f64 / all as f64
    };
    let [shoulders, hips] =
        [Part::Shoulder, Part::Hip].map(|p| Side::BOTH.map(|s| Joint::of(p, s)));
    share(&shoulders) < HARDLY[0] && share(&Joint::ALL[..5]) < HARDLY[0] && share(&hips) < HARDLY[1]
}

/// Counts the repetitions.
pub(super) fn recount(poses: &[Pose]) -> Vec<Repetition> {
    counted(&samples::samples(poses)).unwrap_or_default()
}

fn counted(list: &[samples::Sample]) -> Option<Vec<Repetition>> {
    let mut movement = Movement::new(list);
    let course = movement.course()?;
    // Standing is better known once it is known what lies between.
    movement.settle(&humps(&course), &course);
    let course = movement.course()?;
    let all = humps(&course);
    let mut shape = SHAPE;
    let mut out = Vec::new();
    for i in judge::squats(&course, &all) {
        out.extend(repetition(&course, &all, i, &mut shape));
    }
    Some(out)
}

fn repetition(
    course: &Course,
    all: &[Hump],
    i: usize,
    shape: &mut (f64, f64),
) -> Option<Repetition> {
    let hump = all.get(i)?;
    let before = i.checked_sub(1).and_then(|k| all.get(k));
    let from = before
        .filter(|h| h.to == hump.from)
        .map_or(hump.from, |h| h.half.1);
    let after = all.get(i + 1).filter(|h| h.from == hump.to);
    let to = after.map_or(hump.to, |h| h.half.0);
    let first = course.t_ms.get(hump.from)? - 1200.0;
    let (begin, end) = *course
        .stretches
        .iter()
        .find(|s| s.0 <= hump.peak && hump.peak < s.1)?;
    let from = if before.is_some_and(|h| h.to == hump.from) {
        from
    } else {
        course.t_ms.partition_point(|&t| t < first).max(begin)
    };
    let to = if after.is_some() { to } else { end - 1 };
    let base = course.smooth[hump.from];
    let drop = |y: f64| bent((y - base) * course.travel.max(0.05));
    let mut curve = Vec::new();
    let (mut start, mut stop) = (0, 0);
    for k in from..=to {
        if course.seen[k].is_finite() {
            if k <= hump.from {
                start = curve.len();
            }
            if k <= hump.to {
                stop = curve.len();
            }
            curve.push(Sample {
                t_ms: course.t_ms[k],
                drop: drop(course.seen[k]),
            });
        }
    }
    let (times, told) = refine(&curve, start, stop, *shape)?;
    *shape = (told.0, told.1.max(0.15));
    let top = drop(hump.top);
    Some(Repetition {
        start_ms: times.start_ms,
        bottom_ms: times.bottom_ms,
        bottom_end_ms: times.bottom_end_ms,
        end_ms: times.end_ms,
        depth: None,
        shallow: times.depth < SHALLOW,
        complete: top - drop(hump.top - hump.back) < FAILED * top,
    })
}
