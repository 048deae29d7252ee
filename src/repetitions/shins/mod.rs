//! Repetitions of a set of which only feet and shins were seen, counted over the whole set.
//!
//! The direction in which a squat takes the knees in the picture is not known until some have been seen,
//! and shifting about looks like a small squat. Over the whole set both are clear.

mod candidate_fit;
mod candidates;
mod classifier;
mod direction;
mod filters;
mod instants;
mod knee_profile;
mod live;
mod planted;
mod samples;
mod trajectory;

use super::drop_estimator::drop_of_travel;
use super::evidence::SHALLOW;
use super::phase::Repetition;
use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::Pose;
use candidates::{Candidate, candidates};
use knee_profile::{BEFORE, BOTTOM, DOWN, PAUSE, Parameters, START, UP};
pub(super) use live::LiveCounter;
use trajectory::KneeTrajectory;

/// Coming up by this share of the drop and going down again is a failed attempt.
/// tuned: `reps`
const FAILED: f64 = 0.37;

/// Joints seen in less than this share of the frames are not in the picture in standing: shoulders and head, and the
/// hips. All of them may come into it at the bottom, where a lifter is for less than half of the time.
/// tuned: `reps`; `--test bent_in`, whose lifters bend into the picture for a fifth to a third of the frames
const HARDLY: [f64; 2] = [0.5, 0.95];

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
fn settled(list: &[samples::Sample], times: usize) -> Option<KneeTrajectory> {
    let mut trajectory = KneeTrajectory::new(list)?;
    for k in 0..=times {
        let candidates = candidates(&trajectory);
        if k == 0 {
            trajectory.choose_direction(&candidates)?;
        } else {
            trajectory.recentre(&candidates)?;
        }
    }
    Some(trajectory)
}

fn counted(list: &[samples::Sample]) -> Option<Vec<Repetition>> {
    let trajectory = settled(list, 2)?;
    let repetitions = classifier::repetitions(&trajectory, &candidates(&trajectory));
    let fits = instants::instants(&trajectory, &repetitions);
    let each = repetitions.iter().zip(&fits);
    let mut reps = each
        .map(|(candidate, p)| repetition(&trajectory, candidate, p))
        .gather();
    for k in 1..reps.len() {
        if let [.., before, after] = reps.get_mut(..=k)?
            && before.end_ms > after.start_ms
        {
            let centre = (before.end_ms + after.start_ms) / 2.0;
            before.end_ms = centre.max(before.bottom_end_ms);
            after.start_ms = centre.min(after.bottom_ms);
        }
    }
    Some(reps)
}

fn repetition(trajectory: &KneeTrajectory, candidate: &Candidate, p: &Parameters) -> Repetition {
    let drop = |direction: f64| drop_of_travel(direction * trajectory.travel.max(0.05));
    let bottom_ms = p[START] + p[DOWN];
    let bottom_end_ms = bottom_ms + p[PAUSE];
    let top = drop(candidate.height);
    Repetition {
        start_ms: p[START],
        bottom_ms,
        bottom_end_ms,
        end_ms: bottom_end_ms + p[UP],
        depth: None,
        shallow: drop(p[BOTTOM] - p[BEFORE]) < SHALLOW,
        complete: top - drop(candidate.height - candidate.back) < FAILED * top,
    }
}
