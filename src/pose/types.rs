//! The cleaned keypoints of one frame.

use crate::keypoints::{Joint, Part, Side};
use glam::DVec2;

/// A point that was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Place in the picture, px, finite.
    pub at: DVec2,
    /// Trust in it, 0 to 1.
    pub score: f64,
}

/// The lifter in one frame: true sides, points that can be used, `None` where unseen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Time, ms.
    pub t_ms: f64,
    /// By [`Joint::index`].
    pub joints: [Option<Seen>; Joint::COUNT],
}

impl Pose {
    /// A frame in which nobody was seen.
    pub fn empty(t_ms: f64) -> Self {
        Self {
            t_ms,
            joints: [None; Joint::COUNT],
        }
    }

    /// Place of `joint`, px.
    pub fn at(&self, joint: Joint) -> Option<DVec2> {
        self.joints[joint.index()].map(|s| s.at)
    }

    /// Place of the paired point on `side`, px.
    pub fn of(&self, part: Part, side: Side) -> Option<DVec2> {
        self.at(Joint::of(part, side))
    }

    /// Midpoint of a pair, when both are seen, px.
    pub fn middle(&self, part: Part) -> Option<DVec2> {
        Some((self.of(part, Side::Left)? + self.of(part, Side::Right)?) / 2.0)
    }

    /// Exchanges left and right.
    pub fn swap_sides(&mut self) {
        for left in (1..Joint::COUNT).step_by(2) {
            self.joints.swap(left, left + 1);
        }
    }
}
