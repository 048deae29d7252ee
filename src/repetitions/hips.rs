//! Repetitions that only the hips show: the feet were out of sight, or not found.

use super::phase::Repetition;
use crate::gather::Gather;
use crate::keypoints::{Part, Side};
use crate::order::ascending;
use crate::pose::{Pose, mean};

/// Hips that go down by this part of their standing height above the knees' standing place, and how far
/// they come up again: a squat takes them down by 0.4 of it (a quarter squat) or more ...
/// tuned: `--test lost_feet`
const DOWN: f64 = 0.35;
const UP: f64 = 0.12;
/// ... and takes so long, ms.
/// tuned: `--test lost_feet`
const LASTS_MS: std::ops::Range<f64> = 550.0..15_000.0;
/// So much of it shows no foot, or no knee.
/// tuned: `--test lost_feet`
const LOST: f64 = 0.5;
/// Feet seen in less of the film were never in the picture.
/// tuned: `--test lost_feet`
const SEEN: f64 = 0.2;
/// Hips are smoothed over so long, ms.
/// tuned: `--test lost_feet`
const SMOOTH_MS: f64 = 120.0;

fn sees(pose: &Pose, part: Part) -> bool {
    Side::BOTH.iter().any(|&s| pose.of(part, s).is_some())
}

/// Hips' height over time, px down; `None` where they are not seen.
fn hips(poses: &[Pose]) -> Vec<(f64, f64)> {
    poses
        .iter()
        .filter_map(|p| Some((p.t_ms, mean(Side::BOTH.map(|s| p.of(Part::Hip, s)))?.y)))
        .gather()
}

/// The hips' standing height in the picture and the thigh's length there, px.
fn standing(poses: &[Pose], list: &[(f64, f64)]) -> Option<(f64, f64)> {
    let mut ys = list.iter().map(|h| h.1).gather();
    ascending(&mut ys);
    // A lifter stands for a third of a set or more.
    let stands = *ys.get(ys.len() / 8)?;
    let mut thighs = poses
        .iter()
        .filter_map(|p| {
            let y = |part| Some(mean(Side::BOTH.map(|s| p.of(part, s)))?.y);
            let trunk = y(Part::Hip)? - y(Part::Shoulder)?;
            Some(y(Part::Knee).map_or(0.85 * trunk, |knee| knee - y(Part::Hip).unwrap_or(knee)))
        })
        .gather();
    ascending(&mut thighs);
    let thigh = *thighs.get(thighs.len() * 7 / 8)?;
    (thigh > 8.0).then_some((stands, thigh))
}

/// Adds to `reps` those that the hips alone show; gives for how long feet or knees were out of sight in
/// repetitions, ms.
pub(crate) fn add_unfooted(reps: &mut Vec<Repetition>, poses: &[Pose]) -> f64 {
    let list = hips(poses);
    let mut lost_ms = 0.0;
    let footed = |p: &&Pose| [Part::Ankle, Part::Heel].iter().any(|&k| sees(p, k));
    // Out of sight for a while, that is, and not out of the picture.
    if (poses.iter().filter(footed).count() as f64) < SEEN * poses.len() as f64 {
        return 0.0;
    }
    let Some((stands, thigh)) = standing(poses, &list) else {
        return 0.0;
    };
    let (mut drop, mut last) = (0.0, f64::NEG_INFINITY);
    let mut from: Option<f64> = None;
    let (mut deepest, mut bottom_ms) = (0.0, 0.0);
    for (t_ms, y) in list {
        let now = (y - stands) / thigh;
        if t_ms - last > 1500.0 {
            (drop, from, deepest) = (now, None, 0.0);
        }
        drop += super::feet::gain(t_ms - last, SMOOTH_MS) * (now - drop);
        last = t_ms;
        if drop < UP {
            if deepest > DOWN
                && let Some(start_ms) = from
            {
                let rep = Repetition {
                    start_ms,
                    bottom_ms,
                    bottom_end_ms: bottom_ms,
                    end_ms: t_ms,
                    depth: None,
                    shallow: deepest < 0.6,
                    complete: true,
                };
                lost_ms += consider(reps, rep, poses);
            }
            (from, deepest) = (Some(t_ms), 0.0);
        } else if drop > deepest {
            (deepest, bottom_ms) = (drop, t_ms);
        }
    }
    crate::order::short_list(reps, |a, b| a.start_ms.total_cmp(&b.start_ms).is_lt());
    lost_ms
}

/// Takes one in that is not counted yet and did not show its feet; gives for how long it did not, ms.
fn consider(reps: &mut Vec<Repetition>, rep: Repetition, poses: &[Pose]) -> f64 {
    let from = poses.partition_point(|p| p.t_ms < rep.start_ms);
    let to = poses.partition_point(|p| p.t_ms <= rep.end_ms);
    let (mut all, mut lost) = (0.0, 0.0);
    for pose in poses.get(from..to).unwrap_or(&[]) {
        all += 1.0;
        let foot = [Part::Ankle, Part::Heel, Part::BigToe]
            .iter()
            .any(|&p| sees(pose, p));
        lost += f64::from(u8::from(!foot || !sees(pose, Part::Knee)));
    }
    let lasts = rep.end_ms - rep.start_ms;
    if !LASTS_MS.contains(&lasts) || lost < LOST * all {
        return 0.0;
    }
    let counted = |r: &Repetition| r.start_ms < rep.bottom_ms && rep.bottom_ms < r.end_ms;
    if !reps.iter().any(counted) {
        reps.push(rep);
    }
    lasts * lost / all
}
