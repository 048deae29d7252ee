//! Keypoints of a whole set, smoothed without delay.

use super::geometry::Pixels;
use super::smoothing::Butterworth;
use crate::gather::Gather;
use crate::keypoints::Joint;
use crate::pose::Pose;
use crate::statistics::upper_median;
use glam::DVec2;

/// Cutoff of the smoothing, Hz: squats have little above 2 Hz.
pub(super) const CUTOFF_HZ: f64 = 3.0;
/// Longest gap that is bridged by a straight line, ms.
const LONGEST_GAP_MS: f64 = 350.0;
/// Points this far from the median of their neighbours, in shank lengths, are jumps.
const JUMP: f64 = 0.06;

/// Frames smoothed, and what smoothing leaves of white noise's variance.
pub(super) struct Tracks {
    pub frames: Vec<Pixels>,
    pub gain: f64,
}

/// Smooths every joint's path; `shank` is its length in the picture, px.
pub(super) fn smooth(poses: &[Pose], shank: f64) -> Tracks {
    let mut frames: Vec<Pixels> = vec![[None; Joint::COUNT]; poses.len()];
    let mut steps: Vec<f64> = poses
        .windows(2)
        .map(|w| w[1].t_ms - w[0].t_ms)
        .filter(|d| *d > 1.0)
        .gather();
    let Some(step) = upper_median(&mut steps) else {
        return Tracks { frames, gain: 1.0 };
    };
    let rate = 1000.0 / step;
    let filter = Butterworth::low_pass_two_passes(CUTOFF_HZ.min(rate * 0.3), rate);
    let gain = filter.map_or(1.0, |f| f.white_gain());
    let mut seen: Vec<(usize, DVec2)> = Vec::with_capacity(poses.len());
    for joint in Joint::ALL {
        seen.clear();
        seen.extend(
            poses
                .iter()
                .enumerate()
                .filter_map(|(i, p)| Some((i, p.at(joint).filter(|a| a.is_finite())?))),
        );
        drop_jumps(&mut seen, JUMP * shank);
        let mut from = 0;
        for i in 1..=seen.len() {
            let gap = |a: usize, b: usize| poses[b].t_ms - poses[a].t_ms;
            if i == seen.len() || gap(seen[i - 1].0, seen[i].0) > LONGEST_GAP_MS.max(3.0 * step) {
                run(
                    poses,
                    &seen[from..i],
                    step,
                    filter.as_ref(),
                    joint,
                    &mut frames,
                );
                from = i;
            }
        }
    }
    Tracks { frames, gain }
}

/// Replaces points that stand far off the median of the five around them.
fn drop_jumps(seen: &mut [(usize, DVec2)], limit: f64) {
    let old: Vec<DVec2> = seen.iter().map(|s| s.1).gather();
    for i in 2..old.len().saturating_sub(2) {
        let median = |f: fn(&DVec2) -> f64| {
            let mut five = [0.0; 5];
            for (slot, at) in five.iter_mut().zip(&old[i - 2..=i + 2]) {
                *slot = f(at);
            }
            upper_median(&mut five).unwrap_or(f(&old[i]))
        };
        let middle = DVec2::new(median(|p| p.x), median(|p| p.y));
        if middle.distance(old[i]) > limit {
            seen[i].1 = middle;
        }
    }
}

/// One unbroken run of a joint: onto an even grid, smoothed, and back.
fn run(
    poses: &[Pose],
    seen: &[(usize, DVec2)],
    step: f64,
    filter: Option<&Butterworth>,
    joint: Joint,
    frames: &mut [Pixels],
) {
    let (Some(first), Some(last)) = (seen.first(), seen.last()) else {
        return;
    };
    let t0 = poses[first.0].t_ms;
    let n = (((poses[last.0].t_ms - t0) / step).round() as usize).min(200_000) + 1;
    let (mut xs, mut ys) = (Vec::with_capacity(n), Vec::with_capacity(n));
    let mut k = 0;
    for i in 0..n {
        let t = t0 + i as f64 * step;
        while k + 2 < seen.len() && poses[seen[k + 1].0].t_ms < t {
            k += 1;
        }
        let at = match seen.get(k + 1) {
            Some(b) => between(poses, seen[k], *b, t),
            None => seen[k].1,
        };
        xs.push(at.x);
        ys.push(at.y);
    }
    if let Some(filter) = filter.filter(|_| n > 6) {
        filter.both_ways(&mut xs);
        filter.both_ways(&mut ys);
    }
    for i in first.0..=last.0 {
        let place = crate::order::within((poses[i].t_ms - t0) / step, 0.0, (n - 1) as f64);
        let (a, b) = (place.floor() as usize, place.ceil() as usize);
        let f = place - a as f64;
        let at = DVec2::new(xs[a] + (xs[b] - xs[a]) * f, ys[a] + (ys[b] - ys[a]) * f);
        frames[i][joint.index()] = Some(at);
    }
}

fn between(poses: &[Pose], a: (usize, DVec2), b: (usize, DVec2), t: f64) -> DVec2 {
    let (ta, tb) = (poses[a.0].t_ms, poses[b.0].t_ms);
    let f = if tb > ta {
        ((t - ta) / (tb - ta)).clamp(0.0, 1.0)
    } else {
        0.0
    };
    a.1.lerp(b.1, f)
}
