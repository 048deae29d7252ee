//! The repetitions of a set of which only feet and shins were seen, counted once it is over.
//!
//! Which way a squat takes the knees in the picture is not known until some have been seen, and
//! shifting about looks like a small squat. Over the whole set both are clear: the deepest samples
//! tell the way, and the repetitions what one looks like.

mod bout;
mod course;
mod fit;
mod humps;
mod instants;
mod judge;
mod lists;
mod planted;
mod samples;
mod watch;
mod way;

use super::judge::SHALLOW;
use super::phase::Repetition;
use super::signal::bent;
use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::Pose;
use course::Course;
use fit::{BEFORE, BOTTOM, DOWN, Numbers, PAUSE, START, UP};
use humps::{Hump, humps};
pub(super) use watch::Watch;

/// Coming up by this share of the drop and going down again is a failed attempt.
const FAILED: f64 = 0.37;

/// Joints seen in less than this share of the frames are not in the picture: shoulders and head,
/// and the hips, which come into it at the bottom.
const HARDLY: [f64; 2] = [0.15, 0.95];

/// In how many frames parts of the lifter were seen.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Parts {
    lifter: u32,
    shoulders: u32,
    head: u32,
    hips: u32,
}

impl Parts {
    /// Takes a frame.
    pub fn add(&mut self, pose: &Pose) {
        let seen = |joints: &[Joint]| u32::from(joints.iter().any(|&j| pose.at(j).is_some()));
        let both = |part: Part| seen(&Side::BOTH.map(|s| Joint::of(part, s)));
        self.lifter += u32::from(pose.joints.iter().any(Option::is_some));
        self.shoulders += both(Part::Shoulder);
        self.head += seen(&Joint::ALL[..5]);
        self.hips += both(Part::Hip);
    }

    /// Nothing above the knees is seen in standing.
    pub fn only_shins(&self) -> bool {
        let share = |seen: u32| f64::from(seen) / f64::from(self.lifter.max(1));
        share(self.shoulders) < HARDLY[0]
            && share(self.head) < HARDLY[0]
            && share(self.hips) < HARDLY[1]
    }
}

/// Nothing above the knees is seen in standing.
pub(super) fn only(poses: &[Pose]) -> bool {
    let mut parts = Parts::default();
    poses.iter().for_each(|p| parts.add(p));
    parts.only_shins()
}

/// Counts the repetitions.
pub(super) fn recount(poses: &[Pose]) -> Vec<Repetition> {
    counted(&samples::samples(poses)).unwrap_or_default()
}

/// The knees' course. Standing is better known once it is known what lies between: so many times over.
fn settled(list: &[samples::Sample], times: usize) -> Option<Course> {
    let mut course = Course::new(list)?;
    for k in 0..=times {
        let humps = humps(&course);
        if k == 0 {
            course.agree(&humps)?;
        } else {
            course.settle(&humps)?;
        }
    }
    Some(course)
}

fn counted(list: &[samples::Sample]) -> Option<Vec<Repetition>> {
    let course = settled(list, 2)?;
    let squats = judge::squats(&course, &humps(&course));
    let courses = instants::instants(&course, &squats);
    let each = squats.iter().zip(&courses);
    let mut reps = each.map(|(hump, p)| repetition(&course, hump, p)).gather();
    for k in 1..reps.len() {
        if let [.., before, after] = reps.get_mut(..=k)?
            && before.end_ms > after.start_ms
        {
            let middle = (before.end_ms + after.start_ms) / 2.0;
            before.end_ms = middle.max(before.bottom_end_ms);
            after.start_ms = middle.min(after.bottom_ms);
        }
    }
    Some(reps)
}

fn repetition(course: &Course, hump: &Hump, p: &Numbers) -> Repetition {
    let drop = |way: f64| bent(way * course.travel.max(0.05));
    let bottom_ms = p[START] + p[DOWN];
    let bottom_end_ms = bottom_ms + p[PAUSE];
    let top = drop(hump.height);
    Repetition {
        start_ms: p[START],
        bottom_ms,
        bottom_end_ms,
        end_ms: bottom_end_ms + p[UP],
        depth: None,
        shallow: drop(p[BOTTOM] - p[BEFORE]) < SHALLOW,
        complete: top - drop(hump.height - hump.back) < FAILED * top,
    }
}
