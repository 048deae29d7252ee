//! Counts repetitions as they happen.

use super::feet::{Feet, Stance, gain};
use super::judge::{Candidate, Evidence, LEAST, Place, SHALLOW, SHORTEST_MS, STOOD_MS, Station};
use super::phase::{Phase, Progress, Repetition};
use super::refine::{Sample, refine};
use super::signal::{Signal, Source, shank};
use crate::pose::Pose;
use std::collections::VecDeque;
use std::fmt;

/// A drop of this size starts a possible repetition, fraction of the pelvis' standing height.
const LEAVE: f64 = 0.05;
/// Below this share of the drop the lifter is near standing again ...
const NEAR_TOP: f64 = 0.3;
/// ... and stands below this one.
const TOP: f64 = 0.06;
/// The drop has to rise again by this much to be the next repetition's.
const AGAIN: f64 = 0.07;
/// Standing is averaged this long before it is compared with where the lifter stood before, ms.
const ARRIVED_MS: f64 = 350.0;
/// Standing for so long after a repetition makes it final, ms.
const FINAL_MS: f64 = 230.0;
/// ... once the drop changes by less than this in [`FLAT_MS`], or after [`WAITED_MS`].
const FLAT: f64 = 0.004;
const FLAT_MS: f64 = 200.0;
const WAITED_MS: f64 = 900.0;
/// Coming up by this share of the drop and going down again is a failed attempt; a bounce is less.
const FAILED: f64 = 0.36;
/// Staying at less than this share of the drop, for so long, is another way of standing, ms.
const PLATEAU: f64 = 0.6;
const PLATEAU_MS: f64 = 1500.0;
/// The shank may look this much longer or shorter than in standing; otherwise the lifter has walked.
const GROWN: f64 = 0.14;
/// Nothing seen for so long ends whatever was going on, ms.
const GAP_MS: f64 = 1500.0;
/// A repetition takes no longer, ms.
const LONGEST_MS: f64 = 25_000.0;
/// A small drop kept for so long is another way of standing, ms.
const SLOUCH_MS: f64 = 6000.0;
/// Time constant of the signal that decides, ms.
const SMOOTH_MS: f64 = 45.0;
/// Samples kept before a repetition begins, ms.
const BEFORE_MS: f64 = 1200.0;
/// Samples kept at most; a curve that would be longer is thinned.
const KEPT: usize = 4096;

/// A causal detector: poses in, repetitions out. No allocation per frame.
///
/// A repetition goes from standing to standing. Coming half up and going down again is part of it
/// and makes it incomplete. One that the end of the recording cuts off before the lifter stands is
/// dropped, unless it had already come half up and failed: then it is reported as incomplete.
#[derive(Clone, Debug)]
pub struct Detector {
    feet: Feet,
    signal: Signal,
    station: Station,
    /// When the lifter stepped away from where the last repetition was done, ms.
    left_ms: Option<f64>,
    /// Standing here since, ms.
    stood_since: f64,
    curve: VecDeque<Sample>,
    state: State,
    phase: Phase,
    last: Option<Frame>,
    t_ms: Option<f64>,
    scale: f64,
}

#[derive(Clone, Copy, Debug)]
struct Frame {
    t_ms: f64,
    drop: f64,
    /// Change per second.
    speed: f64,
}

#[derive(Clone, Copy, Debug)]
enum State {
    Searching,
    Standing,
    Lifting(Lift),
}

#[derive(Clone, Copy, Debug)]
struct Lift {
    since_ms: f64,
    /// Largest drop so far, and when.
    deepest: f64,
    deepest_ms: f64,
    /// Smallest drop since the deepest, and when.
    highest: f64,
    highest_ms: f64,
    /// Came half up and went down again.
    failed: bool,
    /// Since when the drop has been that of standing.
    top_since: Option<f64>,
    evidence: Evidence,
    hips: bool,
    /// Stood here for so long before, ms.
    stood_ms: f64,
}

impl Default for Detector {
    fn default() -> Self {
        Self::new()
    }
}

impl Detector {
    /// A detector that has seen nothing.
    pub fn new() -> Self {
        Self {
            feet: Feet::default(),
            signal: Signal::default(),
            station: Station::default(),
            left_ms: None,
            stood_since: 0.0,
            curve: VecDeque::with_capacity(KEPT + 1),
            state: State::Searching,
            phase: Phase::Searching,
            last: None,
            t_ms: None,
            scale: 0.0,
        }
    }

    /// The phase after the last frame.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// Takes one frame.
    pub fn push(&mut self, pose: &Pose) -> Progress {
        let mut out = Progress::default();
        let dt = self.t_ms.map_or(0.0, |t| pose.t_ms - t);
        let lifting = matches!(self.state, State::Lifting(_));
        if !lifting && let Some(px) = shank(pose) {
            self.scale = if self.scale > 0.0 {
                self.scale + gain(dt, 250.0) * (px - self.scale)
            } else {
                px
            };
        }
        if self.scale <= 0.0 {
            return out;
        }
        // Frames without the lifter change nothing until they become too many.
        let stance = self.feet.push(pose, self.scale, lifting);
        if stance.seen {
            self.t_ms = Some(pose.t_ms);
        }
        if dt > GAP_MS {
            self.abandon(stance, pose.t_ms, &mut out);
        }
        match self.state {
            State::Searching => self.search(pose, stance),
            State::Standing => self.stand(pose, stance, dt, &mut out),
            State::Lifting(lift) => self.lift(pose, stance, lift, dt, &mut out),
        }
        out.phase = self.phase;
        out
    }

    /// The recording ends: a failed attempt under way is reported, any other one is dropped.
    pub fn finish(&mut self) -> Progress {
        let mut out = Progress::default();
        if let Some(t_ms) = self.t_ms {
            self.abandon(self.feet.stance(), t_ms, &mut out);
            let at = self.left_ms.unwrap_or(t_ms);
            out.withdrawn += usize::from(self.station.leave(at, false));
        }
        if out.finished.is_none() {
            let (none, rep) = self.station.spare();
            out.withdrawn += usize::from(none);
            out.finished = rep;
        }
        out.phase = self.phase;
        out
    }

    fn search(&mut self, pose: &Pose, stance: Stance) {
        self.phase = Phase::Searching;
        if !(stance.seen && stance.planted && shank(pose).is_some()) {
            return;
        }
        self.signal.anchor(pose);
        self.stood_since = pose.t_ms;
        self.curve.clear();
        self.last = None;
        self.state = State::Standing;
        self.note(pose, 0.0);
        self.phase = Phase::Standing;
    }

    fn stand(&mut self, pose: &Pose, stance: Stance, dt: f64, out: &mut Progress) {
        if !stance.planted {
            self.step(pose.t_ms);
            return;
        }
        self.phase = Phase::Standing;
        if pose.t_ms - self.stood_since > ARRIVED_MS {
            self.arrive(stance, out);
        }
        if (self.scale / self.signal.shank().max(1.0)).ln().abs() > GROWN {
            self.feet.lift();
            self.step(pose.t_ms);
            return;
        }
        let reading = self.signal.read(pose);
        let Some((drop, _)) = self.signal.drop(&reading) else {
            self.signal.follow(pose, dt, 600.0);
            return;
        };
        let frame = self.note(pose, drop);
        self.prune();
        if frame.drop > LEAVE {
            let lift = Lift {
                since_ms: pose.t_ms,
                deepest: frame.drop,
                deepest_ms: pose.t_ms,
                highest: frame.drop,
                highest_ms: pose.t_ms,
                failed: false,
                top_since: None,
                evidence: Evidence::default(),
                hips: false,
                stood_ms: pose.t_ms - self.stood_since,
            };
            self.state = State::Lifting(lift);
            self.lift_frame(pose, stance, lift, dt, frame, out);
            return;
        }
        // Up quickly (standing up from a dip that the recording began with), along slowly.
        let tau = if frame.drop < -0.02 {
            120.0
        } else if frame.drop.abs() < 0.02 && frame.speed.abs() < 0.06 {
            900.0
        } else {
            8000.0
        };
        self.signal.follow(pose, dt, tau);
    }

    fn lift(&mut self, pose: &Pose, stance: Stance, lift: Lift, dt: f64, out: &mut Progress) {
        let reading = self.signal.read(pose);
        let Some((drop, _)) = self.signal.drop(&reading) else {
            return;
        };
        let frame = self.note(pose, drop);
        self.lift_frame(pose, stance, lift, dt, frame, out);
    }

    fn lift_frame(
        &mut self,
        pose: &Pose,
        stance: Stance,
        mut lift: Lift,
        dt: f64,
        frame: Frame,
        out: &mut Progress,
    ) {
        let reading = self.signal.read(pose);
        let source = self.signal.drop(&reading).map(|(_, s)| s);
        self.signal.learn(&reading);
        lift.hips |= source.is_some_and(|s| s != Source::Knees);
        let Frame { t_ms, drop, speed } = frame;
        if drop >= lift.deepest {
            (lift.deepest, lift.deepest_ms) = (drop, t_ms);
            (lift.highest, lift.highest_ms) = (drop, t_ms);
        } else if drop < lift.highest {
            (lift.highest, lift.highest_ms) = (drop, t_ms);
        }
        let risen = lift.deepest - lift.highest;
        if risen > FAILED * lift.deepest
            && lift.highest > NEAR_TOP * lift.deepest
            && drop - lift.highest > 0.25 * lift.deepest
        {
            lift.failed = true;
            (lift.highest, lift.highest_ms) = (drop, t_ms);
        }
        let deep = drop > 0.8 * lift.deepest;
        lift.evidence.add(&reading, deep, stance.seen);
        self.phase = if deep && (speed.abs() < 0.12 || drop > 0.96 * lift.deepest && speed < 0.1) {
            Phase::Bottom
        } else if speed > 0.02 || drop >= lift.deepest {
            Phase::Down
        } else {
            Phase::Up
        };
        self.state = State::Lifting(lift);

        let near_top = lift.highest < NEAR_TOP * lift.deepest;
        if !stance.planted {
            // Stepping away at the top is after the repetition; otherwise it is none.
            if near_top && lift.deepest >= LEAST {
                self.finalise(lift, stance, t_ms, out);
            } else {
                self.abandon(stance, t_ms, out);
            }
            self.step(t_ms);
            return;
        }
        let top = (TOP * lift.deepest).max(0.02);
        if drop < top {
            lift.top_since.get_or_insert(t_ms);
        } else if drop > top + 0.03 {
            lift.top_since = None;
        }
        self.state = State::Lifting(lift);
        let rested = lift.top_since.is_some_and(|t| {
            t_ms - t >= WAITED_MS || t_ms - t >= FINAL_MS && self.rise(t_ms) < FLAT
        });
        let again = near_top && drop > lift.highest + AGAIN.max(0.2 * lift.deepest);
        let settled = near_top && t_ms - lift.highest_ms > FINAL_MS && speed.abs() < 0.05;
        if rested || again || settled {
            self.finalise(lift, stance, t_ms, out);
            if again {
                // The next one has begun already.
                self.state = State::Lifting(Lift {
                    since_ms: lift.highest_ms,
                    deepest: drop,
                    deepest_ms: t_ms,
                    highest: drop,
                    highest_ms: t_ms,
                    failed: false,
                    top_since: None,
                    evidence: Evidence::default(),
                    hips: lift.hips,
                    stood_ms: f64::INFINITY,
                });
            } else {
                self.state = State::Standing;
                self.phase = Phase::Standing;
                self.signal.follow(pose, dt, 300.0);
            }
            return;
        }
        // Standing otherwise than before: flat for long, well above the bottom.
        if drop < PLATEAU * lift.deepest && self.flat(t_ms) {
            lift.failed = false;
            self.finalise(lift, stance, t_ms, out);
            self.state = State::Searching;
            return;
        }
        let long = t_ms - lift.since_ms;
        let slouch = lift.deepest < 0.12 && t_ms - lift.deepest_ms > SLOUCH_MS;
        if long > LONGEST_MS || slouch {
            self.abandon(stance, t_ms, out);
        }
    }

    /// The feet leave their place.
    fn step(&mut self, t_ms: f64) {
        self.state = State::Searching;
        self.phase = Phase::Searching;
        self.left_ms.get_or_insert(t_ms);
    }

    /// The lifter stands here: what was counted elsewhere may have been a dip under the bar.
    fn arrive(&mut self, stance: Stance, out: &mut Progress) {
        let Some(place) = self.place(stance) else {
            return;
        };
        if self.station.left_for(&place) {
            let t_ms = self.left_ms.or(self.t_ms).unwrap_or(0.0);
            out.withdrawn += usize::from(self.station.leave(t_ms, true));
        }
    }

    fn place(&self, stance: Stance) -> Option<Place> {
        Some(Place {
            middle: stance.middle?,
            height: self.signal.height(),
            shank: self.scale,
        })
    }

    /// The lift under way comes to nothing, unless it is a failed attempt.
    fn abandon(&mut self, stance: Stance, t_ms: f64, out: &mut Progress) {
        if let State::Lifting(lift) = self.state {
            let near_top = lift.highest < NEAR_TOP * lift.deepest && lift.deepest >= LEAST;
            if lift.failed || near_top {
                let lift = Lift {
                    failed: lift.failed && !near_top,
                    ..lift
                };
                self.finalise(lift, stance, t_ms, out);
            }
        }
        self.feet.lift();
        self.step(t_ms);
    }

    fn finalise(&mut self, lift: Lift, stance: Stance, t_ms: f64, out: &mut Progress) {
        let candidate = Candidate {
            drop: 0.0,
            stood_ms: lift.stood_ms,
            bent: lift.evidence.bent(),
        };
        // A bend to the camera follows on the last step, a squat on a moment of standing.
        let hasty = self.station.fresh() && lift.stood_ms < STOOD_MS;
        let none = lift.evidence.stiff() || candidate.bent && hasty || !lift.evidence.feet();
        if lift.deepest < LEAST || none {
            return;
        }
        let curve = self.curve.make_contiguous();
        let from = curve.partition_point(|s| s.t_ms < lift.since_ms);
        let to = curve.partition_point(|s| s.t_ms <= t_ms).saturating_sub(1);
        let Some(times) = refine(curve, from, to) else {
            return;
        };
        // More than the whole height is no lifter: somebody too close to the camera to be read.
        if !(LEAST..if lift.hips { 0.95 } else { 9.0 }).contains(&times.depth)
            || times.end_ms - times.start_ms < SHORTEST_MS
        {
            return;
        }
        self.arrive(stance, out);
        let rep = Repetition {
            start_ms: times.start_ms,
            bottom_ms: times.bottom_ms,
            bottom_end_ms: times.bottom_end_ms,
            end_ms: times.end_ms,
            depth: lift.hips.then_some(times.depth),
            shallow: times.depth < SHALLOW,
            complete: !lift.failed,
        };
        self.station.add(
            rep,
            Candidate {
                drop: times.depth,
                ..candidate
            },
            self.place(stance),
        );
        self.left_ms = None;
        out.finished = Some(rep);
        // The standing after it is the standing before the next one.
        let keep = self
            .curve
            .partition_point(|s| s.t_ms < times.end_ms - 300.0);
        self.curve.drain(..keep);
    }

    /// The drop has not changed for [`PLATEAU_MS`].
    fn flat(&self, t_ms: f64) -> bool {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for s in self.curve.iter().rev() {
            low = low.min(s.drop);
            high = high.max(s.drop);
            if high - low > 0.05 {
                return false;
            }
            if t_ms - s.t_ms > PLATEAU_MS {
                return true;
            }
        }
        false
    }

    /// How much the drop has shrunk from the [`FLAT_MS`] before the last to the last.
    fn rise(&self, t_ms: f64) -> f64 {
        let mut sums = [(0.0, 0.0); 2];
        for s in self.curve.iter().rev() {
            let k = ((t_ms - s.t_ms) / FLAT_MS) as usize;
            let Some(sum) = sums.get_mut(k) else { break };
            sum.0 += s.drop;
            sum.1 += 1.0;
        }
        match sums {
            [(a, n), (b, m)] if n > 0.0 && m > 0.0 => b / m - a / n,
            _ => 0.0,
        }
    }

    /// Keeps a sample; gives the smoothed frame.
    fn note(&mut self, pose: &Pose, drop: f64) -> Frame {
        if self.curve.len() >= KEPT {
            let mut odd = false;
            self.curve.retain(|_| {
                odd = !odd;
                odd
            });
        }
        self.curve.push_back(Sample {
            t_ms: pose.t_ms,
            drop,
        });
        let frame = match self.last {
            None => Frame {
                t_ms: pose.t_ms,
                drop,
                speed: 0.0,
            },
            Some(last) => {
                let dt = pose.t_ms - last.t_ms;
                let smooth = last.drop + gain(dt, SMOOTH_MS) * (drop - last.drop);
                let speed = (smooth - last.drop) / (dt / 1e3).max(1e-3);
                Frame {
                    t_ms: pose.t_ms,
                    drop: smooth,
                    speed: last.speed + gain(dt, 90.0) * (speed - last.speed),
                }
            }
        };
        self.last = Some(frame);
        frame
    }

    fn prune(&mut self) {
        let Some(last) = self.curve.back().copied() else {
            return;
        };
        while self
            .curve
            .front()
            .is_some_and(|s| last.t_ms - s.t_ms > BEFORE_MS)
        {
            self.curve.pop_front();
        }
    }
}

/// What the detector makes of things, in a line, for looking into a set.
impl fmt::Display for Detector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (drop, speed) = self
            .last
            .map_or((f64::NAN, f64::NAN), |l| (l.drop, l.speed));
        let away = self.feet.stance().away;
        write!(f, "drop {drop:.3} speed {speed:.2} feet {away:.2}")?;
        match self.state {
            State::Searching => write!(f, " searching"),
            State::Standing => write!(f, " standing"),
            State::Lifting(lift) => write!(
                f,
                " lifting, deepest {:.3}, back to {:.3}, {}",
                lift.deepest, lift.highest, lift.evidence
            ),
        }
    }
}
