//! State machine that counts repetitions as they happen: searching for standing, standing, lifting.

use super::drop_estimator::{DropEstimator, Reading};
use super::drop_signal::{DropSignal, Frame};
use super::evidence::{LEAST, SHALLOW, SHORTEST_MS, STOOD_MS};
use super::feet::{Feet, Stance, gain};
use super::instants::{SHAPE, fit_instants};
use super::lift::Lift;
use super::phase::{Phase, Progress, Repetition};
use super::position::{Position, WALKED};
use super::posture::shank;
use super::prior::Prior;
use super::rack_final::CountedLifts;
use super::rack_live::RackWatch;
use super::set_fit::BEND;
use super::shins::LiveCounter;
use crate::pose::Pose;
use std::fmt;

/// Nothing seen for so long ends whatever was going on, ms.
/// tuned: `reps`
const GAP_MS: f64 = 1500.0;
/// A drop of this size starts a possible repetition, fraction of the pelvis' standing height.
/// tuned: `reps`
const LEAVE: f64 = 0.05;
/// Standing is averaged this long before it is compared with where the lifter stood before, ms.
/// tuned: `reps`
const ARRIVED_MS: f64 = 350.0;
/// Standing for so long after a repetition makes it final, ms.
/// tuned: `reps`
const FINAL_MS: f64 = 230.0;
/// ... once the drop changes by less than this in [`FLAT_MS`].
/// tuned: `reps`
const FLAT: f64 = 0.004;
const FLAT_MS: f64 = 200.0;
/// Feet that were lost sight of in a lift are back after so long, or the lifter has gone, ms.
/// tuned: `reps`
const ADRIFT_MS: f64 = 1200.0;
/// Feet that leave their place at a smaller drop have stepped.
/// tuned: `reps`
const STANDING_STILL: f64 = 0.15;
/// A repetition takes no longer, ms.
/// tuned: `reps`
const LONGEST_MS: f64 = 25_000.0;
/// Spread of the shape of one lifter's movements, SD.
/// tuned: `reps`
const SHAPE_SD: f64 = 0.15;

/// A causal detector: poses in, repetitions out. No allocation per frame.
///
/// A repetition goes from standing to standing. Coming half up and going down again is part of it
/// and makes it incomplete. One that the end of the recording cuts off before the lifter stands is
/// dropped, unless it had already come half up and failed: then it is reported as incomplete.
#[derive(Clone, Debug)]
pub struct Detector {
    feet: Feet,
    estimator: DropEstimator,
    rack: RackWatch,
    /// Where standing was taken is still known.
    referenced: bool,
    /// When the lifter stepped away from where the last repetition was done, ms.
    left_ms: Option<f64>,
    /// Standing here since, ms.
    stood_since: f64,
    signal: DropSignal,
    state: State,
    phase: Phase,
    t_ms: Option<f64>,
    scale: f64,
    /// What is known of how the lifter moves, see [`instants`](super::instants).
    shape: (f64, f64),
    counted: CountedLifts,
    watch: LiveCounter,
}

#[derive(Clone, Copy, Debug, Default)]
#[allow(clippy::large_enum_variant)] // there is one, never in a list
enum State {
    #[default]
    Searching,
    Standing,
    Lifting(Lift),
}

/// What a detector follows from frame to frame; not a number where it is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Followed {
    /// Smoothed drop of the hips, fraction of their standing height above the ankles.
    pub drop: f64,
    /// Distance of the feet from where they were put, shank lengths.
    pub away: f64,
    /// Distance from where the last repetitions were done, shank lengths.
    pub walked: f64,
}

/// One frame on its way through the detector.
struct Now<'a> {
    pub pose: &'a Pose,
    pub stance: Stance,
    /// Since the last frame with the lifter, ms.
    pub dt: f64,
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
            estimator: DropEstimator::default(),
            rack: RackWatch::default(),
            referenced: false,
            left_ms: None,
            stood_since: 0.0,
            signal: DropSignal::default(),
            state: State::default(),
            phase: Phase::default(),
            t_ms: None,
            scale: 0.0,
            shape: SHAPE,
            counted: CountedLifts::default(),
            watch: LiveCounter::default(),
        }
    }

    /// What is followed, after the last frame.
    pub fn followed(&self) -> Followed {
        let stance = self.feet.stance();
        Followed {
            drop: self.signal.last().map_or(f64::NAN, |l| l.drop),
            away: stance.away,
            walked: self.rack.from(&self.place(stance)).unwrap_or(f64::NAN),
        }
    }

    /// The phase after the last frame.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// All repetitions of a set, once it is over, by its `poses`: `reps` became final during it. After the `last`
    /// one the recording has ended.
    pub fn recount(mut self, reps: &mut Vec<Repetition>, poses: &[Pose], last: bool) {
        if super::shins::only(poses) {
            *reps = super::shins::recount(poses);
            return;
        }
        if last {
            self.finish().bring(reps);
        }
        self.counted.drop_from(reps);
        self.counted.fit_instants(reps, &mut self.signal);
    }

    /// Takes the last of `poses`, the ones before having been taken, and brings `reps` up to date;
    /// gives the number (from 1) of the repetition that became final.
    pub fn count(&mut self, poses: &[Pose], reps: &mut Vec<Repetition>) -> Option<usize> {
        let progress = self.push(poses.last()?);
        let finished = self.watch.update(poses, reps);
        if self.watch.only {
            return finished;
        }
        progress.bring(reps);
        progress.finished.map(|_| reps.len())
    }

    /// Takes one frame.
    #[inline(never)]
    pub fn push(&mut self, pose: &Pose) -> Progress {
        let mut out = Progress::default();
        let dt = self.t_ms.map_or(0.0, |t| pose.t_ms - t);
        let lifting = matches!(self.state, State::Lifting(_));
        if !lifting && let Some(px) = shank(pose) {
            let tau = match self.state {
                State::Searching => 100.0,
                _ => 250.0,
            };
            self.scale = if self.scale > 0.0 {
                self.scale + gain(dt, tau) * (px - self.scale)
            } else {
                px
            };
        }
        if self.scale <= 0.0 {
            return out;
        }
        // Frames without the lifter change nothing until they become too many.
        let depth = match self.state {
            State::Lifting(lift) => lift.deepest,
            _ => 0.0,
        };
        let stance = self.feet.push(pose, self.scale, depth);
        if stance.seen {
            self.t_ms = Some(pose.t_ms);
            self.estimator.see(pose);
        }
        if dt > GAP_MS {
            self.abandon(stance, pose.t_ms, &mut out);
        }
        let now = Now { pose, stance, dt };
        match self.state {
            State::Searching => self.search(&now),
            State::Standing => self.stand(&now, &mut out),
            State::Lifting(lift) => self.lift(&now, lift, &mut out),
        }
        out.phase = self.phase;
        out
    }

    /// Looks for feet that stay where they are: the lifter stands.
    #[inline(never)]
    fn search(&mut self, now: &Now) {
        self.phase = Phase::Searching;
        let Now { pose, stance, .. } = now;
        if !(stance.seen && stance.planted && shank(pose).is_some()) {
            return;
        }
        self.estimator.anchor(pose, self.elsewhere());
        self.referenced = true;
        self.feet.set_reference();
        self.stood_since = pose.t_ms;
        self.signal.clear();
        self.state = State::Standing;
        self.phase = Phase::Standing;
    }

    /// The lifter stands, and may begin to go down.
    #[inline(never)]
    fn stand(&mut self, now: &Now, out: &mut Progress) {
        let &Now { pose, stance, dt } = now;
        if !stance.planted {
            self.step(pose.t_ms);
            return;
        }
        self.phase = Phase::Standing;
        if pose.t_ms - self.stood_since > ARRIVED_MS {
            self.arrive(stance, out);
        }
        if self.left_ms.is_none() {
            out.finished = out.finished.or(self.rack.overdue(pose.t_ms));
        }
        let reading = self.estimator.read(pose, dt, self.watch.only);
        let Some(drop) = reading.drop else {
            // The time of a frame without the lifter is the next one's.
            if stance.seen {
                self.estimator.follow(pose, dt, 600.0, true);
            }
            return;
        };
        let own = reading.own();
        let frame = self.signal.note(pose.t_ms, drop, own);
        self.signal.prune();
        if frame.drop > LEAVE {
            let mut lift = Lift::new(pose.t_ms, frame, pose.t_ms - self.stood_since);
            self.estimator.begin();
            self.follow(now, &mut lift, frame, &reading, out);
            return;
        }
        // Up quickly (standing up from a dip that the recording began with), along slowly.
        let quiet = frame.drop.abs() < 0.02 && frame.speed.abs() < 0.06;
        // Both: one hip alone in sight may have leapt.
        let higher = |d: Option<f64>, least: f64| d.is_none_or(|d| d < least.min(-0.01));
        let risen = higher(reading.hips, 0.0)
            && higher(reading.shoulders, 0.5 * reading.hips.unwrap_or(0.0));
        let tau = if frame.drop < -0.02 && risen {
            120.0
        } else if quiet {
            2500.0
        } else if frame.speed.abs() > 0.06 {
            20_000.0
        } else {
            8000.0
        };
        let share = self.estimator.follow(pose, dt, tau, quiet);
        self.signal.add_drift(share, drop, own);
    }

    #[inline(never)]
    fn lift(&mut self, now: &Now, mut lift: Lift, out: &mut Progress) {
        let &Now { pose, stance, dt } = now;
        if !stance.planted {
            // Stepping away at the top is after the repetition; otherwise the feet may only have
            // been lost sight of.
            let since = *lift.lost_since.get_or_insert(pose.t_ms);
            // Nobody steps in a squat; walking back from the rack lowers everything in the picture.
            let walking =
                stance.seen && lift.deepest < STANDING_STILL && !lift.evidence.leant(lift.deepest);
            self.state = State::Lifting(lift);
            if lift.done() {
                self.finalise(lift, stance, pose.t_ms, out);
                self.step(pose.t_ms);
            } else if walking || pose.t_ms - since > ADRIFT_MS {
                self.abandon(stance, pose.t_ms, out);
            }
            return;
        }
        if lift.lost_since.take().is_some() {
            // Within the time that they may be out of sight, only their place tells.
            if self.elsewhere() {
                self.abandon(stance, pose.t_ms, out);
                return;
            }
        }
        let reading = self.estimator.read(pose, dt, self.watch.only);
        if let Some(drop) = reading.drop {
            let frame = self.signal.note(pose.t_ms, drop, reading.own());
            self.follow(now, &mut lift, frame, &reading, out);
            return;
        }
        self.state = State::Lifting(lift);
        // Time goes on while the lifter is out of sight.
        if !stance.seen && lift.waited(pose.t_ms) {
            self.finalise(lift, stance, pose.t_ms, out);
            self.state = State::Standing;
            self.phase = Phase::Standing;
        }
    }

    /// A frame of a lift, read.
    fn follow(
        &mut self,
        now: &Now,
        lift: &mut Lift,
        frame: Frame,
        reading: &Reading,
        out: &mut Progress,
    ) {
        let &Now { pose, stance, dt } = now;
        let Frame { t_ms, drop, .. } = frame;
        // The next one has begun already: none of its frames is this one's.
        let again = lift.again(drop);
        if !again {
            lift.follow(frame, reading);
        }
        if self.watch.only && lift.deep(drop) {
            self.estimator.deep(drop);
        }
        if !lift.evidence.bent() {
            self.estimator.learn(reading, dt);
        }
        self.phase = lift.phase(frame);
        self.state = State::Lifting(*lift);
        let rested = lift
            .top_since
            .is_some_and(|t| t_ms - t >= FINAL_MS && self.signal.rise(t_ms, FLAT_MS) < FLAT);
        if rested || again || lift.waited(t_ms) {
            // Over a gap in the frames the next one may have got far.
            let until_ms = if again { lift.highest_ms } else { t_ms };
            self.finalise(*lift, stance, until_ms, out);
            if again {
                let next = Lift::new(lift.highest_ms, frame, f64::INFINITY);
                self.estimator.begin();
                self.state = State::Lifting(next);
            } else {
                self.state = State::Standing;
                self.phase = Phase::Standing;
                let share = self.estimator.follow(pose, dt, 300.0, false);
                self.signal.add_drift(share, drop, reading.own());
            }
            return;
        }
        if t_ms - lift.since_ms > LONGEST_MS {
            self.abandon(stance, t_ms, out);
            self.referenced = false;
        }
    }

    /// The recording ends: a failed attempt under way is reported, any other one is dropped.
    pub fn finish(&mut self) -> Progress {
        let mut out = Progress::default();
        if let Some(t_ms) = self.t_ms {
            self.abandon(self.feet.stance(), t_ms, &mut out);
            let (none, instead) = self.rack.close();
            // What became final just now is not yet the caller's.
            if none && out.finished.take().is_none() {
                out.withdrawn += 1;
            }
            out.finished = out.finished.or(instead);
        }
        out.phase = self.phase;
        out
    }

    /// The feet leave their place.
    fn step(&mut self, t_ms: f64) {
        self.state = State::Searching;
        self.phase = Phase::Searching;
        self.left_ms.get_or_insert(t_ms);
    }

    /// The lifter stands here: what was counted elsewhere may have been a dip under the bar.
    fn arrive(&mut self, stance: Stance, out: &mut Progress) {
        let place = self.place(stance);
        // Feet that never left their place have not walked, whatever lengths look like.
        if self.left_ms.is_some() && self.rack.left_for(&place) {
            out.withdrawn += usize::from(self.rack.leave());
        }
    }

    /// The feet are not where standing was taken.
    fn elsewhere(&self) -> bool {
        let far = self.feet.distance_from_reference();
        !self.referenced || far.is_none_or(|far| far >= WALKED * self.scale)
    }

    fn place(&self, stance: Stance) -> Position {
        Position {
            feet: stance.feet,
            height: self.estimator.height(),
            shank: self.scale,
        }
    }

    /// The lift under way comes to nothing, unless it is a failed attempt.
    fn abandon(&mut self, stance: Stance, t_ms: f64, out: &mut Progress) {
        if let State::Lifting(lift) = self.state
            && (lift.failed || lift.done())
        {
            let failed = lift.failed && !lift.done();
            self.finalise(Lift { failed, ..lift }, stance, t_ms, out);
        }
        self.feet.lift();
        self.step(t_ms);
    }

    fn finalise(&mut self, lift: Lift, stance: Stance, t_ms: f64, out: &mut Progress) {
        // Smoothing takes some of a small drop; the curve itself is looked at below.
        if lift.deepest < 0.92 * LEAST {
            return;
        }
        if stance.planted {
            self.arrive(stance, out);
        }
        // A bend to the camera follows on the last step, a squat on a moment of standing.
        if lift.evidence.bent() && self.rack.fresh() && lift.stood_ms < STOOD_MS {
            return;
        }
        let (signal, from, to) = self.signal.within(lift.since_ms, t_ms);
        let prior = Prior::new(self.shape, BEND);
        let beside = [f64::NEG_INFINITY, f64::INFINITY];
        let Some((times, fitted)) = fit_instants(signal, (from, to), prior, beside) else {
            return;
        };
        if times.depth < LEAST || times.end_ms - times.start_ms < SHORTEST_MS {
            return;
        }
        self.estimator.end(times.depth);
        // A lifter's way of moving differs a little from one repetition to the next.
        if let Some(shape) = fitted.map(|f| f.shape) {
            self.shape = (shape.0, shape.1.max(SHAPE_SD));
        }
        let rep = Repetition {
            start_ms: times.start_ms,
            bottom_ms: times.bottom_ms,
            bottom_end_ms: times.bottom_end_ms,
            end_ms: times.end_ms,
            depth: Some(times.depth),
            shallow: times.depth < SHALLOW,
            complete: !lift.failed,
        };
        // A bend takes shoulders and head farther than any squat would, and so does an early lean.
        let hips = lift.evidence.hips();
        let drop = hips.map_or(times.depth, |hips| times.depth.min(hips));
        let place = self.place(stance);
        self.counted.add(&rep, drop, place, self.signal.drift());
        [out.held, out.finished] = self.rack.add(rep, drop, lift.stood_ms, place);
        self.left_ms = None;
        // The standing after it is the standing before the next one.
        self.signal.keep_from(times.end_ms - 300.0);
    }
}

/// What the detector makes of things, in a line, for looking into a set.
impl fmt::Display for Detector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Followed { drop, away, walked } = self.followed();
        let speed = self.signal.last().map_or(f64::NAN, |l| l.speed);
        let Reading {
            hips,
            shoulders,
            head,
            ..
        } = self.estimator.reading();
        let [hips, shoulders, head] = [hips, shoulders, head].map(|v| v.unwrap_or(f64::NAN));
        write!(
            f,
            "drop {drop:.3} speed {speed:.2} feet {away:.2} hips {hips:.3} shoulders {shoulders:.3} \
             head {head:.3} walked {walked:.2}"
        )?;
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
