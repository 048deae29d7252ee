//! Finds standing, and keeps to it until the lifter goes down or steps away.

use super::detector::{Detector, Now, State};
use super::lift::Lift;
use super::phase::{Phase, Progress};
use super::posture::{hips_above_knees, shank};
use super::under_way::ELSEWHERE;

/// A drop of this size starts a possible repetition, fraction of the pelvis' standing height.
const LEAVE: f64 = 0.05;
/// The same, read from the knees.
const LEAVE_KNEES: f64 = 0.035;
/// Standing is averaged this long before it is compared with where the lifter stood before, ms.
const ARRIVED_MS: f64 = 350.0;
/// Feet that moved less have not, shank lengths.
const UNMOVED: f64 = 0.04;

impl Detector {
    /// Looks for feet that stay where they are: the lifter stands.
    #[inline(never)]
    pub(super) fn search(&mut self, now: &Now) {
        self.phase = Phase::Searching;
        let Now { pose, stance, .. } = now;
        // Ankles that are out of the picture are not missed once the lifter's size is known.
        let legs =
            shank(pose).is_some() || self.signal.height() > 0.0 && hips_above_knees(pose).is_some();
        if !(stance.seen && stance.planted && legs) {
            return;
        }
        let larger = self.home.larger(self.scale);
        match self.home.moved(&self.feet, self.scale, pose.t_ms) {
            // Back where standing is known from: the feet were set anew, or lost for a moment. How
            // they moved tells less than seeing the lifter stand upright.
            Some(moved)
                if moved.length() < UNMOVED * self.scale || !self.signal.upright(pose, larger) =>
            {
                self.signal.shift(moved);
            }
            at_home => {
                self.signal.anchor(pose, at_home.is_none());
                self.home.take(self.scale);
            }
        }
        self.feet.settle_home();
        self.home.watch();
        self.stood_since = pose.t_ms;
        self.curve.clear();
        self.state = State::Standing;
        self.phase = Phase::Standing;
    }

    /// The lifter stands, and may begin to go down.
    #[inline(never)]
    pub(super) fn stand(&mut self, now: &Now, out: &mut Progress) {
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
            out.finished = out.finished.or(self.station.overdue(pose.t_ms));
        }
        self.home.planted(pose.t_ms);
        let walked = self.home.walked(&self.feet, self.scale, pose.t_ms, dt);
        if walked && !self.signal.knees_only() {
            self.feet.lift();
            self.home.lose();
            self.step(pose.t_ms);
            return;
        }
        // Somebody else, for the moment that it takes until these feet have stepped, or for good.
        if stance.seen && stance.away > ELSEWHERE {
            return;
        }
        let reading = self.signal.read(pose, dt);
        let Some((drop, _)) = reading.drop else {
            self.signal.follow(pose, dt, 600.0, true);
            return;
        };
        let own = reading.own();
        let frame = self.curve.note(pose.t_ms, drop, own);
        self.curve.prune();
        let leave = if self.signal.knees_only() {
            LEAVE_KNEES
        } else {
            LEAVE
        };
        if frame.drop > leave {
            let mut lift = Lift::new(pose.t_ms, frame, pose.t_ms - self.stood_since);
            self.signal.begin();
            self.home.watch();
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
        let share = self.signal.follow(pose, dt, tau, quiet);
        self.curve.sink(share, drop, own);
    }
}
