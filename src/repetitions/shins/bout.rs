//! One repetition of feet and shins with the standing on either side, and what its course is about.

use super::course::Course;
use super::fit::{
    AFTER, BEFORE, BOTTOM, DOWN, Fitted, HIPS, Known, Numbers, PAUSE, SHAPE, SHORTEST_MS, SINK,
    START, Seen, UP, fit, part,
};
use super::humps::Hump;
use crate::gather::Gather;

/// Standing before and after is used for so long, ms.
const REST_MS: f64 = 800.0;
/// Standing ends where the curve goes up again by this share of the height.
const TURN: f64 = 0.05;
/// ... and lies below this one.
const FOOT: f64 = 0.15;
/// The shape's spread from one repetition to the next.
const SHAPE_SD: f64 = 0.06;
/// Levels of standing, and of the bottom, may be off by this, SD; parts of the deepest.
const STANDING_SD: f64 = 0.06;
const BOTTOM_SD: f64 = 0.1;
/// Hips seen in so many samples of a repetition tell its course.
const TELLING: usize = 4;

/// A repetition with its samples.
pub(super) struct Bout {
    samples: Vec<Seen>,
    guess: Numbers,
    /// Times that lie within both ways for certain, ms.
    within: [f64; 2],
}

impl Bout {
    /// Cuts out the samples of a hump with its standing, and guesses its course from where it passes
    /// some heights.
    pub fn new(course: &Course, hump: &Hump) -> Self {
        let steady = course.steady.iter().map(|m| course.along(m, hump));
        let y = &steady.gather();
        let (top, bases) = (y[hump.peak], [y[hump.from], y[hump.to]]);
        let height = top - bases[0].max(bases[1]);
        let stretch = course.stretch(hump).unwrap_or((hump.from, hump.to + 1));
        let t = |i: usize| course.time(i);
        // Where a bounce or a failed attempt begins and ends.
        let (first, last) = if hump.back > 0.0 {
            let high = |i: &usize| y[*i] > top - 0.5 * height;
            let within = || (hump.from..=hump.to).filter(high);
            let back = 0.7 * hump.back;
            let turn = |found: Option<usize>| found.unwrap_or(hump.peak);
            (
                turn(peak(y, within(), back)),
                turn(peak(y, within().rev(), back)),
            )
        } else {
            (hump.peak, hump.peak)
        };
        let pass = |base: f64, share: f64| base + share * (top - base);
        let below = |i: &usize, level: f64| y[*i] < level;
        let down = |share: f64| {
            let level = pass(bases[0], share);
            (hump.from..first).rev().find(|i| below(i, level))
        };
        let up = |share: f64| {
            let level = pass(bases[1], share);
            (last..hump.to).find(|i| below(i, level))
        };
        let down = |share| down(share).unwrap_or(hump.from);
        let up = |share| up(share).unwrap_or(hump.to);
        let (a, b) = (t(down(0.3)), t(down(0.75)));
        let (c, d) = (t(up(0.75)), t(up(0.3)));
        let lengths = [b - a, d - c].map(|l| (l / 0.3).max(300.0));
        let start = a - 0.3 * lengths[0];
        let (mut arrives, mut leaves) = (b + 0.4 * lengths[0], c - 0.4 * lengths[1]);
        if arrives > leaves {
            let middle = (arrives + leaves) / 2.0;
            (arrives, leaves) = (middle, middle);
        }
        let arrives = arrives.max(start + SHORTEST_MS);
        let leaves = leaves.max(arrives);
        let end = (d + 0.3 * lengths[1]).max(leaves + SHORTEST_MS);
        let feet = [down(FOOT), up(FOOT)];
        let from = rest(
            (&course.t_ms, y),
            (stretch.0..=feet[0]).rev(),
            height,
            start - t(feet[0]),
        );
        let to = rest(
            (&course.t_ms, y),
            feet[1]..stretch.1,
            height,
            end - t(feet[1]),
        );
        let (from, to) = (from.unwrap_or(feet[0]), to.unwrap_or(feet[1]));
        let mut samples = Vec::new();
        for k in from..=to {
            if k <= first || k >= last {
                samples.push(Seen {
                    t_ms: t(k),
                    knees: course.along(&course.moved[k], hump),
                    hips: course.hips[k],
                });
            }
        }
        let mut guess = Numbers::from([
            0.0,
            top,
            0.0,
            0.0,
            start,
            arrives - start,
            leaves - arrives,
            end - leaves,
            0.0,
            0.0,
        ]);
        hang(&mut samples, &mut guess);
        Self {
            samples,
            guess,
            within: [b, c],
        }
    }

    /// The numbers when they lead through what was seen, and no farther; else what was thought first.
    pub fn kept(&self, numbers: Option<Numbers>) -> Numbers {
        self.bounded(numbers.filter(|p| self.holds(p)).unwrap_or(self.guess))
    }

    /// The course leads through what was seen.
    fn holds(&self, p: &Numbers) -> bool {
        let [down, up] = self.within;
        let arrives = p[START] + p[DOWN];
        let leaves = arrives + p[PAUSE];
        p[START] < down
            && down < arrives + 0.2 * p[DOWN]
            && leaves - 0.2 * p[UP] < up
            && up < leaves + p[UP]
    }

    /// No farther than what was seen of the standing on either side.
    fn bounded(&self, mut p: Numbers) -> Numbers {
        let edge = |s: Option<&Seen>| s.map(|s| s.t_ms);
        let late = edge(self.samples.first()).map_or(0.0, |t| (t - p[START]).max(0.0));
        let late = late.min(p[DOWN]);
        (p[START], p[DOWN]) = (p[START] + late, p[DOWN] - late);
        let end = p[START] + p[DOWN] + p[PAUSE] + p[UP];
        let early = edge(self.samples.last()).map_or(0.0, |t| (end - t).max(0.0));
        p[UP] -= early.min(p[UP]);
        p
    }

    /// Fits the course with this power of the knees' and about this shape.
    pub fn fit(&self, course: &Course, lead: f64, shape: f64) -> Option<Fitted> {
        let mut mean = self.guess;
        mean[SHAPE] = shape;
        let mut worth = Numbers::zeros();
        for (k, sd) in [
            (BEFORE, STANDING_SD),
            (AFTER, STANDING_SD),
            (BOTTOM, BOTTOM_SD),
            (SHAPE, SHAPE_SD),
            (HIPS, 3.0),
            (SINK, 3.0),
        ] {
            worth[k] = 1.0 / (sd * sd);
        }
        let known = Known {
            mean,
            worth,
            lead,
            noise: [course.noise, course.hip_noise],
        };
        fit(&self.samples, &known)
    }
}

/// The first maximum that the curve goes back from.
fn peak(y: &[f64], order: impl Iterator<Item = usize>, back: f64) -> Option<usize> {
    let mut best = None;
    for i in order {
        let high = best.map_or(f64::NEG_INFINITY, |k: usize| y[k]);
        if y[i] > high {
            best = Some(i);
        } else if y[i] < high - back {
            break;
        }
    }
    best
}

/// Walks from the foot of a way into the standing beyond it, for [`REST_MS`] more than `ms`.
fn rest(
    (t_ms, y): (&[f64], &[f64]),
    order: impl Iterator<Item = usize>,
    height: f64,
    ms: f64,
) -> Option<usize> {
    let (mut low, mut last, mut origin) = (None::<(usize, f64)>, None, None);
    for i in order {
        let (t, y) = (t_ms[i], y[i]);
        let from = *origin.get_or_insert(t);
        if (t - from).abs() > REST_MS + ms.abs() {
            break;
        }
        if low.is_some_and(|l| y > l.1 + TURN * height) {
            return low.map(|l| l.0);
        }
        if low.is_none_or(|l| y < l.1) {
            low = Some((i, y));
        }
        last = Some(i);
    }
    last
}

/// Finds the hips' height in standing and how far they sink, about; takes the hips out of the samples
/// when they don't tell.
fn hang(samples: &mut [Seen], guess: &mut Numbers) {
    let (mut n, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for s in samples.iter().filter(|s| s.hips.is_finite()) {
        let u = part(guess, s.t_ms);
        n += 1.0;
        x += u;
        y += s.hips;
        xx += u * u;
        xy += u * s.hips;
    }
    let spread = xx - x * x / f64::max(n, 1.0);
    if n < TELLING as f64 || spread < 0.02 * n {
        samples.iter_mut().for_each(|s| s.hips = f64::NAN);
        return;
    }
    guess[SINK] = ((xy - x * y / n) / spread).max(0.1);
    guess[HIPS] = (y - guess[SINK] * x) / n;
}
