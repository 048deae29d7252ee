//! Drops single joints that leap away from the body.

use super::types::Pose;
use crate::keypoints::Joint;
use glam::DVec2;

/// A joint's place when it was last believed, and when, ms.
pub(super) type Places = [Option<(DVec2, f64)>; Joint::COUNT];

/// A joint that stays away from its old place for so long is believed, ms, three frame times at 30 a
/// second, and in so many frames: where frames are few, each may be an outlier by itself.
const BELIEVED_MS: f64 = 95.0;
const BELIEVED: u8 = 4;
/// A joint may move this many shank lengths a second; a fast descent of 0.5 s moves the hips by 4.
const FASTEST: f64 = 9.0;
/// Slack of any movement, shank lengths.
const SLACK: f64 = 0.22;
/// A joint moves along with its neighbours, up to this slack and speed, shank lengths (a second).
const ALONG: (f64, f64) = (0.14, 2.6);

/// Joints that are still away from where they were believed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Jumps {
    /// Since when each has been away, ms, and in how many frames.
    since: [Option<(f64, u8)>; Joint::COUNT],
    at: [DVec2; Joint::COUNT],
}

impl Default for Jumps {
    fn default() -> Self {
        Self {
            since: [None; Joint::COUNT],
            at: [DVec2::ZERO; Joint::COUNT],
        }
    }
}

impl Jumps {
    /// None of the joints of this pose, which is [`calm`], leapt.
    pub fn none_in(&mut self, pose: &Pose, last: &Places) {
        for ((since, seen), last) in self.since.iter_mut().zip(&pose.joints).zip(last) {
            if seen.is_some() && last.is_some() {
                *since = None;
            }
        }
    }

    /// Takes joints that leapt out of `pose`, which is not [`calm`]; says whether there were any.
    pub fn drop_from(&mut self, pose: &mut Pose, last: &Places, scale: f64) -> bool {
        let mut dropped = false;
        // Each joint's movement once: every joint is compared with its neighbours'.
        let mut moves: Moves = [None; Joint::COUNT];
        for ((to, seen), last) in moves.iter_mut().zip(&pose.joints).zip(last) {
            if let (Some(seen), Some((at, t_ms))) = (seen, last) {
                *to = Some((seen.at - *at, *t_ms));
            }
        }
        for (i, (&joint, slot)) in Joint::ALL.iter().zip(&mut pose.joints).enumerate() {
            let (Some(seen), Some((moved, since))) = (*slot, moves[i]) else {
                continue;
            };
            let (slack, limit) = limits(pose.t_ms, since, scale);
            let far = moved.length() > limit || strays(&moves, joint, moved, since, slack);
            if !far {
                self.since[i] = None;
                continue;
            }
            let steady = (seen.at - self.at[i]).length() < 0.4 * scale;
            let (since, frames) = self.since[i].filter(|_| steady).unwrap_or((pose.t_ms, 0));
            let frames = frames.saturating_add(1);
            self.at[i] = seen.at;
            if pose.t_ms - since < BELIEVED_MS || frames < BELIEVED {
                self.since[i] = Some((since, frames));
                *slot = None;
                dropped = true;
            } else {
                self.since[i] = None;
            }
        }
        dropped
    }
}

/// How far each joint is from its last place, and when that was, ms.
type Moves = [Option<(DVec2, f64)>; Joint::COUNT];

/// Joints of which none can have leapt.
#[derive(Clone, Copy)]
pub(super) struct Calm {
    /// How many have a last place, and of what time all these are, ms; not a number when none has.
    pub joints: usize,
    pub since_ms: f64,
}

/// No joint can have leapt: all moved since the same frame, no farther than one may by itself or
/// apart from the others. Most frames are such, and need no more.
#[inline(never)]
pub(super) fn calm(pose: &Pose, last: &Places, scale: f64) -> Option<Calm> {
    let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let mut all = Calm {
        joints: 0,
        since_ms: f64::NAN,
    };
    for (seen, last) in pose.joints.iter().zip(last) {
        if let (Some(seen), Some((at, t_ms))) = (seen, last) {
            if all.joints == 0 {
                all.since_ms = *t_ms;
            } else if all.since_ms != *t_ms {
                return None;
            }
            all.joints += 1;
            let moved = seen.at - *at;
            (low, high) = (low.min(moved), high.max(moved));
        }
    }
    if all.joints == 0 {
        return Some(all);
    }
    let (slack, limit) = limits(pose.t_ms, all.since_ms, scale);
    let calm = (high - low).length() <= slack && high.max(-low).length() <= limit;
    calm.then_some(all)
}

/// How far a joint may have moved apart from its neighbours since then, and by itself, px.
fn limits(t_ms: f64, since: f64, scale: f64) -> (f64, f64) {
    let dt = ((t_ms - since) / 1e3).clamp(0.0, 0.6);
    (
        scale * (ALONG.0 + ALONG.1 * dt),
        scale * (SLACK + FASTEST * dt),
    )
}

/// The joint moved otherwise than everything around it did since the same frame.
fn strays(moves: &Moves, joint: Joint, moved: DVec2, since: f64, slack: f64) -> bool {
    let (mut low, mut high, mut n) = (DVec2::ZERO, DVec2::ZERO, 0);
    for &other in neighbours(joint) {
        let Some((d, t)) = moves[other.index()] else {
            continue;
        };
        if t != since {
            continue;
        }
        (low, high) = if n == 0 {
            (d, d)
        } else {
            (low.min(d), high.max(d))
        };
        n += 1;
    }
    if n < 3 {
        return false;
    }
    let out = (low - moved).max(moved - high).max(DVec2::ZERO);
    out.length() > slack
}

/// Joints whose movements enclose a joint's own in a squat.
fn neighbours(joint: Joint) -> &'static [Joint] {
    use Joint::*;
    match joint {
        LeftHip => &[RightHip, LeftShoulder, RightShoulder, LeftKnee, RightKnee],
        RightHip => &[LeftHip, LeftShoulder, RightShoulder, LeftKnee, RightKnee],
        LeftKnee => &[RightKnee, LeftHip, RightHip, LeftAnkle, RightAnkle],
        RightKnee => &[LeftKnee, LeftHip, RightHip, LeftAnkle, RightAnkle],
        LeftAnkle => &[LeftHeel, LeftBigToe, LeftSmallToe, LeftKnee, RightAnkle],
        RightAnkle => &[RightHeel, RightBigToe, RightSmallToe, RightKnee, LeftAnkle],
        LeftHeel => &[LeftAnkle, LeftBigToe, LeftSmallToe, RightHeel],
        RightHeel => &[RightAnkle, RightBigToe, RightSmallToe, LeftHeel],
        LeftBigToe => &[LeftAnkle, LeftHeel, LeftSmallToe, RightBigToe],
        RightBigToe => &[RightAnkle, RightHeel, RightSmallToe, LeftBigToe],
        LeftSmallToe => &[LeftAnkle, LeftHeel, LeftBigToe, RightSmallToe],
        RightSmallToe => &[RightAnkle, RightHeel, RightBigToe, LeftSmallToe],
        LeftShoulder => &[RightShoulder, LeftHip, RightHip, Nose, LeftEar, RightEar],
        RightShoulder => &[LeftShoulder, LeftHip, RightHip, Nose, LeftEar, RightEar],
        Nose => &[
            LeftEye,
            RightEye,
            LeftEar,
            RightEar,
            LeftShoulder,
            RightShoulder,
        ],
        LeftEye | RightEye | LeftEar | RightEar => &[
            Nose,
            LeftEye,
            RightEye,
            LeftEar,
            RightEar,
            LeftShoulder,
            RightShoulder,
        ],
        LeftElbow | RightElbow | LeftWrist | RightWrist => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::super::person::Person;
    use super::super::types::Seen;
    use super::*;

    /// Someone who stands, px: joints spread over a body with shanks of 100 px.
    fn standing(t_ms: f64) -> Pose {
        let mut pose = Pose::empty(t_ms);
        for (i, slot) in pose.joints.iter_mut().enumerate() {
            let side = if i % 2 == 1 { 40.0 } else { -40.0 };
            // Head, arms and trunk by index, then hip, knee, ankle and foot a shank apart.
            let y = [0.0, 150.0, 250.0, 350.0, 360.0][i.saturating_sub(9) / 2 % 5];
            *slot = Some(Seen {
                at: DVec2::new(300.0 + side, 200.0 + y),
                score: 0.9,
            });
        }
        pose
    }

    /// A knee that leaps by more than a shank (an estimator's outlier; common practice, no source) is
    /// left out and alone so; one that stays there is believed after a few frames.
    #[test]
    fn a_joint_that_leaps_is_left_out_until_it_stays() {
        let knee = Joint::LeftKnee.index();
        let mut person = Person::new(&standing(0.0)).expect("all joints are seen");
        let mut seen = Vec::new();
        for frame in 1..20 {
            let mut pose = standing(f64::from(frame) * 33.0);
            if (frame == 5 || frame >= 10)
                && let Some(seen) = &mut pose.joints[knee]
            {
                seen.at.x += 130.0;
            }
            let near = person.is_near(&pose);
            let whole = super::super::person::extent(&pose);
            person.follow(&mut pose, whole, near);
            let others = pose.joints.iter().flatten().count();
            assert!(others >= Joint::COUNT - 1, "frame {frame}: {others} left");
            seen.push(pose.joints[knee].is_some());
        }
        let away: Vec<usize> = (1..20).filter(|i| !seen[i - 1]).collect();
        assert_eq!(away, [5, 10, 11, 12], "frames without the knee");
    }
}
