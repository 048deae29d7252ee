//! Where the lifter stands: somebody in front may be taken for the lifter for a moment, but who is
//! found on the lifter's own footprints again is the lifter.

use super::types::Pose;
use crate::decay::approach;
use crate::keypoints::{Part, Side};
use glam::DVec2;

/// Having stood for so long, a lifter has a post, ms.
const STOOD_MS: f64 = 400.0;
/// Ankles this close to the post's are on it, shank lengths ...
const ON: f64 = 0.3;
/// ... when the shank looks this long by its length in standing: squatting shortens it, and somebody
/// in front looks larger.
const SAME: std::ops::Range<f64> = 0.65..1.13;
/// Ankles may leave by so much at once, and go on so fast, shank lengths (a second).
const LEAVE: (f64, f64) = (0.45, 2.0);
/// Without the lifter for so long, the post is anybody's, ms.
const HELD_MS: f64 = 8000.0;
/// Time constant of the post's place, s.
const FOLLOW_S: f64 = 0.65;
/// Leaps are not believed for so long, ms.
const DOUBTED_MS: f64 = 1500.0;

/// The lifter's footprints.
#[derive(Clone, Copy, Debug)]
pub(super) struct Post {
    at: DVec2,
    shank: f64,
    /// When the lifter was last on it, and last seen, ms.
    on_ms: f64,
    seen_ms: f64,
    /// Where the lifter's ankles were last.
    last: DVec2,
}

impl Post {
    /// Takes the lifter's pose, who has stood still for `stood_ms`.
    pub fn follow(post: &mut Option<Self>, pose: &Pose, stood_ms: f64) {
        let Some((ankles, length)) = feet(pose) else {
            return;
        };
        let t_ms = pose.t_ms;
        if let Some(own) = post.as_mut() {
            let share = approach((t_ms - own.seen_ms) / 1e3 / FOLLOW_S);
            (own.last, own.seen_ms) = (ankles, t_ms);
            if own.on(pose) {
                own.on_ms = t_ms;
                if stood_ms > STOOD_MS {
                    own.at += share * (ankles - own.at);
                }
                return;
            }
            // Who has walked away and stood was not on it just now: an ankle has leapt.
            if t_ms - own.on_ms < STOOD_MS {
                return;
            }
        }
        if stood_ms > STOOD_MS {
            *post = Some(Self {
                at: ankles,
                shank: length,
                on_ms: t_ms,
                seen_ms: t_ms,
                last: ankles,
            });
        }
    }

    /// Is this much further on.
    pub fn moved(&mut self, by: DVec2) {
        self.at += by;
        self.last += by;
    }

    /// This pose stands on the post.
    pub fn on(&self, pose: &Pose) -> bool {
        pose.t_ms - self.on_ms < HELD_MS
            && feet(pose).is_some_and(|(ankles, length)| {
                (ankles - self.at).length() < ON * self.shank
                    && SAME.contains(&(length / self.shank))
            })
    }

    /// Nobody gets from where the lifter was to this pose so fast, or at all when `down` in a squat.
    pub fn leapt(&self, pose: &Pose, down: bool) -> bool {
        let gap_s = if down {
            0.0
        } else {
            (pose.t_ms - self.seen_ms) / 1e3
        };
        pose.t_ms - self.on_ms < DOUBTED_MS
            && feet(pose).is_some_and(|(ankles, _)| {
                (ankles - self.last).length() > self.shank * (LEAVE.0 + LEAVE.1 * gap_s)
            })
    }
}

/// Middle of the ankles and the shank's length, px; both ankles when both are seen.
fn feet(pose: &Pose) -> Option<(DVec2, f64)> {
    let ankles = match Side::BOTH.map(|s| pose.of(Part::Ankle, s)) {
        [Some(a), Some(b)] => (a + b) / 2.0,
        _ => return None,
    };
    Some((ankles, pose.shank().filter(|&px| px > 1.0)?))
}
