//! A lift under way: how deep it went, how far it has come up, and whether it failed.

use super::drop_estimator::{Reading, Source};
use super::drop_signal::Frame;
use super::evidence::{LiftEvidence, least};
use super::feet::gain;
use super::phase::Phase;

/// Feet this far from their place have moved, shank lengths.
/// tuned: `reps`
const CREPT: f64 = 0.07;
/// ... and for so long in a small drop have stepped unnoticed, ms.
/// tuned: `reps`
pub(super) const CREPT_MS: f64 = 700.0;
const CREPT_DROP: f64 = 0.2;
/// A lifter who looks less broad by this part of the drop, and at least so much, is farther away: in
/// squats hips go back by about as much as shoulders go forward;
/// tuned: `reps`
const RECEDED: (f64, f64) = (0.65, 0.04);
/// ... as upright as in standing, within this and this part of the drop, by how long the shanks look;
/// tuned: `reps`
const UPRIGHT: (f64, f64) = (0.06, 0.4);
/// ... and nobody gets smaller by more than this at once.
/// tuned: `reps`
const LEAP: f64 = 0.1;
/// Time constant of how upright and broad a lifter looks, ms.
/// tuned: `reps`
const RELATIVE_MS: f64 = 300.0;
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
/// Knees alone tell less, ms.
/// tuned: `reps`
const KNEES_MS: f64 = 900.0;
/// Standing that begins after frames without the lifter may have begun so long before, ms.
/// tuned: `reps`
const UNSEEN_MS: f64 = 170.0;
/// The drop has to rise again by this much to be the next repetition's.
/// tuned: `reps`
const AGAIN: f64 = 0.07;
/// Coming up by this share of the drop and going down again is a failed attempt; a bounce is less.
/// tuned: `reps`
const FAILED: f64 = 0.36;

/// What seems to be somebody else for longer is the lifter after all, ms.
/// tuned: `reps`
const INTRUDER_MS: f64 = 300.0;

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
    /// Read from hips, shoulders or head.
    pub body: bool,
    /// Stood here for so long before, ms.
    pub stood_ms: f64,
    /// The feet have been off their place since, ms.
    pub displaced_since: Option<f64>,
    /// The feet have been lost sight of since, ms.
    pub lost_since: Option<f64>,
    /// Somebody else has been seen instead since, ms.
    pub intruder: Option<f64>,
    /// Height of the hips above the ankles as a part of that in standing, smoothed.
    pub relative_height: f64,
    /// Breadth of hips and shoulders, likewise.
    pub relative_breadth: f64,
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
            body: false,
            stood_ms,
            displaced_since: None,
            lost_since: None,
            intruder: None,
            relative_height: 1.0 - frame.drop,
            relative_breadth: 1.0,
        }
    }

    /// Takes one frame.
    #[inline(never)]
    pub fn follow(&mut self, frame: Frame, reading: &Reading, feet_seen: bool, away: f64) {
        self.body |= reading.drop.is_some_and(|(_, s)| s == Source::Body);
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
        self.displaced_since = (away > CREPT).then(|| self.displaced_since.unwrap_or(t_ms));
        self.evidence.add(reading, self.deep(drop), feet_seen, away);
        if drop > 0.5 * self.deepest {
            self.half_ms = t_ms;
        }
        let top = (TOP * self.deepest).max(0.02);
        if drop < top {
            // Halfway since the last frame that was read, as far as is known; seen for a moment at least.
            let half = if self.body {
                (t_ms - self.read_ms) / 2.0
            } else {
                0.0
            };
            self.top_since.get_or_insert(t_ms - half.min(UNSEEN_MS));
        } else if drop > top + 0.03 {
            self.top_since = None;
        }
        self.read_ms = t_ms;
    }

    /// Whether this frame shows somebody else, as it seems: for a moment only.
    pub fn intruder(&mut self, seems: bool, t_ms: f64) -> bool {
        self.intruder = self.intruder.filter(|_| seems);
        seems && t_ms - *self.intruder.get_or_insert(t_ms) < INTRUDER_MS
    }

    /// So small a drop that a step may have made it.
    pub fn small(&self) -> bool {
        self.deepest < CREPT_DROP
    }

    /// Takes how upright the lifter is, `dt` ms after the last time; where that is not seen, it is as
    /// much less as the lifter has gone down by this `drop`.
    pub fn stands(&mut self, relative_height: Option<f64>, drop: f64, dt: f64) {
        let relative_height = relative_height.unwrap_or(1.0 - drop);
        self.relative_height += gain(dt, RELATIVE_MS) * (relative_height - self.relative_height);
    }

    /// Takes how broad the lifter looks where that shows, `dt` ms after the last time.
    pub fn looks(&mut self, relative_breadth: Option<f64>, dt: f64) {
        if let Some(relative_breadth) = relative_breadth {
            // A joint that leaps makes nobody smaller.
            let change =
                crate::order::within(relative_breadth - self.relative_breadth, -LEAP, LEAP);
            self.relative_breadth += gain(dt, RELATIVE_MS) * change;
        }
    }

    /// Looks smaller all over: whoever walks away from a phone on the floor sinks in its picture, on
    /// feet that stay where they are in it.
    pub fn receded(&self) -> bool {
        1.0 - self.relative_breadth > (RECEDED.0 * self.deepest).max(RECEDED.1)
            && (self.relative_height - 1.0).abs() < UPRIGHT.0.min(UPRIGHT.1 * self.deepest)
    }

    /// Has stepped unnoticed: the feet have long been a little off their place, and whoever has
    /// stepped nearer or away stands lower in the picture, but as upright as before.
    pub fn displaced_since(&self, t_ms: f64) -> bool {
        let upright = self.relative_height > 1.0 - 0.5 * self.deepest;
        let long = self
            .displaced_since
            .is_some_and(|since| t_ms - since > CREPT_MS);
        upright && long && self.small()
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
        self.near_top() && self.deepest >= 0.92 * least(self.body)
    }

    /// Has been near standing for so long that the rest of the way is over, flat or not.
    pub fn waited(&self, t_ms: f64) -> bool {
        let wait = |top_ms: f64| {
            if self.body {
                REST * (top_ms - self.half_ms) + WAITED_MS
            } else {
                KNEES_MS
            }
        };
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
