//! Samples of knees and feet at an even pace, with sides put right and outliers taken out.

use super::super::feet::{POINTS, Places, blend, gain, places, swapped};
use super::super::knees::pair;
use crate::keypoints::Part;
use crate::pose::Pose;
use crate::statistics::upper_median;
use glam::DVec2;

/// Number of points of a sample: both knees, then each foot's, then both hips.
const COUNT: usize = HIPS + 2;
const HIPS: usize = 2 + 2 * POINTS.len();
/// Frames closer together than this are one sample, ms.
/// tuned: `reps` and what a look costs (`--test frame_cost`)
const PACE_MS: f64 = 25.0;
/// Sides are told by where the feet have been for so long, ms.
/// tuned: `reps`
const SIDES_MS: f64 = 300.0;
/// Neighbours on either side that an outlier is judged by: joints jump for up to three frames.
/// tuned: `reps`
const AROUND: usize = 3;
/// ... and no farther away than this, ms.
/// tuned: `reps`
const REACH_MS: f64 = 600.0;
/// A point this far from the median of those around it is an outlier, shank lengths.
/// tuned: `reps`
const JUMP: f64 = 0.05;
/// ... unless the other side's is about as far from the middle of its own: fast squats turn within a
/// few frames, by no more than this, and single joints jump.
/// tuned: `reps`
const ALIKE: [f64; 2] = [0.03, 0.22];

/// Where the points are at one time, in shank lengths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub t_ms: f64,
    /// As seen.
    pub raw: [Option<DVec2>; COUNT],
    /// Median of the samples around.
    pub steady: [Option<DVec2>; COUNT],
}

impl Sample {
    /// The feet's points.
    pub fn feet(&self) -> Places {
        let mut feet = Places::default();
        for (at, seen) in feet.iter_mut().flatten().zip(&self.steady[2..]) {
            *at = *seen;
        }
        feet
    }

    /// Both knees, without those that jumped.
    pub fn knees(&self) -> [Option<DVec2>; 2] {
        self.pair(0)
    }

    /// Both hips, likewise.
    pub fn hips(&self) -> [Option<DVec2>; 2] {
        self.pair(HIPS)
    }

    fn pair(&self, first: usize) -> [Option<DVec2>; 2] {
        let both = [first, first + 1];
        let off = both.map(|k| Some((self.raw[k]? - self.steady[k]?).length()));
        let off = off.map(|off| off.unwrap_or(0.0));
        let alike = |off: &f64| (ALIKE[0]..=ALIKE[1]).contains(off);
        let jumped = !off.iter().all(alike);
        [0, 1].map(|k| {
            let seen = self.raw[both[k]]?;
            if jumped && off[k] > JUMP {
                self.steady[both[k]]
            } else {
                Some(seen)
            }
        })
    }
}

/// The samples of `poses`; none when there is no shank to measure by.
pub(super) fn samples(poses: &[Pose]) -> Vec<Sample> {
    let mut list = paced(poses);
    let mut shanks = Vec::with_capacity(list.len());
    for sample in &list {
        let shank = |s: usize| Some((sample.raw[s]? - sample.raw[2 + s * POINTS.len()]?).length());
        let longer = match [shank(0), shank(1)] {
            [Some(a), Some(b)] => Some(a.max(b)),
            [a, b] => a.or(b),
        };
        shanks.extend(longer);
    }
    let shank = upper_median(&mut shanks).filter(|&px| px > 3.0);
    let Some(shank) = shank else {
        return Vec::new();
    };
    for sample in &mut list {
        for at in sample.raw.iter_mut().flatten() {
            *at /= shank;
        }
    }
    for i in 0..list.len() {
        list[i].steady = std::array::from_fn(|k| around(&list, i, k));
    }
    list
}

/// Median of a point over the sample and as many as have to agree with it on either side; a jump may
/// stand next to a gap.
fn around(list: &[Sample], i: usize, k: usize) -> Option<DVec2> {
    let (mut x, mut y) = ([0.0; 2 * AROUND + 1], [0.0; 2 * AROUND + 1]);
    let mut n = 0;
    let now = list.get(i)?;
    let mut take = |order: &mut dyn Iterator<Item = &Sample>, most: usize| {
        let near = order.take_while(|s| (s.t_ms - now.t_ms).abs() < REACH_MS);
        for at in near.filter_map(|s| s.raw[k]).take(most) {
            (x[n], y[n]) = (at.x, at.y);
            n += 1;
        }
    };
    take(&mut list[i..=i].iter(), 1);
    take(&mut list[..i].iter().rev(), AROUND);
    take(&mut list[i + 1..].iter(), AROUND);
    point(x.get_mut(..n)?, y.get_mut(..n)?)
}

/// Median of every point over a few samples.
pub(super) fn steady(list: &[Sample]) -> [Option<DVec2>; COUNT] {
    let mut out = [None; COUNT];
    let (mut x, mut y) = (
        Vec::with_capacity(list.len()),
        Vec::with_capacity(list.len()),
    );
    for (k, out) in out.iter_mut().enumerate() {
        x.clear();
        y.clear();
        for at in list.iter().filter_map(|s| s.raw[k]) {
            x.push(at.x);
            y.push(at.y);
        }
        *out = point(&mut x, &mut y);
    }
    out
}

fn point(x: &mut [f64], y: &mut [f64]) -> Option<DVec2> {
    Some(DVec2::new(upper_median(x)?, upper_median(y)?))
}

/// Means over frames that follow closely, px.
fn paced(poses: &[Pose]) -> Vec<Sample> {
    let mut out: Vec<Sample> = Vec::with_capacity(poses.len());
    let mut home = Places::default();
    let mut last: Option<f64> = None;
    let mut sums = [(DVec2::ZERO, 0.0); COUNT];
    let (mut from, mut times) = (f64::NEG_INFINITY, (0.0, 0.0));
    for pose in poses {
        let mut feet = places(pose);
        let (mut knees, mut hips) = (pair(pose, Part::Knee), pair(pose, Part::Hip));
        if swapped(&home, &feet) {
            feet.swap(0, 1);
            knees.swap(0, 1);
            hips.swap(0, 1);
        }
        blend(
            &mut home,
            &feet,
            gain(last.map_or(0.0, |t| pose.t_ms - t), SIDES_MS),
        );
        last = Some(pose.t_ms);
        if pose.t_ms - from >= PACE_MS {
            out.extend(mean(&sums, times));
            (sums, times) = ([(DVec2::ZERO, 0.0); COUNT], (0.0, 0.0));
            from = pose.t_ms;
        }
        times = (times.0 + pose.t_ms, times.1 + 1.0);
        let seen = knees.into_iter().chain(feet.into_iter().flatten());
        let seen = seen.chain(hips);
        for (sum, at) in sums.iter_mut().zip(seen) {
            if let Some(at) = at {
                *sum = (sum.0 + at, sum.1 + 1.0);
            }
        }
    }
    out.extend(mean(&sums, times));
    out
}

fn mean(sums: &[(DVec2, f64); COUNT], (times, n): (f64, f64)) -> Option<Sample> {
    (n > 0.0).then(|| Sample {
        t_ms: times / n,
        raw: sums.map(|(sum, n)| (n > 0.0).then(|| sum / n)),
        steady: [None; COUNT],
    })
}
