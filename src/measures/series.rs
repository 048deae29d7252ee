//! Curves of a whole set: every measure of every frame, smoothed without delay.

// Frames and sides index several lists at once.
#![allow(clippy::needless_range_loop)]

use super::channel::{Channel, Estimate, Evidence};
use super::errors::{Variance, budget};
use super::footing::{Footing, footings};
use super::geometry::{Knees, Pixels, Reading};
use super::measurer::{Measurer, PictureEvidence, weigh};
use super::tracks::{Tracks, smooth};
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

/// Which frames are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curves {
    /// Every one.
    All,
    /// Those of the repetitions and of the second before each, which is what results are read off. The rest
    /// stays `None`.
    OfRepetitions,
}

/// Standing right before a repetition is read over so long, ms.
pub(super) const BEFORE_MS: f64 = 1000.0;

/// Measures every frame of `poses`, all of one standing, with the feet where they are in each of the
/// repetitions (start and end, ms; in order). `picture` is empty or as long as `poses`.
pub fn series(
    measurer: &Measurer,
    poses: &[Pose],
    picture: &[Option<PictureEvidence>],
    reps: &[(f64, f64)],
    curves: Curves,
) -> MeasureSeries {
    let frames = Frames {
        tracks: smooth(poses, measurer.shank_px()),
        on_shins: on_shins(poses, picture).map(|p| smooth(&p, measurer.shank_px()).frames),
        footings: footings(measurer, poses, reps),
        measurer,
        poses,
        picture,
        pictured: picture.iter().any(Option::is_some),
        reps,
    };
    let out = frames.measured(curves);
    // Whether a check could be read in no frame at all is told by all of them.
    let more = |channel: Channel| {
        let k = channel.index();
        let read = out.channels[k].iter().any(Option::is_some);
        !read && frames.elsewhere(channel)
    };
    if curves == Curves::OfRepetitions && Channel::ALL.into_iter().any(more) {
        return frames.measured(Curves::All);
    }
    out
}

/// What a series is made of.
struct Frames<'a> {
    tracks: Tracks,
    on_shins: Option<Vec<Pixels>>,
    footings: Vec<Footing>,
    measurer: &'a Measurer,
    poses: &'a [Pose],
    picture: &'a [Option<PictureEvidence>],
    /// A picture came with some frame.
    pictured: bool,
    reps: &'a [(f64, f64)],
}

/// A frame that is read.
struct Read {
    frame: usize,
    reading: Reading,
    on_shins: Option<Reading>,
}

/// Where an error budget is due.
struct Due {
    frame: usize,
    footing: usize,
}

impl Frames<'_> {
    /// The measurer of a footing.
    fn on(&self, footing: usize) -> &Measurer {
        self.footings
            .get(footing)
            .map_or(self.measurer, |f| &f.measurer)
    }

    /// The repetition that a time belongs to, or the next one.
    fn rep_at(&self, t_ms: f64) -> Option<&(f64, f64)> {
        let at = self.reps.partition_point(|r| r.1 < t_ms);
        self.reps.get(at)
    }

    /// A channel's value can be read in some frame, or its picture was followed.
    fn elsewhere(&self, channel: Channel) -> bool {
        let followed = |p: &Option<PictureEvidence>| p.is_some_and(|p| p.of(channel).is_some());
        let read =
            |pixels| self.measurer.read(pixels, Knees::Estimated).values[channel.index()].is_some();
        self.picture.iter().any(followed) || self.tracks.frames.iter().any(read)
    }

    fn measured(&self, curves: Curves) -> MeasureSeries {
        let (poses, measurer) = (self.poses, self.measurer);
        let mut out = MeasureSeries {
            t_ms: poses.iter().map(|p| p.t_ms).gather(),
            gain: self.tracks.gain,
            standing: measurer.standing(),
            ..MeasureSeries::default()
        };
        let mut reads: Vec<Read> = Vec::new();
        let mut due: Vec<Due> = Vec::new();
        let mut last = f64::NEG_INFINITY;
        let mut footing = 0;
        for (i, (pixels, pose)) in self.tracks.frames.iter().zip(poses).enumerate() {
            let t_ms = pose.t_ms;
            while self
                .footings
                .get(footing + 1)
                .is_some_and(|f| f.from_ms <= t_ms)
            {
                footing += 1;
                last = f64::NEG_INFINITY;
            }
            let rep = self.rep_at(t_ms);
            let inside = rep.is_some_and(|rep| rep.0 <= t_ms);
            let wanted = curves == Curves::All || rep.is_some_and(|rep| rep.0 - BEFORE_MS <= t_ms);
            let long_ago = t_ms - last >= KNOT_MS[usize::from(!inside)];
            if !wanted && !long_ago {
                continue;
            }
            let measurer = self.on(footing);
            let reading = measurer.read(pixels, Knees::Estimated);
            if long_ago && reading.values.iter().any(Option::is_some) {
                last = t_ms;
                due.push(Due { frame: i, footing });
            }
            if wanted {
                let on_shins = self.on_shins.as_ref().and_then(|frames| frames.get(i));
                reads.push(Read {
                    frame: i,
                    reading,
                    on_shins: on_shins.map(|pixels| measurer.read(pixels, Knees::Followed)),
                });
            }
        }
        let mut shin_knots = Vec::new();
        for (k, at) in due.iter().enumerate() {
            // A budget tells of the frames from the one before it to the one after it.
            let from = k.checked_sub(1).map_or(0, |k| due[k].frame);
            let to = due.get(k + 1).map_or(usize::MAX, |next| next.frame);
            let near = reads.partition_point(|r| r.frame < from);
            let used = reads.get(near).is_some_and(|r| r.frame <= to);
            let measurer = self.on(at.footing);
            let knot = |habits, pixels, knees| Knot {
                t_ms: out.t_ms[at.frame],
                variance: if used {
                    budget(&measurer.geometry, &measurer.sources, habits, pixels, knees)
                } else {
                    Default::default()
                },
            };
            if let Some(pixels) = self.on_shins.as_ref().and_then(|f| f.get(at.frame)) {
                shin_knots.push(knot(&measurer.followed, pixels, Knees::Followed));
            }
            let knot = knot(
                &measurer.sources.habits,
                &self.tracks.frames[at.frame],
                Knees::Estimated,
            );
            out.knots.push(knot);
        }
        out.room(poses.len());
        for read in &reads {
            self.put(read, &shin_knots, &mut out);
        }
        out
    }

    /// Measures a frame.
    fn put(&self, read: &Read, shin_knots: &[Knot], out: &mut MeasureSeries) {
        let (i, measurer) = (read.frame, self.measurer);
        let reading = &read.reading;
        let values = &reading.values;
        let t_ms = out.t_ms[i];
        out.depth[i] = reading.depth;
        let thigh = values[Channel::THIGH].zip(out.variance(Channel::THIGH, t_ms));
        let forward = values[Channel::Forward.index()].unwrap_or(0.0);
        let seen =
            values[Channel::Forward.index()].zip(out.variance(Channel::Forward.index(), t_ms));
        out.imbalance[i] = seen.map(|(value, variance)| variance.imbalance(value));
        out.thigh[i] = thigh.map(|(value, variance)| Estimate {
            value: value - variance.pull * forward,
            sd: variance.sd(out.gain),
        });
        for channel in Channel::ALL {
            let k = channel.index();
            let own = out.variance(k, t_ms).and_then(|variance| {
                let own = measurer.keypoints(channel, reading, &variance, out.gain)?;
                Some(if self.pictured {
                    measurer.restless(channel, own)
                } else {
                    own
                })
            });
            let seen = self.picture.get(i).copied().flatten();
            let seen = seen.and_then(|p| p.of(channel));
            let knee = read.on_shins.as_ref().and_then(|reading| {
                let variance = between(shin_knots, k, t_ms)?;
                measurer.knee_on_shin(channel, reading, &variance, out.gain)
            });
            let carried = weigh(own, knee, seen);
            out.channels[k][i] = carried.map(|c| c.0);
            out.evidence[k][i] = carried.map(|c| c.1);
            out.keypoints[k][i] = own;
        }
        for side in 0..2 {
            let heel = out.channels[Channel::HeelLiftLeft.index() + side][i];
            let roll = Channel::FootRollLeft.index() + side;
            // A toe base's height comes with the roll: its arm about the long axis, mm per degree.
            let toe = |arm: f64, at: usize| {
                let rise = reading.rises[side]?[at] * 1e3;
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
            feet.heel[i] = heel;
            feet.big_toe[i] = big;
            feet.small_toe[i] = small;
        }
    }
}

impl MeasureSeries {
    /// Room for so many frames, in which nothing is measured yet.
    fn room(&mut self, frames: usize) {
        for list in self.channels.iter_mut().chain(&mut self.keypoints) {
            list.resize(frames, None);
        }
        for list in &mut self.evidence {
            list.resize(frames, None);
        }
        for feet in &mut self.feet {
            for list in [&mut feet.heel, &mut feet.big_toe, &mut feet.small_toe] {
                list.resize(frames, None);
            }
        }
        self.thigh.resize(frames, None);
        self.depth.resize(frames, None);
        self.imbalance.resize(frames, None);
    }

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
