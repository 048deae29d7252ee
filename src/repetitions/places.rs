//! Where the joints are in standing: taken, moved along, followed.

use super::feet::gain;
use super::late::Late;
use super::posture::shank;
use super::signal::{MOSTLY, Signal, Source};
use crate::keypoints::{Joint, Part, Side};
use crate::pose::{Pose, mean};
use glam::DVec2;

/// A body seen in fewer of the late frames is not seen.
const HARDLY: f64 = 0.2;
/// Having stood for less than this, the places in standing are the mean so far, ms.
const FRESH_MS: f64 = 500.0;
/// Pelvis height above the ankles over shank length, 2.05 from segment lengths 0.285 and 0.246 of
/// stature for knee and shank (Drillis & Contini 1966).
const PELVIS_PER_SHANK: f64 = 2.0;
/// Hips and shoulders that look this broad together, shank lengths, show it when the lifter is farther
/// away: 1.5 from the front, next to nothing from the side.
const BROAD: f64 = 0.6;
/// Heel to big toe over shank length (0.74 of a foot of 0.152 against 0.246 of stature, same).
pub(super) const FOOT_PER_SHANK: f64 = 0.5;

impl Signal {
    /// Takes `pose` as standing, whatever came before; `elsewhere` than before.
    pub fn anchor(&mut self, pose: &Pose, elsewhere: bool) {
        for joint in Joint::ALL {
            self.at[joint.index()] = pose.at(joint);
        }
        if elsewhere {
            self.knees.forget();
        }
        self.last = None;
        self.late = Late::default();
        self.over_ms = 0.0;
        self.look();
        self.measure(pose, 1.0);
    }

    /// The feet were set anew nearby: standing is where it was, moved along with them.
    pub fn shift(&mut self, by: DVec2) {
        for at in self.at.iter_mut().flatten() {
            *at += by;
        }
    }

    /// Lets the places in standing follow `pose` with the time constant `tau` ms; when it shows
    /// `quiet` standing, quicker while the lifter has only just come to stand. Gives the share of the
    /// way that they went.
    pub fn follow(&mut self, pose: &Pose, dt: f64, tau: f64, quiet: bool) -> f64 {
        self.over_ms += dt;
        let mut share = gain(dt, tau);
        if quiet && self.over_ms < FRESH_MS {
            share = share.max(dt / (self.over_ms + dt).max(1.0));
        }
        for joint in Joint::ALL {
            let at = &mut self.at[joint.index()];
            match (&at, pose.at(joint)) {
                (Some(p), Some(q)) => *at = Some(*p + share * (q - *p)),
                (None, Some(q)) => *at = Some(q),
                _ => {}
            }
        }
        if quiet {
            self.look();
        }
        self.measure(pose, share);
        share
    }

    /// Settles what is read: of a body that is hardly ever seen in standing, the knees.
    fn look(&mut self) {
        let joints = [Part::Hip, Part::Shoulder].into_iter();
        let pairs = joints.flat_map(|p| Side::BOTH.map(|s| Joint::of(p, s)));
        let all = Joint::ALL[..5].iter().copied().chain(pairs);
        let most = all.map(|j| self.seen[j.index()]).fold(0.0, f64::max);
        self.source = if most > MOSTLY {
            Some(Source::Body)
        } else if most < HARDLY {
            Some(Source::Knees)
        } else {
            self.source
        };
    }

    fn measure(&mut self, pose: &Pose, share: f64) {
        if let Some(shank) = shank(pose) {
            self.shank = if self.shank > 0.0 && share < 1.0 {
                self.shank + share * (shank - self.shank)
            } else {
                shank
            };
        }
        let ankle = self.mean_y(Part::Ankle);
        let height = match (ankle, self.mean_y(Part::Hip), self.mean_y(Part::Shoulder)) {
            (Some(a), Some(h), _) if a > h && self.used(Part::Hip) => a - h,
            // Shoulders stand about 1.6 pelvis heights above the ankles.
            (Some(a), _, Some(s)) if a > s && self.used(Part::Shoulder) => (a - s) / 1.6,
            _ => PELVIS_PER_SHANK * self.shank,
        };
        // A pose in the middle of a bend is no measure of a body.
        self.height = crate::order::within(height, 1.3 * self.shank, 3.2 * self.shank).max(1.0);
        let feet = Side::BOTH.map(|side| {
            let toe = self
                .of(Part::BigToe, side)
                .or(self.of(Part::SmallToe, side))?;
            let heel = self.of(Part::Heel, side)?;
            Some((toe.x - heel.x) / (FOOT_PER_SHANK * self.shank.max(1.0)))
        });
        let ankles = Side::BOTH.map(|s| self.of(Part::Ankle, s));
        self.knees.stand(ankles, feet, self.shank);
    }

    /// How broad hips and shoulders look, as a part of what they did in standing; `None` where that
    /// hardly shows.
    pub fn breadth(&self, pose: &Pose) -> Option<f64> {
        let (mut now, mut then) = (0.0, 0.0);
        for part in [Part::Hip, Part::Shoulder] {
            let places = Side::BOTH.map(|s| Some((self.of(part, s)?, pose.of(part, s)?)));
            if let [Some((a, p)), Some((b, q))] = places {
                then += (a - b).length();
                now += (p - q).length();
            }
        }
        (then > BROAD * self.shank).then_some(now / then)
    }

    fn of(&self, part: Part, side: Side) -> Option<DVec2> {
        self.at[Joint::of(part, side).index()]
    }

    fn mean_y(&self, part: Part) -> Option<f64> {
        mean(Side::BOTH.map(|s| self.of(part, s).map(|p| p.y)))
    }
}
