//! Counts the repetitions of feet and shins while the set goes on.
//!
//! Each look counts anew over what has been seen so far, as is done at the end: what a squat looks
//! like is the set's, and a first one may be known for one only after the second. Looks are as far
//! apart as they are long, so that they take the same share of the time however long the set.

use super::super::judge::{least, shortest_ms};
use super::super::phase::Repetition;
use super::super::signal::bent;
use super::bout::Bout;
use super::course::Course;
use super::humps::{Hump, humps};
use super::judge::Judged;
use super::{Parts, judge, repetition, samples, settled};
use crate::pose::Pose;

/// A look goes back so far, ms, and on to the last repetition before that, but no farther than this.
const BACK_MS: f64 = 60_000.0;
const FARTHEST_MS: f64 = 90_000.0;
/// What ended so long ago is counted or not for good, until the end of the set.
const FIXED_MS: f64 = 45_000.0;
/// So much has to speak for counting a repetition, and against one that is counted.
const SURE: f64 = 0.3;
/// Looks are this far apart, ms, and by this share of what is looked at; and when no repetition can
/// be over sooner: none is under way, or the knees are above this part of the deepest.
const PACE_MS: [f64; 2] = [130.0, 400.0];
const SHARE: f64 = 0.003;
const HIGH: f64 = 0.6;
/// A repetition is over once the knees have been below this part of its height for so long, ms.
const STANDS: f64 = 0.2;
const STOOD_MS: f64 = 250.0;
/// The upper half of a repetition takes no less of its time.
const HALF: f64 = 0.4;
/// How far the knees run ahead and the shape of the ways, for a first guess.
const GUESS: (f64, f64) = (0.75, 0.5);

/// When the next look is due, what has been seen, and whether the last look was at feet and shins only.
#[derive(Clone, Copy, Debug, Default)]
pub(in super::super) struct Watch {
    next_ms: f64,
    parts: Parts,
    pub only: bool,
}

impl Watch {
    /// Looks when it is time; gives the number of the repetition that became final.
    pub fn look(&mut self, poses: &[Pose], reps: &mut Vec<Repetition>) -> Option<usize> {
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
        let (course, squats, waits) = seen(poses)?;
        if waits {
            self.next_ms += PACE_MS[1] - PACE_MS[0];
        }
        let known = reps.split_off(fixed);
        let mut finished = None;
        for (hump, speaks) in &squats {
            let bout = Bout::new(&course, hump);
            let one = |fitted| repetition(&course, hump, &bout.kept(fitted));
            let guess = one(None);
            let rep = known.iter().find(|r| same(r, &guess)).copied();
            let bar = if rep.is_some() { -SURE } else { SURE };
            if guess.bottom_ms < fixed_ms || *speaks <= bar {
                continue;
            }
            reps.push(rep.unwrap_or_else(|| {
                finished = Some(reps.len() + 1);
                one(bout.fit(&course, GUESS.0, GUESS.1).map(|f| f.numbers))
            }));
        }
        finished
    }
}

fn same(a: &Repetition, b: &Repetition) -> bool {
    a.start_ms < b.bottom_end_ms && a.end_ms > b.bottom_ms
}

/// The repetitions that are over, and whether no other can be soon.
fn seen(poses: &[Pose]) -> Option<(Course, Vec<Judged>, bool)> {
    let course = settled(&samples::samples(poses), 1)?;
    let mut squats = judge::speaking(&course, &humps(&course));
    let all = squats.len();
    squats.retain(|(h, _)| over(&course, h));
    let now = *course.smooth.last()?;
    let waits = squats.len() == all && now < STANDS || now > HIGH;
    let enough = |(h, _): &Judged| {
        let drop = bent(h.height * course.travel);
        drop > least(false) && h.lasts(&course) > HALF * shortest_ms(false, drop)
    };
    squats.retain(enough);
    Some((course, squats, waits))
}

/// The lifter stands again.
fn over(course: &Course, hump: &Hump) -> bool {
    let y = &course.smooth;
    let base = y.get(hump.from).copied().unwrap_or(0.0);
    let level = base + STANDS * (hump.top - base);
    let after = course.t_ms.iter().zip(y).skip(hump.peak);
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
