//! How restless each keypoint is while the lifter stands still.

use crate::keypoints::{Joint, Part, Side};
use crate::order::within;
use crate::pose::Pose;

/// Keypoint noise, px per axis, by [`Joint::index`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// New in every frame.
    pub white: [f64; Joint::COUNT],
    /// Slowly varying: too slow for smoothing to remove.
    pub slow: [f64; Joint::COUNT],
    /// Frames it was taken from.
    pub frames: usize,
}

/// Slow noise expected before any is seen, of the shank's length in the picture, and the number of
/// joints that this expectation weighs. Common practice, no source: about 1 px at 190 px.
const SLOW: (f64, f64) = (0.0053, 2.0);
/// White noise expected before any is seen, of the shank's length in the picture.
const WHITE: f64 = 0.006;
/// Joint observations that the pooled value weighs against a joint's own.
const POOLED_WEIGHT: f64 = 12.0;

impl Noise {
    /// Noise of quiet frames; `shank` is the shank's length in the picture, px.
    ///
    /// White noise from second differences (their variance is 6 times the noise's), slow noise
    /// from what the spread about the mean has more than that. Feet and ankles are planted, so
    /// only they tell the slow part; the rest of the body sways.
    pub fn of(poses: &[Pose], shank: f64) -> Self {
        let mut own = [(0.0, 0.0); Joint::COUNT];
        let (mut white, mut white_n) = (0.0, 0.0);
        let (mut slow, mut slow_n) = ((SLOW.0 * shank).powi(2) * SLOW.1, SLOW.1);
        for joint in Joint::ALL {
            let seen = |p: &Pose| p.at(joint);
            let (mut sum, mut n) = (0.0, 0.0);
            for three in poses.windows(3) {
                if let [Some(a), Some(b), Some(c)] = [&three[0], &three[1], &three[2]].map(seen) {
                    // Half the square of both axes; a jump must not count for more than noise does.
                    let d = (a - b * 2.0 + c).length_squared() / 12.0;
                    sum += d.min((0.03 * shank).powi(2));
                    n += 1.0;
                }
            }
            own[joint.index()] = (sum, n);
            white += sum;
            white_n += n;
            let planted = [Part::Ankle, Part::Heel, Part::BigToe, Part::SmallToe];
            let on_floor = Side::BOTH
                .into_iter()
                .any(|s| planted.iter().any(|&p| Joint::of(p, s) == joint));
            if on_floor && n >= 6.0 {
                let (mut mean, mut k) = (glam::DVec2::ZERO, 0.0);
                for at in poses.iter().filter_map(seen) {
                    mean += at;
                    k += 1.0;
                }
                mean /= k;
                let spread: f64 = poses
                    .iter()
                    .filter_map(seen)
                    .map(|at| (at - mean).length_squared())
                    .sum::<f64>()
                    / (2.0 * k);
                // Twice: a short period shows about half of a slow wander.
                slow += within(2.3 * (spread - sum / n), 0.0, (0.03 * shank).powi(2));
                slow_n += 1.0;
            }
        }
        let pooled = if white_n > 0.0 {
            white / white_n
        } else {
            (WHITE * shank).powi(2)
        };
        let slow = (slow / slow_n).sqrt();
        Self {
            white: own
                .map(|(sum, n)| ((sum + pooled * POOLED_WEIGHT) / (n + POOLED_WEIGHT)).sqrt()),
            slow: [slow; Joint::COUNT],
            frames: poses.len(),
        }
    }
}
