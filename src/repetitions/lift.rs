//! A lift under way: how deep it went, how far it has come up, and whether it failed.

use super::drop_estimator::Reading;
use super::drop_signal::Frame;
use super::evidence::{LEAST, LiftEvidence};
use super::phase::Phase;

/// Below this share of the drop the lifter is near standing again ...
/// tuned: `reps`
const NEAR_TOP: f64 = 0.3;
/// ... and stands below this one.
/// tuned: `reps`
const TOP: f64 = 0.06;
/// From there on a smooth way up takes this many times as long as from half of it to there (0.67 of
/// the minimum-jerk path, 0.46 of a cosine), and standing is told at the latest so long after, ms.
/// tuned: `reps`
const REST: f64 = 0.55;
const WAITED_MS: f64 = 350.0;
/// Standing that begins after frames without the lifter may have begun so long before, ms.
/// tuned: `reps`
const UNSEEN_MS: f64 = 170.0;
/// The drop has to rise again by this much to be the next repetition's.
/// tuned: `reps`
const AGAIN: f64 = 0.07;
/// Coming up by this share of the drop and going down again is a failed attempt; a bounce is less.
/// tuned: `reps`
const FAILED: f64 = 0.36;

/// One lift, from the moment its drop stands out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lift {
    pub since_ms: f64,
    /// Largest drop so far, and when.
    pub deepest: f64,
    pub deepest_ms: f64,
    /// Smallest drop since the deepest, and when.
    pub highest: f64,
    pub highest_ms: f64,
    /// Came half up and went down again.
    pub failed: bool,
    /// Since when the drop has been that of standing.
    pub top_since: Option<f64>,
    /// When it was last half of the deepest, ms.
    pub half_ms: f64,
    /// When it was last read, ms.
    pub read_ms: f64,
    pub evidence: LiftEvidence,
    /// Stood here for so long before, ms.
    pub stood_ms: f64,
    /// The feet have been lost sight of since, ms.
    pub lost_since: Option<f64>,
}

impl Lift {
    /// Begins at `since_ms` with what `frame` shows.
    pub fn new(since_ms: f64, frame: Frame, stood_ms: f64) -> Self {
        Self {
            since_ms,
            deepest: frame.drop,
            deepest_ms: frame.t_ms,
            highest: frame.drop,
            highest_ms: frame.t_ms,
            failed: false,
            top_since: None,
            half_ms: frame.t_ms,
            read_ms: frame.t_ms,
            evidence: LiftEvidence::default(),
            stood_ms,
            lost_since: None,
        }
    }

    /// Takes one frame.
    #[inline(never)]
    pub fn follow(&mut self, frame: Frame, reading: &Reading) {
        let Frame { t_ms, drop, .. } = frame;
        if drop >= self.deepest {
            (self.deepest, self.deepest_ms) = (drop, t_ms);
            (self.highest, self.highest_ms) = (drop, t_ms);
        } else if drop < self.highest {
            (self.highest, self.highest_ms) = (drop, t_ms);
        }
        let risen = self.deepest - self.highest;
        if risen > FAILED * self.deepest
            && !self.near_top()
            && drop - self.highest > 0.25 * self.deepest
        {
            self.failed = true;
            (self.highest, self.highest_ms) = (drop, t_ms);
        }
        self.evidence.add(reading);
        if drop > 0.5 * self.deepest {
            self.half_ms = t_ms;
        }
        let top = (TOP * self.deepest).max(0.02);
        if drop < top {
            // Halfway since the last frame that was read, as far as is known; seen for a moment at least.
            let half = (t_ms - self.read_ms) / 2.0;
            self.top_since.get_or_insert(t_ms - half.min(UNSEEN_MS));
        } else if drop > top + 0.03 {
            self.top_since = None;
        }
        self.read_ms = t_ms;
    }

    /// Near the bottom.
    pub fn deep(&self, drop: f64) -> bool {
        drop > 0.8 * self.deepest
    }

    /// Has come up to near standing.
    pub fn near_top(&self) -> bool {
        self.highest < NEAR_TOP * self.deepest
    }

    /// Has come up from something that may be a repetition.
    pub fn done(&self) -> bool {
        self.near_top() && self.deepest >= 0.92 * LEAST
    }

    /// Has been near standing for so long that the rest of the way is over, flat or not.
    pub fn waited(&self, t_ms: f64) -> bool {
        let wait = |top_ms: f64| REST * (top_ms - self.half_ms) + WAITED_MS;
        self.top_since
            .is_some_and(|top_ms| t_ms - top_ms >= wait(top_ms))
    }

    /// Goes down again from near standing: the next one has begun.
    pub fn again(&self, drop: f64) -> bool {
        self.near_top() && drop > self.highest + AGAIN.max(0.2 * self.deepest)
    }

    /// Where in the lift.
    pub fn phase(&self, frame: Frame) -> Phase {
        let Frame { drop, speed, .. } = frame;
        if self.deep(drop) && (speed.abs() < 0.12 || drop > 0.96 * self.deepest && speed < 0.1) {
            Phase::Bottom
        } else if speed > 0.02 || drop >= self.deepest {
            Phase::Down
        } else {
            Phase::Up
        }
    }
}
