//! Curves of a whole set: every measure of every frame, smoothed without delay.

// Frames and sides index several lists at once.
#![allow(clippy::needless_range_loop)]

use super::channel::{Channel, Estimate, Evidence};
use super::errors::{Variance, budget};
use super::footing::footings;
use super::measurer::{Measurer, PictureEvidence, weigh};
use super::tracks::smooth;
use crate::gather::Gather;
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
    /// Value of each channel in quiet standing: 0 where it is read against standing.
    pub standing: [f64; Channel::COUNT],
    /// Contact points, left and right.
    pub feet: [FootHeights; 2],
    /// Thighs' inclination, degrees, + = below level.
    pub thigh: Vec<Option<Estimate>>,
    /// Depth: 0 standing, 1 at the bottom of a deep squat.
    pub depth: Vec<Option<f64>>,
    /// How far the centre of mass seems to have left its place over the feet, + = toward the toes, by the
    /// spread that this has in a lifter who keeps the balance, as uncertain as it is seen.
    pub imbalance: Vec<Option<f64>>,
    /// What carried each value of a channel.
    pub(super) evidence: [Vec<Option<Evidence>>; Channel::COUNT],
    /// What the keypoints alone say, as uncertain as they are where a picture is at hand.
    pub(super) keypoints: [Vec<Option<Estimate>>; Channel::COUNT],
    pub(super) knots: Vec<Knot>,
    pub(super) gain: f64,
}

/// The error budget at one time.
#[derive(Clone, Debug)]
pub(super) struct Knot {
    pub t_ms: f64,
    pub variance: [Option<Variance>; Channel::READ],
}

/// Time between error budgets, ms: in a repetition, and else, where they hardly change.
const KNOT_MS: [f64; 2] = [250.0, 1000.0];

/// Measures every frame of `poses`, all of one standing, with the feet where they are in each of the
/// repetitions (start and end, ms; in order). `picture` is empty or as long as `poses`.
pub fn series(
    measurer: &Measurer,
    poses: &[Pose],
    picture: &[Option<PictureEvidence>],
    reps: &[(f64, f64)],
) -> MeasureSeries {
    let tracks = smooth(poses, measurer.shank_px());
    let on_shins = on_shins(poses, picture).map(|p| smooth(&p, measurer.shank_px()).frames);
    let mut out = MeasureSeries {
        t_ms: poses.iter().map(|p| p.t_ms).gather(),
        gain: tracks.gain,
        standing: measurer.standing(),
        ..MeasureSeries::default()
    };
    let mut rises = Vec::with_capacity(poses.len());
    let mut readings = Vec::with_capacity(poses.len());
    let mut shin_knots = Vec::new();
    let mut shin_readings = Vec::new();
    let mut last = f64::NEG_INFINITY;
    let footings = footings(measurer, poses, reps);
    let mut standing = 0;
    for (i, (pixels, pose)) in tracks.frames.iter().zip(poses).enumerate() {
        while footings
            .get(standing + 1)
            .is_some_and(|f| f.from_ms <= pose.t_ms)
        {
            standing += 1;
            last = f64::NEG_INFINITY;
        }
        let measurer = footings.get(standing).map_or(measurer, |f| &f.measurer);
        let reading = measurer.read(pixels);
        let inside = |(from, to): &(f64, f64)| (from..=to).contains(&&pose.t_ms);
        let apart = KNOT_MS[usize::from(!reps.iter().any(inside))];
        let due = pose.t_ms - last >= apart && reading.values.iter().any(Option::is_some);
        let (geometry, sources) = (&measurer.geometry, &measurer.sources);
        let knot = |habits, pixels| Knot {
            t_ms: pose.t_ms,
            variance: budget(geometry, sources, habits, pixels),
        };
        if due {
            last = pose.t_ms;
            out.knots.push(knot(&sources.habits, pixels));
        }
        if let Some(pixels) = on_shins.as_ref().and_then(|frames| frames.get(i)) {
            shin_readings.push(measurer.read(pixels));
            if due {
                shin_knots.push(knot(&measurer.followed, pixels));
            }
        }
        out.depth.push(reading.depth);
        rises.push(reading.rises);
        readings.push(reading);
    }
    let pictured = picture.iter().any(Option::is_some);
    for i in 0..poses.len() {
        let values = &readings[i].values;
        let thigh = values[Channel::THIGH].zip(out.variance(Channel::THIGH, out.t_ms[i]));
        let forward = values[Channel::Forward.index()].unwrap_or(0.0);
        let seen = values[Channel::Forward.index()]
            .zip(out.variance(Channel::Forward.index(), out.t_ms[i]));
        out.imbalance
            .push(seen.map(|(value, variance)| variance.imbalance(value)));
        out.thigh.push(thigh.map(|(value, variance)| Estimate {
            value: value - variance.pull * forward,
            sd: variance.sd(out.gain),
        }));
        for channel in Channel::ALL {
            let k = channel.index();
            let own = out.variance(k, out.t_ms[i]).and_then(|variance| {
                let own = measurer.keypoints(channel, &readings[i], &variance, out.gain)?;
                Some(if pictured {
                    measurer.restless(channel, own)
                } else {
                    own
                })
            });
            let seen = picture
                .get(i)
                .copied()
                .flatten()
                .and_then(|p| p.of(channel));
            let knee = shin_readings.get(i).and_then(|reading| {
                let variance = between(&shin_knots, k, out.t_ms[i])?;
                measurer.knee_on_shin(channel, reading, &variance, out.gain)
            });
            let carried = weigh(own, knee, seen);
            out.channels[k].push(carried.map(|c| c.0));
            out.evidence[k].push(carried.map(|c| c.1));
            out.keypoints[k].push(own);
        }
        for side in 0..2 {
            let heel = out.channels[Channel::HeelLiftLeft.index() + side][i];
            let roll = Channel::FootRollLeft.index() + side;
            // A toe base's height comes with the roll: its arm about the long axis, mm per degree.
            let toe = |arm: f64, at: usize| {
                let rise = rises[i][side]?[at] * 1e3;
                let (fused, own) = (out.channels[roll][i]?, out.keypoints[roll][i]?);
                Some(Estimate {
                    value: rise + arm * (fused.value - own.value),
                    sd: crate::angle::hypot(fused.sd * arm, 2.0),
                })
            };
            let foot_mm = measurer.geometry.body.foot * 1e3;
            let (big, small) = (
                toe(-foot_mm * 0.1 * 0.01745, 1),
                toe(foot_mm * 0.18 * 0.01745, 2),
            );
            let feet = &mut out.feet[side];
            feet.heel.push(heel);
            feet.big_toe.push(big);
            feet.small_toe.push(small);
        }
    }
    out
}

impl MeasureSeries {
    /// Share of the frames in which a picture helped to carry a channel.
    pub(super) fn pictured(&self, channel: Channel, frames: std::ops::Range<usize>) -> f64 {
        let all = frames.len().max(1) as f64;
        let list = self.evidence[channel.index()].get(frames).unwrap_or(&[]);
        let seen = list.iter().flatten().filter(|e| **e != Evidence::Keypoints);
        seen.count() as f64 / all
    }

    /// Error budget of a reading's value at a time, between the knots around it.
    pub(super) fn variance(&self, k: usize, t_ms: f64) -> Option<Variance> {
        between(&self.knots, k, t_ms)
    }
}

/// Error budget of a reading's value at a time, between the knots around it.
fn between(knots: &[Knot], k: usize, t_ms: f64) -> Option<Variance> {
    let after = knots.partition_point(|knot| knot.t_ms < t_ms);
    let b = knots.get(after.min(knots.len().checked_sub(1)?))?;
    let a = knots.get(after.saturating_sub(1))?;
    match (a.variance[k], b.variance[k]) {
        (Some(va), Some(vb)) if b.t_ms > a.t_ms => {
            let share = ((t_ms - a.t_ms) / (b.t_ms - a.t_ms)).clamp(0.0, 1.0);
            Some(va.mix(&vb, share))
        }
        (va, vb) => va.or(vb),
    }
}

/// The poses with knees on the shins' axes; `None` where no shin was followed.
fn on_shins(poses: &[Pose], picture: &[Option<PictureEvidence>]) -> Option<Vec<Pose>> {
    if !picture.iter().flatten().any(PictureEvidence::any_shin) {
        return None;
    }
    let at = |i: usize| picture.get(i).copied().flatten().unwrap_or_default();
    Some(
        poses
            .iter()
            .enumerate()
            .map(|(i, pose)| at(i).on_shins(pose))
            .gather(),
    )
}
