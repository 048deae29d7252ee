//! Drop of the hips below standing, from whatever is seen.
//!
//! Every joint is compared with its own reference position in standing, so that one that comes or goes (a
//! hidden leg, a plate before the hip) does not move the estimate. Drops of shoulders and head are mapped
//! to the hips' by a regression learned so far, and robust fusion gives outliers little weight. The camera
//! stands still and the feet are planted, so no ground point is needed and none adds its noise.

use super::feet::gain;
use super::fusion::{Vote, robust_fusion};
pub(super) use super::knees::drop_of_travel;
use super::knees::{KneeTravel, travel};
use super::median_filter::MedianFilter;
use super::posture::shank;
use super::regression::Regression;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::{Pose, mean};
use glam::DVec2;

/// One frame's reading; lengths are fractions of the pelvis' standing height above the ankles.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// How far the lifter has gone down.
    pub drop: Option<f64>,
    /// Drop of the hips' middle, and whether both are seen.
    pub hips: Option<f64>,
    pub pair: bool,
    /// Drop of the shoulders' middle.
    pub shoulders: Option<f64>,
    /// Drop of the head.
    pub head: Option<f64>,
    /// Drops of hips and shoulders, medians of the last few frames that show both.
    pub both: Option<[f64; 2]>,
}

/// Places of the joints in standing, and how the sources compare.
#[derive(Clone, Debug)]
pub(crate) struct DropEstimator {
    at: [Option<DVec2>; Joint::COUNT],
    /// Time that the places come from, ms.
    over_ms: f64,
    /// Share of the late frames in which each joint was seen.
    seen: [f64; Joint::COUNT],
    t_ms: Option<f64>,
    /// Pelvis height above the ankles, px.
    height: f64,
    /// Shank length, px.
    shank: f64,
    shoulders: Regression,
    head: Regression,
    knees: KneeTravel,
    /// The last drop and its change a second.
    last: Option<(f64, f64)>,
    read: Reading,
    late: MedianFilter,
}

/// Hips' drop in a squat that takes the shoulders, or the head, down by 0.66 (trunk lean about 40
/// degrees).
/// tuned: `reps`
const SHOULDERS: f64 = 0.54;
const HEAD: f64 = 0.53;
/// Weights of a hip, a shoulder and a point of the head.
/// tuned: `reps`
const WEIGHTS: [f64; 3] = [1.0, 0.5, 0.12];
/// A joint seen in fewer of the late frames is not relied on, and the time they cover, ms.
/// tuned: `reps`
const MOSTLY: f64 = 0.5;
const SEEN_MS: f64 = 300.0;
/// Having stood for less than this, the places in standing are the mean so far, ms.
/// tuned: `reps`
const FRESH_MS: f64 = 500.0;
/// Pelvis height above the ankles over shank length, 2.05 from segment lengths 0.285 and 0.246 of
/// stature for knee and shank (Drillis & Contini 1966).
/// published: Drillis & Contini 1966, rounded (from memory)
const PELVIS_PER_SHANK: f64 = 2.0;
/// Heel to big toe over shank length (0.74 of a foot of 0.152 against 0.246 of stature, same).
/// published: Drillis & Contini 1966, rounded (from memory)
pub(super) const FOOT_PER_SHANK: f64 = 0.5;
/// What shoulders and head say has less noise than the hips, but is bent more, by how the trunk leans:
/// where both hips are seen, this share of the drop is theirs alone. One hip is outweighed: it is
/// taken as it is.
/// tuned: `reps`
const OWN: f64 = 0.6;

impl Default for DropEstimator {
    fn default() -> Self {
        Self {
            at: [None; Joint::COUNT],
            over_ms: 0.0,
            seen: [0.0; Joint::COUNT],
            t_ms: None,
            height: 0.0,
            shank: 0.0,
            shoulders: Regression::new(SHOULDERS),
            head: Regression::new(HEAD),
            knees: KneeTravel::default(),
            last: None,
            read: Reading::default(),
            late: MedianFilter::default(),
        }
    }
}

impl DropEstimator {
    /// A joint of this pair was seen in most of the late frames.
    pub(super) fn used(&self, part: Part) -> bool {
        Side::BOTH
            .iter()
            .any(|&s| self.seen[Joint::of(part, s).index()] > MOSTLY)
    }

    /// Pelvis height above the ankles in standing, px: how large the lifter is in the picture.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Notes which joints are seen; once for every frame in which the lifter is.
    #[inline(never)]
    pub fn see(&mut self, pose: &Pose) {
        let dt = self.t_ms.map_or(f64::INFINITY, |t| pose.t_ms - t);
        self.t_ms = Some(pose.t_ms);
        let share = gain(dt, SEEN_MS);
        for joint in Joint::ALL {
            let now = f64::from(u8::from(pose.at(joint).is_some()));
            let seen = &mut self.seen[joint.index()];
            *seen += share * (now - *seen);
        }
    }

    /// Reads a pose against standing, `dt` ms after the last one: hips, shoulders and head, or the knees where
    /// nothing else is in the picture.
    pub fn read(&mut self, pose: &Pose, dt: f64, by_knees: bool) -> Reading {
        let knee = |side| {
            let joint = Joint::of(Part::Knee, side);
            Some((pose.at(joint)? - self.at[joint.index()]?) / self.shank.max(1.0))
        };
        let moved = Side::BOTH.map(knee);
        let travel = self.knees.push(moved, pose.t_ms);
        let expect = self.last.map(|(d, v)| d + v * (dt / 1e3).min(0.3));
        let one = |joint: Joint| -> Option<f64> {
            let (p, q) = (self.at[joint.index()]?, pose.at(joint)?);
            Some((q.y - p.y) / self.height)
        };
        let drop = if by_knees {
            travel.map(drop_of_travel)
        } else {
            self.body(&one, expect)
        };
        if let Some(d) = drop {
            let speed = self.last.map_or(0.0, |(before, v)| {
                let now = ((d - before) / (dt / 1e3).max(1e-3)).clamp(-3.0, 3.0);
                v + gain(dt, 60.0) * (now - v)
            });
            self.last = Some((d, speed));
        }
        let both = |part: Part, relation: Option<&Regression>| {
            let side = |s| one(Joint::of(part, s));
            let near = |d: f64| {
                let as_hips = relation.map_or(d, |r| r.hips(d));
                drop.map_or(0.0, |b| (as_hips - b).abs())
            };
            match Side::BOTH.map(side) {
                // Where the two disagree beyond what a tilt of the body explains, one has gone
                // astray.
                [Some(a), Some(b)] if (a - b).abs() > 0.12 => {
                    Some(if near(a) < near(b) { a } else { b })
                }
                pair => mean(pair),
            }
        };
        let head = {
            let (sum, n) = Joint::ALL[..5]
                .iter()
                .filter_map(|&j| one(j))
                .fold((0.0, 0.0), |(s, n), d| (s + d, n + 1.0));
            (n > 0.0).then(|| sum / n)
        };
        let hips = both(Part::Hip, None);
        let shoulders = both(Part::Shoulder, Some(&self.shoulders));
        self.read = Reading {
            drop,
            hips,
            pair: Side::BOTH
                .iter()
                .all(|&s| one(Joint::of(Part::Hip, s)).is_some()),
            shoulders,
            head,
            both: hips.zip(shoulders).map(|(h, s)| self.late.push([h, s])),
        };
        self.read
    }

    /// The last reading.
    pub fn reading(&self) -> Reading {
        self.read
    }

    /// The drop that hips, shoulders and head agree on.
    #[inline(never)]
    fn body(&self, one: &impl Fn(Joint) -> Option<f64>, expect: Option<f64>) -> Option<f64> {
        let mut list = [Vote::default(); 10];
        let mut n = 0;
        let mut add = |said: Vote| {
            if let Some(slot) = list.get_mut(n) {
                *slot = said;
                n += 1;
            }
        };
        let mut see = |joint: Joint, weight: f64, relation: Option<&Regression>| {
            if self.seen[joint.index()] > MOSTLY
                && let Some(d) = one(joint)
            {
                let drop = relation.map_or(d, |r| r.hips(d));
                add(Vote {
                    drop,
                    weight: weight * relation.map_or(1.0, Regression::weight),
                    joint: true,
                });
            }
        };
        for side in Side::BOTH {
            see(Joint::of(Part::Hip, side), WEIGHTS[0], None);
            let shoulder = Joint::of(Part::Shoulder, side);
            see(shoulder, WEIGHTS[1], Some(&self.shoulders));
        }
        for &joint in &Joint::ALL[..5] {
            see(joint, WEIGHTS[2], Some(&self.head));
        }
        if n == 0 {
            return None;
        }
        robust_fusion(list.get_mut(..=n)?, n, expect)
    }

    /// A lift begins.
    pub fn begin(&mut self) {
        self.knees.begin();
    }

    /// A frame near the bottom of a lift that is read from the knees.
    pub fn deep(&mut self, drop: f64) {
        self.knees.deep(travel(drop));
    }

    /// A frame of a lift: learns how the sources compare.
    pub fn learn(&mut self, reading: &Reading, dt: f64) {
        let Some(hips) = reading.hips else { return };
        if let Some(s) = reading.shoulders {
            self.shoulders.learn(s, hips, dt);
        }
        if let Some(h) = reading.head {
            self.head.learn(h, hips, dt);
        }
    }

    /// The lift counts.
    pub fn end(&mut self, depth: f64) {
        self.knees.end(travel(depth));
    }
}

impl DropEstimator {
    /// Takes `pose` as standing, whatever came before; `elsewhere` than before.
    pub fn anchor(&mut self, pose: &Pose, elsewhere: bool) {
        for joint in Joint::ALL {
            self.at[joint.index()] = pose.at(joint);
        }
        if elsewhere {
            self.knees.forget();
        }
        self.last = None;
        self.late = MedianFilter::default();
        self.over_ms = 0.0;
        self.measure(pose, 1.0);
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
        self.measure(pose, share);
        share
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

    fn of(&self, part: Part, side: Side) -> Option<DVec2> {
        self.at[Joint::of(part, side).index()]
    }

    fn mean_y(&self, part: Part) -> Option<f64> {
        mean(Side::BOTH.map(|s| self.of(part, s).map(|p| p.y)))
    }
}

impl Reading {
    /// The drop that bends as little as the hips' does; `None` where they are not seen.
    #[inline(never)]
    pub fn own(&self) -> Option<f64> {
        let hips = self.hips?;
        let own = |drop| drop + OWN * (hips - drop);
        Some(self.drop.filter(|_| self.pair).map_or(hips, own))
    }
}
