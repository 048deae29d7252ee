//! One person followed from frame to frame.

use super::jumps::{Jumps, Places, calm};
use super::pair::mean;
use super::sides::Sides;
use super::types::Pose;
use crate::decay::approach;
use crate::keypoints::{Joint, Part, Side};
use glam::DVec2;

/// Somebody is looked for this many body sizes from the last place, and more as time passes.
const REACH: f64 = 0.35;
/// A body's size may change by this factor's logarithm at once.
const GROWTH: f64 = 0.5;
/// A shank is no shorter than this part of a whole body's largest extent: seen from above, it looks
/// shorter in a squat. Arms overhead make a body 5.2 shanks large.
const SHANK: f64 = 0.18;
/// Standing still means moving less than this many shank lengths a second.
const STILL: f64 = 0.35;

/// Time constants of the feet's averages, s.
const FEET_S: [f64; 2] = [0.1, 0.3];
/// Time constant of getting smaller, s, and of standing taller than ever: somebody else's points
/// are mixed in for a moment.
const FULL_S: f64 = 5.0;
const TALL_S: f64 = 0.3;
/// Time constant of the shank's length, s.
const SHANK_S: f64 = 0.316;
/// A whole body that goes further than this at once, shank lengths, and every joint alike within this and
/// for no longer than this, ms, was not moved by anybody: the camera was knocked.
const JOLT: (f64, f64, f64) = (0.2, 0.12, 140.0);
/// A joint's last place stands in for it for so long, ms.
const KEPT_MS: f64 = 1000.0;
/// Being down in a squat takes longer than this, ms.
const SQUAT_MS: f64 = 300.0;

/// Middle and size of what is seen of somebody, px, see [`extent`].
pub(super) type Extent = (DVec2, f64);

/// A person's track.
#[derive(Clone, Copy, Debug)]
pub(super) struct Person {
    at: Places,
    jumps: Jumps,
    sides: Sides,
    /// Shank length, px.
    pub scale: f64,
    /// Extent in the picture, px: now, and the largest of late. Bending down or partly out of the
    /// picture makes nobody smaller.
    pub size: f64,
    pub full: f64,
    /// Middle of the points, px.
    pub centre: DVec2,
    velocity: DVec2,
    /// Where the feet are, averaged over a short and a longer time, px: the difference tells their
    /// speed whatever the frame rate.
    feet: Option<[DVec2; 2]>,
    /// When last seen, ms.
    pub t_ms: f64,
    /// Standing still since, ms.
    pub still_since: f64,
    /// Highest the hips stood above the ankles, px.
    tallest: f64,
    /// Not upright now.
    pub down: bool,
    /// Well down since, ms.
    low_since: Option<f64>,
    /// Has gone down and come up on the spot.
    pub squatted: bool,
    /// Has stood where the lifter stands in the picture, beside the lifter.
    pub beside: bool,
}

impl Person {
    /// Starts with a pose; `None` when it shows too little to follow.
    pub fn new(pose: &Pose) -> Option<Self> {
        let (centre, size) = extent(pose)?;
        let mut person = Self {
            at: [None; Joint::COUNT],
            jumps: Jumps::default(),
            sides: Sides::default(),
            scale: pose.shank().unwrap_or(size / 3.5).max(1.0),
            size,
            full: size,
            centre,
            velocity: DVec2::ZERO,
            feet: None,
            down: false,
            low_since: None,
            t_ms: pose.t_ms,
            still_since: pose.t_ms,
            tallest: 0.0,
            squatted: false,
            beside: false,
        };
        person.remember(pose);
        Some(person)
    }

    /// Goes on from `pose`, wherever that is: what was followed of late was somebody else.
    pub fn resume(&mut self, pose: &Pose) {
        if let Some(fresh) = Self::new(pose) {
            *self = Self {
                tallest: self.tallest,
                squatted: self.squatted,
                still_since: self.still_since,
                ..fresh
            };
        }
    }

    /// Has stood still for so long when last seen, ms.
    pub fn stood_ms(&self) -> f64 {
        self.t_ms - self.still_since
    }

    /// This pose has a [`Person::cost`] for certain, which is more work: no point is farther from
    /// its last place, or from where the body was heading, than the cost's reach.
    pub fn is_near(&self, pose: &Pose) -> bool {
        let gap_s = (pose.t_ms - self.t_ms) / 1e3;
        let lead = self.velocity.length() * gap_s;
        // Points that can't have leapt are within 1.2 shank lengths of their last places by then.
        gap_s < 0.1
            && lead < REACH * self.scale
            && calm(pose, &self.at, self.scale)
                .is_some_and(|all| all.since_ms == self.t_ms && all.joints >= 3)
    }

    /// How far the camera's knock has taken this pose from where the person was in the last frame, px. Nobody
    /// else stands just so.
    pub fn jolt(&self, pose: &Pose) -> Option<DVec2> {
        if pose.t_ms - self.t_ms > JOLT.2 {
            return None;
        }
        let moves = |joint: Joint| {
            let (at, _) = self.at[joint.index()].filter(|a| a.1 == self.t_ms)?;
            Some(pose.at(joint)? - at)
        };
        let (mut sum, mut n) = (DVec2::ZERO, 0.0);
        for by in Joint::ALL.into_iter().filter_map(moves) {
            sum += by;
            n += 1.0;
        }
        let by = sum / f64::max(n, 1.0);
        let apart = |moved: DVec2| (moved - by).length() > JOLT.1 * self.scale;
        let alike = !Joint::ALL.into_iter().filter_map(moves).any(apart);
        (n >= 8.0 && alike && by.length() > JOLT.0 * self.scale).then_some(by)
    }

    /// Was there all the time, this much further on.
    pub fn moved(&mut self, by: DVec2) {
        self.at.iter_mut().flatten().for_each(|at| at.0 += by);
        self.feet.iter_mut().flatten().for_each(|at| *at += by);
        self.centre += by;
    }

    /// How unlikely it is that this pose of this [`extent`] is this person; `None` when it cannot be.
    #[inline(never)]
    pub fn cost(&self, pose: &Pose, (centre, size): Extent) -> Option<f64> {
        let gap_s = ((pose.t_ms - self.t_ms) / 1e3).clamp(0.0, 3.0);
        let lead = self.velocity * gap_s.min(0.4);
        let (mut sum, mut n) = (0.0, 0.0);
        for (&joint, seen) in Joint::ALL.iter().zip(&pose.joints) {
            let Some(seen) = seen else { continue };
            // Either side: they may be swapped.
            let [own, other] = [joint, joint.mirrored()].map(|j| match self.at[j.index()] {
                Some((place, t_ms)) if self.t_ms - t_ms < 500.0 => {
                    (seen.at - place - lead).length_squared()
                }
                _ => f64::INFINITY,
            });
            let d = if own < other { own } else { other };
            if d < f64::INFINITY {
                sum += d.sqrt();
                n += 1.0;
            }
        }
        let body = (self.scale * 4.0).max(1.0);
        let away = if n >= 3.0 {
            sum / n / body
        } else {
            (centre - self.centre - lead).length() / body + 0.1
        };
        let grown = if n >= 3.0 {
            0.0
        } else {
            libm::log(size / self.size.max(1.0)).abs()
        };
        (away <= REACH + 0.5 * gap_s && grown <= GROWTH + gap_s).then_some(away + 0.3 * grown)
    }

    /// Takes the person's next pose, of this [`extent`], and cleans it; `near` when it is known to
    /// [be near](Person::is_near).
    #[inline(never)]
    pub fn follow(&mut self, pose: &mut Pose, whole: Option<Extent>, near: bool) {
        let swapped = self.sides.put_right(pose, &self.at, self.scale, pose.t_ms);
        let calm = near && !swapped || calm(pose, &self.at, self.scale).is_some();
        let less = !calm && self.jumps.drop_from(pose, &self.at, self.scale);
        if calm {
            self.jumps.none_in(pose, &self.at);
        }
        if let Some((centre, size)) = if less { extent(pose) } else { whole } {
            let dt = ((pose.t_ms - self.t_ms) / 1e3).max(1e-3);
            let share = approach(dt / 0.15);
            self.velocity += share * ((centre - self.centre) / dt - self.velocity);
            if let Some(now) = self.ankles(pose) {
                let [mut short, mut long] = self.feet.unwrap_or([now; 2]);
                short += approach(dt / FEET_S[0]) * (now - short);
                long += approach(dt / FEET_S[1]) * (now - long);
                self.feet = Some([short, long]);
                if (short - long).length() > STILL * self.scale * (FEET_S[1] - FEET_S[0]) {
                    self.still_since = pose.t_ms;
                }
            }
            self.centre = centre;
            self.size += share * (size - self.size);
            let smaller = approach(dt / FULL_S) * (self.size - self.full);
            self.full = self.size.max(self.full + smaller);
        }
        self.remember(pose);
    }

    /// Middle between the ankles; one that is not seen is where it was last.
    fn ankles(&self, pose: &Pose) -> Option<DVec2> {
        let now = |s| {
            let joint = Joint::of(Part::Ankle, s);
            let last = self.at[joint.index()].filter(|p| pose.t_ms - p.1 < KEPT_MS);
            pose.at(joint).or(last.map(|p| p.0))
        };
        mean(Side::BOTH.map(now))
    }

    fn remember(&mut self, pose: &Pose) {
        for (at, seen) in self.at.iter_mut().zip(&pose.joints) {
            if let Some(seen) = seen {
                *at = Some((seen.at, pose.t_ms));
            }
        }
        let dt = (pose.t_ms - self.t_ms) / 1e3;
        if let Some(now) = pose.shank() {
            let shank = self.scale + approach(dt / SHANK_S) * (now - self.scale);
            self.scale = shank.max(SHANK * self.full).max(1.0);
        }
        self.t_ms = pose.t_ms;
        if let (Some(ankle), Some(hip)) = (pose.middle(Part::Ankle), pose.middle(Part::Hip)) {
            let tall = ankle.y - hip.y;
            if pose.t_ms - self.still_since < 600.0 {
                self.tallest = tall;
                self.low_since = None;
            }
            self.tallest += approach(dt / TALL_S) * (tall - self.tallest).max(0.0);
            self.down = tall < 0.93 * self.tallest;
            if tall < 0.8 * self.tallest {
                // Somebody else's points mixed in last for a moment only.
                let since = *self.low_since.get_or_insert(pose.t_ms);
                self.squatted |= pose.t_ms - since > SQUAT_MS;
            } else {
                self.low_since = None;
            }
        }
    }
}

/// Middle and extent of the seen points, px; `None` with fewer than three.
#[inline(never)]
pub(super) fn extent(pose: &Pose) -> Option<Extent> {
    let (mut low, mut high, mut sum, mut n) =
        (DVec2::INFINITY, DVec2::NEG_INFINITY, DVec2::ZERO, 0.0);
    for seen in pose.joints.iter().flatten() {
        low = low.min(seen.at);
        high = high.max(seen.at);
        sum += seen.at;
        n += 1.0;
    }
    (n >= 3.0).then(|| (sum / n, (high - low).length().max(1.0)))
}
