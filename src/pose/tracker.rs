//! Follows one lifter through the frames: who it is, which side is which, which points to trust.

use super::score::Scores;
use super::sides;
use super::types::{Pose, Seen};
use crate::keypoints::{Joint, Part, Setup, Side};
use glam::DVec2;

/// Below this a point counts as unseen (the contract's "about 0.3").
const UNSEEN_SCORE: f64 = 0.3;
/// Frames after which a joint that stays away from its old place is believed.
const JUMP_FRAMES: u8 = 4;
/// A joint may move this many shank lengths a second before it counts as a jump; a fast descent
/// of 0.5 s moves the hips about 4.
const FASTEST: f64 = 9.0;
/// Slack of a joint's movement between two frames, shank lengths.
const SLACK: f64 = 0.22;
/// The lifter is looked for this many body lengths from the last place, and more as time passes.
const REACH: f64 = 0.35;
/// After so long without the lifter, whoever is nearest and large enough is taken, s.
const LOST_S: f64 = 3.0;

/// Turns frames of people into the lifter's poses. Causal; no allocation per frame.
#[derive(Clone, Debug)]
pub struct PoseTracker {
    index: [Option<usize>; Joint::COUNT],
    count: usize,
    mirror_width: Option<f64>,
    scores: Scores,
    last: Option<Last>,
    away: [u8; Joint::COUNT],
    away_at: [DVec2; Joint::COUNT],
    sides: sides::Sides,
    t_ms: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
struct Last {
    t_ms: f64,
    pose: Pose,
    /// Place of each joint when last accepted, and when.
    at: [Option<(DVec2, f64)>; Joint::COUNT],
    scale: f64,
}

impl PoseTracker {
    /// A tracker for frames of this set-up.
    pub fn new(setup: &Setup) -> Self {
        Self {
            index: Joint::ALL.map(|j| setup.layout.index_of(j)),
            count: setup.layout.count(),
            mirror_width: setup.camera.mirrored.then_some(setup.image.width),
            scores: Scores::default(),
            last: None,
            away: [0; Joint::COUNT],
            away_at: [DVec2::ZERO; Joint::COUNT],
            sides: sides::Sides::default(),
            t_ms: None,
        }
    }

    /// Takes one frame's people (each in the layout's order). `None` when the time does not rise.
    pub fn push(&mut self, t_ms: f64, people: &[Vec<[f64; 3]>]) -> Option<Pose> {
        if !t_ms.is_finite() || self.t_ms.is_some_and(|t| t_ms <= t) {
            return None;
        }
        self.t_ms = Some(t_ms);
        let mut best: Option<(f64, Pose)> = None;
        let count = self.count;
        for person in people.iter().filter(|p| p.len() == count) {
            let pose = self.read(t_ms, person);
            if let Some(cost) = self.cost(&pose)
                && best.as_ref().is_none_or(|(c, _)| cost < *c)
            {
                best = Some((cost, pose));
            }
        }
        let Some((_, mut pose)) = best else {
            return Some(Pose::empty(t_ms));
        };
        if let Some(last) = &self.last {
            self.sides.put_right(&mut pose, &last.at, last.scale, t_ms);
        }
        self.drop_jumps(&mut pose);
        self.remember(&pose);
        Some(pose)
    }

    /// Forgets everybody.
    pub fn reset(&mut self) {
        self.last = None;
        self.away = [0; Joint::COUNT];
        self.sides = sides::Sides::default();
        self.scores = Scores::default();
        self.t_ms = None;
    }

    fn read(&mut self, t_ms: f64, person: &[[f64; 3]]) -> Pose {
        let mut pose = Pose::empty(t_ms);
        for joint in Joint::ALL {
            let Some(&[x, y, raw]) = self.index[joint.index()].and_then(|i| person.get(i)) else {
                continue;
            };
            let score = self.scores.normalise(raw);
            // Some estimators write 0, 0 for a missing point.
            if !(x.is_finite() && y.is_finite()) || (x == 0.0 && y == 0.0) || score < UNSEEN_SCORE {
                continue;
            }
            let (joint, x) = match self.mirror_width {
                Some(width) => (joint.mirrored(), width - x),
                None => (joint, x),
            };
            pose.joints[joint.index()] = Some(Seen {
                at: DVec2::new(x, y),
                score,
            });
        }
        pose
    }

    /// How unlikely it is that this is the lifter; `None` when it cannot be.
    fn cost(&self, pose: &Pose) -> Option<f64> {
        let size = size(pose)?;
        let Some(last) = &self.last else {
            return Some(-size);
        };
        let gap_s = (pose.t_ms - last.t_ms) / 1e3;
        let mut sum = 0.0;
        let mut n = 0.0;
        for joint in Joint::ALL {
            if let (Some(seen), Some((at, _))) = (
                pose.at(joint),
                last.at[joint.index()].or(last.at[joint.mirrored().index()]),
            ) {
                sum += (seen - at)
                    .length()
                    .min((seen - last.at[joint.mirrored().index()].map_or(at, |m| m.0)).length());
                n += 1.0;
            }
        }
        let body = last.scale * 4.0;
        let away = if n > 0.0 { sum / n / body } else { REACH * 2.0 };
        let grown = (size / (last.scale * 3.5)).ln().abs();
        if gap_s < LOST_S && (away > REACH + 0.5 * gap_s || grown > 0.9) {
            return None;
        }
        Some(away + 0.3 * grown)
    }

    fn drop_jumps(&mut self, pose: &mut Pose) {
        let Some(last) = &self.last else { return };
        for joint in Joint::ALL {
            let i = joint.index();
            let (Some(seen), Some((at, t_ms))) = (pose.joints[i], last.at[i]) else {
                continue;
            };
            let dt = (pose.t_ms - t_ms) / 1e3;
            let moved = (seen.at - at).length();
            if moved <= last.scale * (SLACK + FASTEST * dt.min(0.6)) {
                self.away[i] = 0;
                continue;
            }
            let steady = (seen.at - self.away_at[i]).length() < 0.5 * last.scale;
            self.away[i] = if self.away[i] > 0 && steady {
                self.away[i] + 1
            } else {
                1
            };
            self.away_at[i] = seen.at;
            if self.away[i] < JUMP_FRAMES {
                pose.joints[i] = None;
            } else {
                self.away[i] = 0;
            }
        }
    }

    fn remember(&mut self, pose: &Pose) {
        let mut at = self.last.map_or([None; Joint::COUNT], |l| l.at);
        for joint in Joint::ALL {
            if let Some(p) = pose.at(joint) {
                at[joint.index()] = Some((p, pose.t_ms));
            }
        }
        let scale = match (shank(pose), self.last.map(|l| l.scale)) {
            (Some(now), Some(before)) => before + 0.1 * (now - before),
            (Some(now), None) => now,
            (None, Some(before)) => before,
            (None, None) => size(pose).unwrap_or(100.0) / 3.5,
        };
        let scale = if scale.is_finite() && scale > 1.0 {
            scale
        } else {
            1.0
        };
        self.last = Some(Last {
            t_ms: pose.t_ms,
            pose: *pose,
            at,
            scale,
        });
    }

    /// The last accepted pose.
    pub fn last(&self) -> Option<&Pose> {
        self.last.as_ref().map(|l| &l.pose)
    }
}

/// Longer shank in the picture, px.
fn shank(pose: &Pose) -> Option<f64> {
    let length = |side| Some((pose.of(Part::Knee, side)? - pose.of(Part::Ankle, side)?).length());
    match (length(Side::Left), length(Side::Right)) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    }
}

/// Extent of the seen points, px; `None` without at least three of them.
fn size(pose: &Pose) -> Option<f64> {
    let (mut low, mut high, mut n) = (DVec2::INFINITY, DVec2::NEG_INFINITY, 0);
    for seen in pose.joints.iter().flatten() {
        low = low.min(seen.at);
        high = high.max(seen.at);
        n += 1;
    }
    (n >= 3).then(|| (high - low).length())
}
