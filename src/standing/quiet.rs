//! Finds quiet standing, and notices when the feet were set anew.

use crate::decay::approach;
use crate::keypoints::{Part, Side};
use crate::pose::Pose;
use glam::DVec2;

/// A stretch of quiet standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quiet {
    /// First frame, ms.
    pub from_ms: f64,
    /// Last frame so far, ms.
    pub to_ms: f64,
    /// Counts settings of the feet, from 0.
    pub feet_epoch: u32,
}

/// Standing this long is good enough for a fit, ms.
const ENOUGH_MS: f64 = 800.0;
/// Hips and ankles stay within this part of the shank's length.
const STILL: f64 = 0.045;
/// Ankles that settle this part of the shank's length away were set anew.
const RESET: f64 = 0.09;
/// Time constant of the places that quiet joints are compared with, s: noise averages out, a walk
/// does not. One moving faster than `2 STILL / FOLLOW_S`, 0.44 shank lengths a second, is far from
/// them at any frame rate.
const FOLLOW_S: f64 = 0.205;
/// Legs that were out of sight for no longer than this still stand, ms.
const BRIDGED_MS: f64 = 400.0;

/// Watches poses for quiet standing.
#[derive(Clone, Debug, Default)]
pub struct QuietFinder {
    from: Option<Anchor>,
    feet: Option<[Option<DVec2>; 2]>,
    epoch: u32,
}

#[derive(Clone, Copy, Debug)]
struct Anchor {
    t_ms: f64,
    /// When the legs were last seen, ms.
    seen_ms: f64,
    at: [Option<DVec2>; 6],
}

const WATCHED: [Part; 3] = [Part::Ankle, Part::Knee, Part::Hip];

impl QuietFinder {
    /// A finder that has seen nothing.
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes one frame; gives the stretch it belongs to once that is long enough. `upright` says
    /// that the lifter stands up (the bottom of a squat may be quiet too).
    #[inline(never)]
    pub fn push(&mut self, pose: &Pose, upright: bool) -> Option<Quiet> {
        let mut at = [None; 6];
        for (k, part) in WATCHED.into_iter().enumerate() {
            for side in Side::BOTH {
                at[2 * k + side.index()] = pose.of(part, side);
            }
        }
        let fresh = Anchor {
            t_ms: pose.t_ms,
            seen_ms: pose.t_ms,
            at,
        };
        self.from = self
            .from
            .filter(|from| upright && pose.t_ms - from.seen_ms <= BRIDGED_MS);
        let shank = pose.shank().filter(|&px| upright && px >= 3.0)?;
        let Some(anchor) = &mut self.from else {
            self.from = Some(fresh);
            return None;
        };
        let share = approach((pose.t_ms - anchor.seen_ms) / 1e3 / FOLLOW_S);
        anchor.seen_ms = pose.t_ms;
        let mut far = 0;
        for (a, b) in anchor.at.iter_mut().zip(at) {
            match (&a, b) {
                (Some(p), Some(q)) => {
                    far += usize::from((*p - q).length() > STILL * shank * 2.0);
                    *a = Some(*p + share * (q - *p));
                }
                (None, q) => *a = q,
                _ => {}
            }
        }
        if far >= 2 {
            self.from = Some(fresh);
            return None;
        }
        if pose.t_ms - anchor.t_ms < ENOUGH_MS {
            return None;
        }
        let now = [anchor.at[0], anchor.at[1]];
        let moved = self.feet.is_some_and(|f| {
            f.iter().zip(now).any(|(a, b)| match (a, b) {
                (Some(a), Some(b)) => (*a - b).length() > RESET * shank,
                _ => false,
            })
        });
        if moved {
            self.epoch += 1;
        }
        if moved || self.feet.is_none() {
            self.feet = Some(now);
        }
        Some(Quiet {
            from_ms: anchor.t_ms,
            to_ms: pose.t_ms,
            feet_epoch: self.epoch,
        })
    }
}
