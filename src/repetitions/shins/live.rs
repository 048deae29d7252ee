//! Live count of feet and shins.
//!
//! The set so far is counted anew several times a second, as it is at the end: what a squat looks like is
//! the set's, and a first one may be recognised only after the second. Updates are spaced in proportion to
//! what they cost, so that they take the same share of the time however long the set.

use super::super::drop_estimator::drop_of_travel;
use super::super::evidence::SHORTEST_MS;
use super::super::phase::Repetition;
use super::candidate_fit::CandidateFit;
use super::candidates::{Candidate, candidates};
use super::classifier::Scored;
use super::trajectory::KneeTrajectory;
use super::{Parts, classifier, repetition, samples, settled};
use crate::pose::Pose;

/// A look goes back so far, ms, and on to the last repetition before that, but no farther than this.
/// tuned: `reps`
const BACK_MS: f64 = 60_000.0;
const FARTHEST_MS: f64 = 90_000.0;
/// What ended so long ago is counted or not for good, until the end of the set.
/// tuned: `reps`
const FIXED_MS: f64 = 45_000.0;
/// Log-odds needed to count a repetition, and to take back one that is counted.
/// tuned: `reps`
const SURE: f64 = 0.3;
/// Looks are this far apart, ms, and by this share of what is looked at; and when no repetition can
/// be over sooner: none is under way, or the knees are above this part of the deepest.
/// tuned: `reps` and what a look costs (`--test frame_cost`)
const PACE_MS: [f64; 2] = [130.0, 400.0];
const SHARE: f64 = 0.003;
const HIGH: f64 = 0.6;
/// A repetition is over once the knees have been below this part of its height for so long, ms.
/// tuned: `reps`
const STANDS: f64 = 0.2;
const STOOD_MS: f64 = 250.0;
/// A smaller drop, of which the knees' travel in the picture may show half, is no repetition.
/// tuned: `reps`
const LEAST: f64 = 0.06;
/// Knees also go forward for a moment when somebody shifts about: what takes no longer than this and goes
/// no deeper is not counted, ms and drop.
/// tuned: `reps`
const FIDGET: (f64, f64) = (1050.0, 0.22);
/// The upper half of a repetition takes no less of its time.
/// tuned: `reps`
const HALF: f64 = 0.4;
/// How far the knees run ahead and the shape of the ways, for a first guess.
/// tuned: `reps`
const GUESS: (f64, f64) = (0.75, 0.5);

/// When the next look is due, what has been seen, and whether the last look was at feet and shins only.
#[derive(Clone, Copy, Debug, Default)]
pub(in super::super) struct LiveCounter {
    next_ms: f64,
    parts: Parts,
    pub only: bool,
}

impl LiveCounter {
    /// Looks when it is time; gives the number of the repetition that became final.
    pub fn update(&mut self, poses: &[Pose], reps: &mut Vec<Repetition>) -> Option<usize> {
        let last = poses.last()?;
        let now = last.t_ms;
        self.parts.add(last);
        if now < self.next_ms {
            return None;
        }
        self.only = self.parts.only_shins();
        if !self.only {
            self.next_ms = now + PACE_MS[0];
            return None;
        }
        let before = |ms: f64| reps.partition_point(|r| r.end_ms < now - ms);
        let (old, fixed) = (before(BACK_MS), before(FIXED_MS));
        let end = |n: usize| reps.get(..n)?.last().map(|r| r.end_ms);
        let never = f64::NEG_INFINITY;
        let (from_ms, fixed_ms) = (end(old).unwrap_or(never), end(fixed).unwrap_or(never));
        let from_ms = from_ms.max(now - FARTHEST_MS);
        let poses = poses.get(poses.partition_point(|p| p.t_ms < from_ms)..)?;
        let first = poses.first()?.t_ms;
        self.next_ms = now + PACE_MS[0] + SHARE * (now - first);
        let (trajectory, repetitions, waits) = seen(poses)?;
        if waits {
            self.next_ms += PACE_MS[1] - PACE_MS[0];
        }
        let counted = reps.split_off(fixed);
        let mut finished = None;
        for (candidate, log_odds) in &repetitions {
            let candidate_fit = CandidateFit::new(&trajectory, candidate);
            let one = |fitted| repetition(&trajectory, candidate, &candidate_fit.or_guess(fitted));
            let guess = one(None);
            let rep = counted.iter().find(|r| same(r, &guess)).copied();
            let bar = if rep.is_some() { -SURE } else { SURE };
            if guess.bottom_ms < fixed_ms || *log_odds <= bar {
                continue;
            }
            reps.push(rep.unwrap_or_else(|| {
                finished = Some(reps.len() + 1);
                one(candidate_fit
                    .fit(&trajectory, GUESS.0, GUESS.1)
                    .map(|f| f.numbers))
            }));
        }
        finished
    }
}

fn same(a: &Repetition, b: &Repetition) -> bool {
    a.start_ms < b.bottom_end_ms && a.end_ms > b.bottom_ms
}

/// The repetitions that are over, and whether no other can be soon.
fn seen(poses: &[Pose]) -> Option<(KneeTrajectory, Vec<Scored>, bool)> {
    let trajectory = settled(&samples::samples(poses), 1)?;
    let mut repetitions = classifier::scored(&trajectory, &candidates(&trajectory));
    let all = repetitions.len();
    repetitions.retain(|(h, _)| over(&trajectory, h));
    let now = *trajectory.smooth.last()?;
    let waits = repetitions.len() == all && now < STANDS || now > HIGH;
    let enough = |(h, _): &Scored| {
        let drop = drop_of_travel(h.height * trajectory.travel);
        let shortest_ms = if drop < FIDGET.1 {
            FIDGET.0
        } else {
            SHORTEST_MS
        };
        drop > LEAST && h.lasts(&trajectory) > HALF * shortest_ms
    };
    repetitions.retain(enough);
    Some((trajectory, repetitions, waits))
}

/// The lifter stands again.
fn over(trajectory: &KneeTrajectory, candidate: &Candidate) -> bool {
    let y = &trajectory.smooth;
    let base = y.get(candidate.from).copied().unwrap_or(0.0);
    let level = base + STANDS * (candidate.top - base);
    let after = trajectory.t_ms.iter().zip(y).skip(candidate.peak);
    let mut below = None;
    for (&t, &y) in after {
        if y < level {
            if t - *below.get_or_insert(t) >= STOOD_MS {
                return true;
            }
        } else {
            below = None;
        }
    }
    false
}
