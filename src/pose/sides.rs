//! Puts left and right right when the estimator swaps them.

use super::types::Pose;
use crate::decay::approach;
use crate::keypoints::{Joint, Part, Side};
use glam::DVec2;

/// A swap must fit so much better than none, mean distance in shank lengths.
const BETTER: f64 = 0.12;
/// Share of swapped frames in the running mean beyond which the first frames were the wrong ones ...
const MOSTLY: f64 = 0.8;
/// ... its time constant, ms, and how much of it must have passed.
const MEAN_MS: f64 = 1650.0;
const PASSED: f64 = 0.6;

/// Running mean of how often the stream was found swapped.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sides {
    swapped: f64,
    /// Weight of the time that it covers, of 1.
    covered: f64,
    t_ms: Option<f64>,
}

impl Sides {
    /// Swaps `pose`'s sides when the last places say so; says whether it has.
    pub fn put_right(
        &mut self,
        pose: &mut Pose,
        last: &[Option<(DVec2, f64)>; Joint::COUNT],
        scale: f64,
        t_ms: f64,
    ) -> bool {
        let (as_is, n) = apart(pose, last, t_ms, |own| own);
        let least = BETTER * scale * n;
        // Sides that are about where they were can't fit better swapped, and most are.
        let swap = n >= 4.0 && as_is > least && {
            let (swapped, _) = apart(pose, last, t_ms, Joint::mirrored);
            as_is - swapped > least && swapped < 0.6 * as_is
        };
        let share = approach(self.t_ms.map_or(0.0, |t| t_ms - t) / MEAN_MS);
        self.t_ms = Some(t_ms);
        self.covered += share * (1.0 - self.covered);
        self.swapped += share * (f64::from(u8::from(swap)) - self.swapped);
        let mostly = self.covered > PASSED && self.swapped > MOSTLY * self.covered;
        if mostly {
            // The estimator has said so for over a second: the first frames were the wrong ones.
            *self = Self::default();
        } else if swap {
            pose.swap_sides();
        }
        swap && !mostly
    }
}

/// Sum of the distances from the last places, which `of` says whose each is, and their number: of all
/// joints of the pairs whose own and other side's last place is fresh.
fn apart(
    pose: &Pose,
    last: &[Option<(DVec2, f64)>; Joint::COUNT],
    t_ms: f64,
    of: impl Fn(Joint) -> Joint,
) -> (f64, f64) {
    let (mut sum, mut n) = (0.0, 0.0);
    let fresh = |j: Joint| last[j.index()].filter(|(_, t)| t_ms - t < 700.0);
    for part in Part::TRUNK_AND_LEGS {
        for side in Side::BOTH {
            let own = Joint::of(part, side);
            let other = own.mirrored();
            if let (Some(p), Some(_), Some(_)) = (pose.at(own), fresh(own), fresh(other))
                && let Some((at, _)) = last[of(own).index()]
            {
                sum += (p - at).length();
                n += 1.0;
            }
        }
    }
    (sum, n)
}
