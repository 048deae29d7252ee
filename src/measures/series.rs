//! Curves of a whole set: every measure of every frame, smoothed without delay.

// Frames and sides index several lists at once.
#![allow(clippy::needless_range_loop)]

use super::channel::{Channel, Estimate};
use super::errors::{Variance, budget};
use super::measurer::{Measurer, PictureEvidence, fuse};
use super::tracks::smooth;
use crate::pose::Pose;

/// Heights of one foot's contact points above standing, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FootHeights {
    /// Heel point.
    pub heel: Vec<Option<Estimate>>,
    /// Base of the big toe.
    pub big_toe: Vec<Option<Estimate>>,
    /// Base of the little toe.
    pub small_toe: Vec<Option<Estimate>>,
}

/// The measures over time. All lists have the length of `t_ms`. Estimates are kept however large
/// their standard error: [`super::largest_sd`] says what counts as seen.
#[derive(Clone, Debug, Default)]
pub struct MeasureSeries {
    /// Times, ms.
    pub t_ms: Vec<f64>,
    /// By [`Channel::index`], in the check's unit.
    pub channels: [Vec<Option<Estimate>>; Channel::COUNT],
    /// Contact points, left and right.
    pub feet: [FootHeights; 2],
    /// Depth: 0 standing, 1 at the bottom of a deep squat.
    pub depth: Vec<Option<f64>>,
    /// The tracked picture's part of a channel, where it had one.
    pub(super) picture: Vec<Option<PictureEvidence>>,
    /// Keypoint values before the picture is weighed in.
    pub(super) keypoints: [Vec<Option<f64>>; Channel::COUNT],
    pub(super) knots: Vec<Knot>,
    pub(super) gain: f64,
}

/// The error budget at one time.
#[derive(Clone, Debug)]
pub(super) struct Knot {
    pub t_ms: f64,
    pub variance: [Option<Variance>; Channel::COUNT],
}

/// Time between error budgets, ms.
const KNOT_MS: f64 = 250.0;

/// Measures every frame of `poses`, all of one standing. `picture` is empty or as long as `poses`.
pub fn series(
    measurer: &Measurer,
    poses: &[Pose],
    picture: &[Option<PictureEvidence>],
) -> MeasureSeries {
    let tracks = smooth(poses, measurer.shank_px());
    let mut out = MeasureSeries {
        t_ms: poses.iter().map(|p| p.t_ms).collect(),
        gain: tracks.gain,
        picture: (0..poses.len())
            .map(|i| picture.get(i).copied().flatten())
            .collect(),
        ..MeasureSeries::default()
    };
    let mut rises = Vec::with_capacity(poses.len());
    let mut last = f64::NEG_INFINITY;
    for (pixels, pose) in tracks.frames.iter().zip(poses) {
        let reading = measurer.read(pixels);
        if pose.t_ms - last >= KNOT_MS && reading.values.iter().any(Option::is_some) {
            last = pose.t_ms;
            out.knots.push(Knot {
                t_ms: pose.t_ms,
                variance: budget(&measurer.geometry, &measurer.sources, pixels),
            });
        }
        for (list, value) in out.keypoints.iter_mut().zip(reading.values) {
            list.push(value);
        }
        out.depth.push(reading.depth);
        rises.push(reading.rises);
    }
    for i in 0..poses.len() {
        for channel in Channel::ALL {
            let k = channel.index();
            let forward = out.keypoints[Channel::Forward.index()][i].unwrap_or(0.0);
            let own = out.keypoints[k][i].and_then(|value| {
                let variance = out.variance(channel, out.t_ms[i])?;
                Some(Estimate {
                    value: value - variance.pull * forward,
                    sd: variance.sd(out.gain),
                })
            });
            let seen = out.picture[i].and_then(|p| p.of(channel));
            out.channels[k].push(match (own, seen) {
                (Some(a), Some(b)) => Some(fuse(a, b)),
                (a, b) => a.or(b),
            });
        }
        for side in 0..2 {
            let heel = out.channels[Channel::HeelLiftLeft.index() + side][i];
            let roll = out.channels[Channel::FootRollLeft.index() + side][i];
            // A toe base's height comes with the roll: its arm about the long axis, mm per degree.
            let toe = |arm: f64, at: usize| {
                let rise = rises[i][side]?;
                let sd = (roll?.sd * arm).hypot(2.0);
                Some(Estimate {
                    value: rise[at] * 1e3,
                    sd,
                })
            };
            let foot_mm = measurer.geometry.body.foot * 1e3;
            let feet = &mut out.feet[side];
            feet.heel.push(heel);
            feet.big_toe.push(toe(foot_mm * 0.1 * 0.01745, 1));
            feet.small_toe.push(toe(foot_mm * 0.18 * 0.01745, 2));
        }
    }
    out
}

impl MeasureSeries {
    /// Error budget of a channel at a time, between the knots around it.
    pub(super) fn variance(&self, channel: Channel, t_ms: f64) -> Option<Variance> {
        let k = channel.index();
        let after = self.knots.partition_point(|knot| knot.t_ms < t_ms);
        let b = self
            .knots
            .get(after.min(self.knots.len().checked_sub(1)?))?;
        let a = self.knots.get(after.saturating_sub(1))?;
        match (a.variance[k], b.variance[k]) {
            (Some(va), Some(vb)) if b.t_ms > a.t_ms => {
                let share = ((t_ms - a.t_ms) / (b.t_ms - a.t_ms)).clamp(0.0, 1.0);
                Some(va.mix(&vb, share))
            }
            (va, vb) => va.or(vb),
        }
    }
}
