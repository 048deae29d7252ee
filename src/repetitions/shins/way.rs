//! Which way a squat takes the knees in the picture, found over the whole set, and how far along it
//! they are at each time.

use super::super::feet::POINTS;
use super::super::knees::Knees;
use super::super::places::FOOT_PER_SHANK;
use super::humps::Hump;
use super::lists::{both_ways, deep, weighted_middle};
use super::planted::{moving, stretches};
use super::samples::{COUNT, Sample, middle, steady};
use crate::gather::Gather;
use glam::DVec2;

/// Coordinates of both knees.
type Numbers = [f64; 4];

/// Standing at the beginning of a stretch, ms.
const STANDING_MS: f64 = 500.0;
/// Standing at the beginning of the set, ms.
const FIRST_MS: f64 = 800.0;
/// Time constant of the smoothed signal, both ways, ms.
const SMOOTH_MS: f64 = 50.0;
/// Above this share of the farthest, samples tell the way.
const DEEP: f64 = 0.6;
/// Points' errors are no smaller than this, shank lengths.
const LEAST_NOISE: f64 = 0.002;
/// A knee seen in less than this share of the samples is not relied on.
const MOSTLY: f64 = 0.3;

/// A whole set, read from the knees.
#[derive(Clone, Debug)]
pub(super) struct Course {
    /// Times, ms.
    pub t_ms: Vec<f64>,
    /// How far the knees are along their way, 1 for the deepest; smoothed, and as seen (NaN where
    /// they were not).
    pub smooth: Vec<f64>,
    pub seen: Vec<f64>,
    /// Height of the hips in the picture, downward, where they are seen; shank lengths.
    pub hips: Vec<f64>,
    pub hip_noise: f64,
    /// Index ranges between two settings of the feet.
    pub stretches: Vec<(usize, usize)>,
    /// Error of the signal in one sample.
    pub noise: f64,
    /// The knees' travel at 1, shank lengths, as far as the feet tell how it is foreshortened.
    pub travel: f64,
}

/// The knees' movement against standing, before it is known which way a squat takes them.
#[derive(Clone, Debug)]
pub(super) struct Movement {
    t_ms: Vec<f64>,
    moved: Vec<Numbers>,
    stretches: Vec<(usize, usize)>,
    worth: Numbers,
    told: Option<Numbers>,
    hips: Vec<f64>,
    hip_noise: f64,
}

impl Movement {
    /// Taken against the beginning of every stretch.
    pub fn new(list: &[Sample]) -> Self {
        let moving = moving(list);
        let stretches = stretches(list, &moving);
        let mut moved = vec![[f64::NAN; 4]; list.len()];
        for &(from, to) in &stretches {
            let Some(stretch) = list.get(from..to) else {
                continue;
            };
            let edge = stretch.first().map_or(0.0, |s| s.t_ms + STANDING_MS);
            let n = stretch.partition_point(|s| s.t_ms <= edge);
            let home = numbers(steady(&stretch[..n]));
            for ((sample, out), moving) in
                stretch.iter().zip(&mut moved[from..]).zip(&moving[from..])
            {
                if !moving {
                    let [a, b] = sample.knees();
                    let mut at = [None; COUNT];
                    (at[0], at[1]) = (a, b);
                    let now = numbers(at);
                    *out = std::array::from_fn(|k| now[k] - home[k]);
                }
            }
        }
        let hips = hips(list);
        Self {
            hip_noise: noise(&hips),
            hips,
            t_ms: list.iter().map(|s| s.t_ms).collect(),
            moved,
            stretches,
            worth: worth(list),
            told: told(list),
        }
    }

    /// Takes it against the standing around what looks like squats, by how much each does.
    pub fn settle(&mut self, humps: &[Hump], course: &Course) {
        for &(from, to) in &self.stretches {
            let mut seen: [Vec<(f64, f64)>; 4] = Default::default();
            for hump in humps.iter().filter(|h| from <= h.peak && h.peak < to) {
                let weight = hump.weight(course);
                for (a, b) in hump.standing(course, from, to) {
                    for moved in self.moved.get(a..b).unwrap_or(&[]) {
                        for (seen, &m) in seen.iter_mut().zip(moved) {
                            if m.is_finite() {
                                seen.push((m, weight));
                            }
                        }
                    }
                }
            }
            let home = seen.map(|mut list| weighted_middle(&mut list).unwrap_or(0.0));
            for moved in self.moved.get_mut(from..to).unwrap_or(&mut []) {
                for (m, home) in moved.iter_mut().zip(home) {
                    *m -= home;
                }
            }
        }
    }

    /// Finds the way and reads the set along it; `None` when the knees or their movement are not
    /// seen.
    pub fn course(&self) -> Option<Course> {
        let (t_ms, worth) = (&self.t_ms, &self.worth);
        let mut smooth = vec![[f64::NAN; 4]; self.moved.len()];
        for k in 0..4 {
            let one: Vec<f64> = self.moved.iter().map(|m| m[k]).collect();
            for (out, value) in smooth.iter_mut().zip(both_ways(t_ms, &one, SMOOTH_MS)) {
                out[k] = value;
            }
        }
        let way = way(t_ms, &smooth, worth, self.told)?;
        let along = |m: &Numbers| along(m, &way, worth);
        let told = self.told.unwrap_or([0.0; 4]);
        let length = square(&told, &[1.0; 4]);
        let travel = if length > 0.0 {
            way.iter().zip(told).map(|(a, b)| a * b).sum::<f64>() / length
        } else {
            square(&way, &[0.5; 4]).sqrt()
        };
        Some(Course {
            smooth: smooth.iter().map(along).collect(),
            seen: self.moved.iter().map(along).collect(),
            hips: self.hips.clone(),
            hip_noise: self.hip_noise,
            noise: 1.0 / square(&way, worth).sqrt(),
            stretches: self.stretches.clone(),
            travel,
            t_ms: t_ms.clone(),
        })
    }
}

fn numbers(at: [Option<DVec2>; COUNT]) -> Numbers {
    let [a, b] = [at[0], at[1]].map(|p| p.unwrap_or(DVec2::NAN));
    [a.x, a.y, b.x, b.y]
}

/// Weighted sum of squares of what is known.
#[inline(never)]
fn square(m: &Numbers, worth: &Numbers) -> f64 {
    let known = m.iter().zip(worth).filter(|(m, _)| m.is_finite());
    known.map(|(m, w)| m * m * w).sum()
}

/// How far along the way, from the coordinates that are known.
#[inline(never)]
fn along(m: &Numbers, way: &Numbers, worth: &Numbers) -> f64 {
    let (mut with, mut all) = (0.0, 0.0);
    for k in 0..4 {
        if m[k].is_finite() {
            with += m[k] * way[k] * worth[k];
            all += way[k] * way[k] * worth[k];
        }
    }
    if all > 0.0 { with / all } else { f64::NAN }
}

/// Height of the hips' middle; of one alone as the other would have it.
fn hips(list: &[Sample]) -> Vec<f64> {
    let both = || list.iter().map(|s| s.hips().map(|h| h.map(|h| h.y)));
    let apart = |[a, b]: [Option<f64>; 2]| Some(b? - a?);
    let half = middle(&mut both().filter_map(apart).gather()).unwrap_or(0.0) / 2.0;
    both()
        .map(|pair| match pair {
            [Some(a), Some(b)] => (a + b) / 2.0,
            [Some(a), None] => a + half,
            [None, Some(b)] => b - half,
            [None, None] => f64::NAN,
        })
        .collect()
}

/// SD of the errors of values that follow closely.
fn noise(values: &[f64]) -> f64 {
    let steps = values.windows(2).map(|w| (w[1] - w[0]).abs());
    spread(&mut steps.filter(|d| d.is_finite()).gather())
}

/// SD of errors, from the differences of two: half of them are less than 0.6745 of their SD.
fn spread(steps: &mut [f64]) -> f64 {
    let sd = middle(steps).unwrap_or(0.0) / 0.6745 / std::f64::consts::SQRT_2;
    sd.max(LEAST_NOISE)
}

/// What each coordinate is worth: one over its error's variance.
fn worth(list: &[Sample]) -> Numbers {
    let at = |i: usize, k: usize| {
        let p = list.get(i)?.raw[k / 2]?;
        Some(if k.is_multiple_of(2) { p.x } else { p.y })
    };
    std::array::from_fn(|k| {
        let pairs = (1..list.len()).filter_map(|i| Some((at(i, k)? - at(i - 1, k)?).abs()));
        let mut steps = pairs.gather();
        if (steps.len() as f64) < MOSTLY * list.len() as f64 {
            return 0.0;
        }
        spread(&mut steps).powi(-2)
    })
}

/// Movement for a travel of one shank length by where the feet point; `None` when they don't tell.
fn told(list: &[Sample]) -> Option<Numbers> {
    let edge = list.first()?.t_ms + FIRST_MS;
    let n = list.partition_point(|s| s.t_ms <= edge);
    let at = steady(&list[..n]);
    let of = |side: usize, k: usize| at[2 + side * POINTS.len() + k];
    let ankles = [of(0, 0), of(1, 0)];
    let feet = [0, 1].map(|s| {
        let toe = of(s, 2).or(of(s, 3))?;
        Some((toe.x - of(s, 1)?.x) / FOOT_PER_SHANK)
    });
    let mut knees = Knees::default();
    knees.stand(ankles, feet, 1.0);
    let [a, b] = knees.told()?;
    Some([a.x, a.y, b.x, b.y])
}

/// The mean movement of the samples that are farthest from standing, much in whichever way: real
/// repetitions of one set differ as much as half of what they have in common.
fn way(t_ms: &[f64], moved: &[Numbers], worth: &Numbers, told: Option<Numbers>) -> Option<Numbers> {
    let like = |m: &Numbers| {
        let size = square(m, worth).sqrt();
        let Some(told) = told else { return size };
        let mut with = 0.0;
        for k in 0..4 {
            if m[k].is_finite() {
                with += m[k] * told[k] * worth[k];
            }
        }
        let cosine = with / (size * square(&told, worth).sqrt()).max(1e-12);
        size * (0.5 + 0.5 * cosine)
    };
    let far = moved.iter().map(like).gather();
    let edge = DEEP * far.get(deep(t_ms, &far)?)?;
    let (mut sum, mut n) = ([0.0; 4], [0.0; 4]);
    for (m, _) in moved.iter().zip(&far).filter(|f| *f.1 > edge) {
        for k in (0..4).filter(|&k| m[k].is_finite()) {
            sum[k] += m[k];
            n[k] += 1.0;
        }
    }
    let way = std::array::from_fn(|k| if n[k] > 0.0 { sum[k] / n[k] } else { 0.0 });
    (square(&way, worth) > 0.0).then_some(way)
}
