//! Intervals in which the feet stay where they are.

use super::super::feet::{POINTS, Places, distance};
use super::samples::{Sample, steady};
use glam::DVec2;

/// Feet that are elsewhere by this much in [`WITHIN_MS`] to either side move, shank lengths.
/// tuned: `reps`
const MOVES: f64 = 0.07;
const WITHIN_MS: f64 = 200.0;
/// ... and have stepped when they end elsewhere, or move by this much.
/// tuned: `reps`
const STEPS: f64 = 0.10;
/// Going up and down counts by this part where only the ankle of a foot is seen: heels that leave the
/// floor in a squat take it along, and a step takes it sideways too.
/// tuned: `reps`
const UPWARD: f64 = 0.5;
/// A step takes longer than this, ms, and two closer together than that are one.
/// tuned: `reps`
const STEP_MS: f64 = 100.0;
const APART_MS: f64 = 300.0;
/// Feet less far from where they were before have not been set anew, shank lengths.
/// tuned: `reps`
const SAME: f64 = 0.05;
/// Time over which places are compared, ms.
/// tuned: `reps`
const PLACE_MS: f64 = 700.0;

/// The knees move before a foot does and after it, ms.
/// tuned: `reps`
const MARGIN_MS: f64 = 240.0;

/// Whether the feet move at each sample.
pub(super) fn moving(list: &[Sample]) -> Vec<bool> {
    let (mut a, mut b) = (0, 0);
    let mut far = vec![0.0; list.len()];
    for (i, sample) in list.iter().enumerate() {
        while list[a].t_ms < sample.t_ms - WITHIN_MS {
            a += 1;
        }
        while b + 1 < list.len() && list[b].t_ms < sample.t_ms + WITHIN_MS {
            b += 1;
        }
        far[i] = step(&list[a].feet(), &list[b].feet());
    }
    let mut out: Vec<bool> = far.iter().map(|&far| far > MOVES).collect();
    let time = |i: usize| list.get(i).map_or(0.0, |s| s.t_ms);
    fill(&mut out, false, |a, b| time(b) - time(a) <= APART_MS);
    fill(&mut out, true, |a, b| time(b) - time(a) <= STEP_MS);
    let mut i = 0;
    while i < list.len() {
        let n = out[i..].iter().take_while(|&&m| m == out[i]).count();
        let stepped = || elsewhere(list, i, i + n) || far[i..i + n].iter().any(|&f| f > STEPS);
        if out[i] && !stepped() {
            out[i..i + n].fill(false);
        }
        i += n;
    }
    widen(list, &out)
}

/// The larger of both feet's distances; a foot's is that of the point that moves least: heels rise in
/// a squat and take the ankle along, and points leap, but a step takes all of the foot elsewhere.
fn step(before: &Places, after: &Places) -> f64 {
    let foot = |(a, b): (&[_; POINTS.len()], &[_; POINTS.len()])| {
        let off = |(p, q): (&Option<DVec2>, &Option<DVec2>)| Some((*p)? - (*q)?);
        let moved = || a.iter().zip(b).filter_map(off);
        let upward = if moved().nth(1).is_none() {
            UPWARD
        } else {
            1.0
        };
        let far = moved().map(|m| DVec2::new(m.x, upward * m.y).length());
        far.reduce(f64::min)
    };
    let feet = before.iter().zip(after).filter_map(foot);
    feet.fold(0.0, f64::max)
}

/// The feet are elsewhere after `to` than before `from`.
fn elsewhere(list: &[Sample], from: usize, to: usize) -> bool {
    let time = |i: usize| list.get(i).map_or(f64::INFINITY, |s| s.t_ms);
    let start = list.partition_point(|s| s.t_ms < time(from) - PLACE_MS);
    let end = list.partition_point(|s| s.t_ms < time(to) + PLACE_MS);
    let (before, after) = (place(&list[start..from]), place(&list[to..end.max(to)]));
    distance(&before, &after, 1.0) > SAME
}

fn widen(list: &[Sample], moving: &[bool]) -> Vec<bool> {
    let (mut a, mut b) = (0, 0);
    let around = list.iter().map(|sample| {
        while list[a].t_ms < sample.t_ms - MARGIN_MS {
            a += 1;
        }
        while b < list.len() && list[b].t_ms < sample.t_ms + MARGIN_MS {
            b += 1;
        }
        moving[a..b].contains(&true)
    });
    around.collect()
}

/// Inverts the runs of `value` between others that are short, by their first and last index.
fn fill(list: &mut [bool], value: bool, short: impl Fn(usize, usize) -> bool) {
    let mut i = 0;
    while i < list.len() {
        let n = list[i..].iter().take_while(|&&v| v == list[i]).count();
        let end = i + n;
        let inside = i > 0 && end < list.len() || value;
        if list[i] == value && inside && short(i, end - 1) {
            list[i..end].iter_mut().for_each(|v| *v = !value);
        }
        i = end;
    }
}

/// Index ranges between two settings of the feet; `moving` frames may lie in them.
pub(super) fn intervals(list: &[Sample], moving: &[bool]) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    let mut i = 0;
    while i < list.len() {
        let n = moving[i..].iter().take_while(|&&m| m == moving[i]).count();
        let (from, to) = (i, i + n);
        i = to;
        if moving[from] || n < 4 {
            continue;
        }
        if let Some(last) = out.last_mut()
            && !elsewhere(&list[..to], last.1, from)
        {
            last.1 = to;
            continue;
        }
        out.push((from, to));
    }
    out
}

fn place(list: &[Sample]) -> Places {
    let at = steady(list);
    [0, 1].map(|s| std::array::from_fn(|k| at[2 + s * POINTS.len() + k]))
}
