//! Follows a lift that is under way, and says when it is over.

use super::curve::Frame;
use super::detector::{Detector, Now, State};
use super::judge::{STOOD_MS, least};
use super::lift::{CREPT_MS, Lift};
use super::phase::{Phase, Progress};
use super::posture::shank;
use super::signal::{Reading, upright};

/// Standing for so long after a repetition makes it final, ms.
const FINAL_MS: f64 = 230.0;
/// ... once the drop changes by less than this in [`FLAT_MS`].
const FLAT: f64 = 0.004;
const FLAT_MS: f64 = 200.0;
/// Staying at less than this share of the drop, for so long, is another way of standing, ms.
const PLATEAU: f64 = 0.6;
const PLATEAU_MS: f64 = 1500.0;
/// A drop that stays within this band is flat.
const BAND: f64 = 0.05;
/// Feet that were lost sight of in a lift are back after so long, or the lifter has gone, ms.
const ADRIFT_MS: f64 = 1200.0;
/// Feet that leave their place at a smaller drop have stepped.
pub(super) const STANDING_STILL: f64 = 0.15;
/// Feet this far from their place at once, or knees that lean so far, are another's, shank lengths.
pub(super) const ELSEWHERE: f64 = 0.5;
const LEANING: f64 = 0.9;
/// ... and nobody is taller than in standing.
const TALLER: f64 = -0.05;
/// A repetition takes no longer, ms.
const LONGEST_MS: f64 = 25_000.0;
/// A drop this small kept for so long, or for [`PLATEAU_MS`] after a step, is standing, ms.
const SLOUCH: f64 = 0.12;
const SLOUCH_MS: f64 = 6000.0;

impl Detector {
    #[inline(never)]
    pub(super) fn lift(&mut self, now: &Now, mut lift: Lift, out: &mut Progress) {
        let &Now { pose, stance, dt } = now;
        if !stance.planted {
            // Stepping away at the top is after the repetition; otherwise the feet may only have
            // been lost sight of.
            let since = *lift.adrift.get_or_insert(pose.t_ms);
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
        if lift.adrift.take().is_some() {
            // Within the time that they may be out of sight, only their place tells.
            let back = self.home.moved(&self.feet, self.scale, pose.t_ms);
            if back.is_none() {
                self.abandon(stance, pose.t_ms, out);
                return;
            }
        }
        self.home.planted(pose.t_ms);
        let reading = self.signal.read(pose, dt);
        let foreign = stance.away > ELSEWHERE
            || reading.knees.is_some_and(|k| k > LEANING)
            || reading.drop.is_some_and(|(drop, _)| drop < TALLER);
        let foreign = lift.foreign(foreign, pose.t_ms);
        if let Some((drop, _)) = reading.drop.filter(|_| !foreign) {
            let frame = self.curve.note(pose.t_ms, drop, reading.own());
            self.follow(now, &mut lift, frame, &reading, out);
            return;
        }
        if stance.seen {
            lift.evidence.miss();
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
    pub(super) fn follow(
        &mut self,
        now: &Now,
        lift: &mut Lift,
        frame: Frame,
        reading: &Reading,
        out: &mut Progress,
    ) {
        let &Now { pose, stance, dt } = now;
        let Frame { t_ms, drop, speed } = frame;
        // The next one has begun already: none of its frames is this one's.
        let again = lift.again(drop);
        let tall = shank(pose).and_then(|px| self.signal.tall(pose, self.home.larger(px)));
        if !again {
            lift.follow(frame, reading, stance.seen, stance.away);
            lift.stands(tall, drop, dt);
            lift.looks(self.signal.breadth(pose), dt);
        }
        if !lift.evidence.bent() {
            self.signal.learn(reading, lift.deep(drop), dt);
        }
        self.phase = lift.phase(frame);
        self.state = State::Lifting(*lift);
        let rested = lift
            .top_since
            .is_some_and(|t| t_ms - t >= FINAL_MS && self.curve.rise(t_ms, FLAT_MS) < FLAT);
        let settled = lift.near_top() && t_ms - lift.highest_ms > FINAL_MS && speed.abs() < 0.05;
        if rested || again || settled || lift.waited(t_ms) {
            // Over a gap in the frames the next one may have got far.
            let until_ms = if again { lift.highest_ms } else { t_ms };
            self.finalise(*lift, stance, until_ms, out);
            if again {
                let next = Lift::new(lift.highest_ms, frame, f64::INFINITY);
                self.signal.begin();
                self.state = State::Lifting(next);
            } else {
                self.state = State::Standing;
                self.phase = Phase::Standing;
                let share = self.signal.follow(pose, dt, 300.0, false);
                self.curve.sink(share, drop, reading.own());
            }
            return;
        }
        // Coming up slowly from a small one is no standing.
        let band = BAND.min(0.3 * lift.deepest);
        // Standing otherwise than before: flat for long, well above the bottom.
        if drop < PLATEAU * lift.deepest && self.curve.flat(t_ms, PLATEAU_MS, band) {
            lift.failed = false;
            self.finalise(*lift, stance, t_ms, out);
            self.home.lose();
            self.state = State::Searching;
            return;
        }
        let long = t_ms - lift.since_ms;
        // Standing before it is flat too, and a slow way down begins hardly steeper.
        let flat = lift.small() && long > PLATEAU_MS && self.curve.flat(t_ms, PLATEAU_MS, BAND);
        let slouch = lift.deepest < SLOUCH
            && (t_ms - lift.deepest_ms > SLOUCH_MS
                || lift.stood_ms < STOOD_MS && flat && tall.is_some_and(upright));
        let stands = lift.body
            && (lift.deepest < least(true) && flat
                || (lift.crept(t_ms) || lift.shrunk()) && self.curve.flat(t_ms, CREPT_MS, BAND));
        if long > LONGEST_MS || slouch || stands {
            self.abandon(stance, t_ms, out);
            self.home.lose();
        }
    }
}
