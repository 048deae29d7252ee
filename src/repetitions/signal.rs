//! How far the lifter has gone down, from whatever is seen.
//!
//! Every joint is compared with its own place in standing, so that one that comes or goes
//! (a hidden leg, a plate before the hip) does not move the signal. Hips, shoulders and head are
//! brought to the hips' drop by how these went together so far, and joints that disagree with the
//! rest and with the last frame weigh little. The camera stands still and the feet are planted, so
//! no ground point is needed and none adds its noise.

use super::agree::{Said, agree};
use super::feet::gain;
pub(super) use super::knees::bent;
use super::knees::{Knees, travel};
use super::late::Late;
use super::posture::{hands_low, hips_above_ankles};
use super::relation::Relation;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::{Pose, mean};
use glam::DVec2;

/// What the drop was read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Source {
    /// Hips, shoulders, head: as many as were seen.
    Body,
    /// The knees (feet and shins only).
    Knees,
}

/// One frame's reading; lengths are fractions of the pelvis' standing height above the ankles.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// How far the lifter has gone down, and from what.
    pub drop: Option<(f64, Source)>,
    /// Drop of the hips' middle, and whether both are seen.
    pub hips: Option<f64>,
    pub pair: bool,
    /// Drop of the shoulders' middle.
    pub shoulders: Option<f64>,
    /// Drop of the head.
    pub head: Option<f64>,
    /// Drops of hips and shoulders, medians of the last few frames that show both.
    pub both: Option<[f64; 2]>,
    /// How far the knees have moved in the picture, shank lengths.
    pub knees: Option<f64>,
    /// A hand is below the knees.
    pub hands_low: bool,
}

/// Places of the joints in standing, and how the sources compare.
#[derive(Clone, Debug)]
pub(crate) struct Signal {
    pub(super) at: [Option<DVec2>; Joint::COUNT],
    /// Time that the places come from, ms.
    pub(super) over_ms: f64,
    /// Share of the late frames in which each joint was seen.
    pub(super) seen: [f64; Joint::COUNT],
    pub(super) t_ms: Option<f64>,
    /// Pelvis height above the ankles, px.
    pub(super) height: f64,
    /// Shank length, px.
    pub(super) shank: f64,
    pub(super) shoulders: Relation,
    pub(super) head: Relation,
    pub(super) knees: Knees,
    /// The last drop and its change a second.
    pub(super) last: Option<(f64, f64)>,
    pub(super) read: Reading,
    pub(super) late: Late,
    /// What is read, by what was seen in standing.
    pub(super) source: Option<Source>,
}

/// Hips' drop in a squat that takes the shoulders, or the head, down by 0.66 (trunk lean about 40
/// degrees).
const SHOULDERS: f64 = 0.54;
const HEAD: f64 = 0.53;
/// Weights of a hip, a shoulder and a point of the head.
const WEIGHTS: [f64; 3] = [1.0, 0.5, 0.12];
/// A joint seen in fewer of the late frames is not relied on, and the time they cover, ms.
pub(super) const MOSTLY: f64 = 0.5;
const SEEN_MS: f64 = 300.0;
/// Hips this high, by their height in standing, are those of a lifter who stands.
const UPRIGHT: f64 = 0.96;

/// Hips at this part of their height in standing are those of a lifter who stands.
pub(super) fn upright(tall: f64) -> bool {
    tall > UPRIGHT
}

impl Default for Signal {
    fn default() -> Self {
        Self {
            at: [None; Joint::COUNT],
            over_ms: 0.0,
            seen: [0.0; Joint::COUNT],
            t_ms: None,
            height: 0.0,
            shank: 0.0,
            shoulders: Relation::new(SHOULDERS),
            head: Relation::new(HEAD),
            knees: Knees::default(),
            last: None,
            read: Reading::default(),
            late: Late::default(),
            source: None,
        }
    }
}

impl Signal {
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

    /// Reads a pose against standing; `dt` ms after the last one.
    pub fn read(&mut self, pose: &Pose, dt: f64) -> Reading {
        let knee = |side| {
            let joint = Joint::of(Part::Knee, side);
            Some((pose.at(joint)? - self.at[joint.index()]?) / self.shank.max(1.0))
        };
        let moved = Side::BOTH.map(knee);
        let travel = self.knees.push(moved, pose.t_ms);
        let far = moved.map(|d| d.map(DVec2::length).filter(|k| k.is_finite()));
        let expect = self.last.map(|(d, v)| d + v * (dt / 1e3).min(0.3));
        let one = |joint: Joint| -> Option<f64> {
            let (p, q) = (self.at[joint.index()]?, pose.at(joint)?);
            Some((q.y - p.y) / self.height)
        };
        let drop = match self.source {
            Some(Source::Body) => self.body(&one, expect).map(|d| (d, Source::Body)),
            Some(Source::Knees) => travel.map(|k| (bent(k), Source::Knees)),
            None => None,
        };
        if let Some((d, _)) = drop {
            let speed = self.last.map_or(0.0, |(before, v)| {
                let now = ((d - before) / (dt / 1e3).max(1e-3)).clamp(-3.0, 3.0);
                v + gain(dt, 60.0) * (now - v)
            });
            self.last = Some((d, speed));
        }
        let both = |part: Part, relation: Option<&Relation>| {
            let side = |s| one(Joint::of(part, s));
            let near = |d: f64| {
                let as_hips = relation.map_or(d, |r| r.hips(d));
                drop.map_or(0.0, |(b, _)| (as_hips - b).abs())
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
            knees: mean(far),
            hands_low: hands_low(pose),
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
        let mut list = [Said::default(); 10];
        let mut n = 0;
        let mut add = |said: Said| {
            if let Some(slot) = list.get_mut(n) {
                *slot = said;
                n += 1;
            }
        };
        let mut see = |joint: Joint, weight: f64, relation: Option<&Relation>| {
            if self.seen[joint.index()] > MOSTLY
                && let Some(d) = one(joint)
            {
                let drop = relation.map_or(d, |r| r.hips(d));
                add(Said {
                    drop,
                    weight: weight * relation.map_or(1.0, Relation::trust),
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
        agree(list.get_mut(..=n)?, n, expect)
    }

    /// The hips are as high above the ankles as in standing, when everything looks `larger` by this
    /// factor than it did there.
    pub fn upright(&self, pose: &Pose, larger: f64) -> bool {
        self.tall(pose, larger).is_some_and(upright)
    }

    /// Height of the hips above the ankles as a part of that in standing, likewise.
    pub fn tall(&self, pose: &Pose, larger: f64) -> Option<f64> {
        Some(hips_above_ankles(pose)? / (larger * self.height).max(1.0))
    }

    /// Nothing above the knees is seen in standing; hips that come into the picture further down
    /// have no standing to be compared with.
    pub fn knees_only(&self) -> bool {
        self.source == Some(Source::Knees)
    }

    /// The hips were in sight in standing.
    pub fn hips_stood(&self) -> bool {
        Side::BOTH
            .iter()
            .any(|&s| self.at[Joint::of(Part::Hip, s).index()].is_some())
    }

    /// A lift begins.
    pub fn begin(&mut self) {
        self.knees.begin();
    }

    /// A frame of a lift: learns how the sources compare.
    pub fn learn(&mut self, reading: &Reading, deep: bool, dt: f64) {
        if let Some((d, Source::Knees)) = reading.drop
            && deep
        {
            self.knees.deep(travel(d));
        }
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
