//! Direction in which a squat takes the knees in the picture, found over the whole set, and the
//! displacement along it at each time.

use super::super::drop_estimator::FOOT_PER_SHANK;
use super::super::feet::POINTS;
use super::super::knees::KneeTravel;
use super::candidates::Candidate;
use super::filters::{deepest, smooth_zero_phase};
use super::planted::{intervals, moving};
use super::samples::{Sample, steady};
use super::trajectory::{Coords, KneeTrajectory, mean, project, weighted_square};
use crate::gather::Gather;
use crate::statistics::{sd_of_differences, upper_median, weighted_median};
use glam::DVec2;

/// Standing at the beginning of a interval, ms.
/// tuned: `reps`
const STANDING_MS: f64 = 500.0;
/// Standing at the beginning of the set, ms.
/// tuned: `reps`
const FIRST_MS: f64 = 800.0;
/// Time constant of the smoothed signal, both ways, ms.
/// tuned: `reps`
const SMOOTH_MS: f64 = 50.0;
/// Above this share of the farthest, samples tell the way.
/// tuned: `reps`
const DEEP: f64 = 0.6;
/// Points' errors are no smaller than this, shank lengths.
/// tuned: `reps`
const LEAST_NOISE: f64 = 0.002;
/// A knee seen in less than this share of the samples is not relied on.
/// tuned: `reps`
const MOSTLY: f64 = 0.3;
/// The candidates go one way when this part of their movements is along the set's. Else what goes another
/// way counts too, by a part.
/// tuned: `reps`
const AGREE: f64 = 0.98;
const ASIDE: f64 = 0.6;
/// Nor are ways told apart when the signal's error is more than this.
/// tuned: `reps`
const UNSURE: f64 = 0.08;

impl KneeTrajectory {
    /// Taken against the beginning of every interval.
    pub fn new(list: &[Sample]) -> Option<Self> {
        let moving = moving(list);
        let intervals = intervals(list, &moving);
        let mut moved = vec![[f64::NAN; 4]; list.len()];
        for &(from, to) in &intervals {
            let Some(interval) = list.get(from..to) else {
                continue;
            };
            let edge = interval.first().map_or(0.0, |s| s.t_ms + STANDING_MS);
            let n = interval.partition_point(|s| s.t_ms <= edge);
            let [left, right, ..] = steady(&interval[..n]);
            let home = numbers([left, right]);
            for ((sample, out), moving) in
                interval.iter().zip(&mut moved[from..]).zip(&moving[from..])
            {
                if !moving {
                    let now = numbers(sample.knees());
                    *out = std::array::from_fn(|k| now[k] - home[k]);
                }
            }
        }
        let hips = hips(list);
        let mut trajectory = Self {
            t_ms: list.iter().map(|s| s.t_ms).collect(),
            smooth: Vec::new(),
            steady: Vec::new(),
            moved,
            direction: [0.0; 4],
            precision: precision(list),
            expected: expected(list),
            unit_size: 1.0,
            off_axis_weight: ASIDE,
            hip_noise: noise(&hips),
            hips,
            intervals,
            noise: 1.0,
            travel: 1.0,
        };
        trajectory.read()?;
        Some(trajectory)
    }

    /// Decides whether the candidates share one direction; displacement off it then counts for nothing.
    pub fn choose_direction(&mut self, candidates: &[Candidate]) -> Option<()> {
        let size = weighted_square(&self.direction, &self.precision).sqrt();
        let (mut with, mut all) = (0.0, 0.0);
        for candidate in candidates {
            let weight = candidate.weight(self);
            with += weight * project(&candidate.own, &self.direction, &self.precision) * size;
            all += weight * weighted_square(&candidate.own, &self.precision).sqrt();
        }
        if with > AGREE * all || self.noise > UNSURE {
            self.off_axis_weight = 0.0;
        }
        self.read()
    }

    /// Takes it against the standing around what looks like squats, by how much each does.
    pub fn recentre(&mut self, candidates: &[Candidate]) -> Option<()> {
        for k in 0..self.intervals.len() {
            let (from, to) = self.intervals[k];
            let mut seen: [Vec<(f64, f64)>; 4] = Default::default();
            for candidate in candidates.iter().filter(|h| from <= h.peak && h.peak < to) {
                let weight = candidate.weight(self);
                for (a, b) in candidate.standing(self, from, to) {
                    for moved in self.moved.get(a..b).unwrap_or(&[]) {
                        for (seen, &m) in seen.iter_mut().zip(moved) {
                            if m.is_finite() {
                                seen.push((m, weight));
                            }
                        }
                    }
                }
            }
            let home = seen.map(|mut list| weighted_median(&mut list).unwrap_or(0.0));
            for moved in self.moved.get_mut(from..to).unwrap_or(&mut []) {
                for (m, home) in moved.iter_mut().zip(home) {
                    *m -= home;
                }
            }
        }
        self.read()
    }

    /// Finds the direction and projects the set on it; `None` when the knees or their movement are not
    /// seen.
    #[inline(never)]
    fn read(&mut self) -> Option<()> {
        self.steady.clone_from(&self.moved);
        for k in 0..4 {
            let one: Vec<f64> = self.moved.iter().map(|m| m[k]).collect();
            for (out, value) in self
                .steady
                .iter_mut()
                .zip(smooth_zero_phase(&self.t_ms, &one, SMOOTH_MS))
            {
                out[k] = value;
            }
        }
        let (direction, mean) =
            direction(&self.t_ms, &self.steady, &self.precision, self.expected)?;
        let size = weighted_square(&direction, &self.precision).sqrt();
        self.direction = direction;
        self.unit_size = if self.off_axis_weight > 0.0 {
            mean
        } else {
            size
        };
        self.noise = 1.0 / self.unit_size;
        self.travel = match self.expected {
            Some(expected) => project(&direction, &expected, &[1.0; 4]),
            None => weighted_square(&direction, &[0.5; 4]).sqrt(),
        };
        let read = |m: &Coords| {
            let line = project(m, &direction, &self.precision) * size;
            // What is known of one knee only is no farther than it is along the way.
            let other = (weighted_square(m, &self.precision).sqrt() - line).max(0.0);
            (line + self.off_axis_weight * other) / self.unit_size
        };
        self.smooth = self.steady.iter().map(read).collect();
        Some(())
    }
}

fn numbers(knees: [Option<DVec2>; 2]) -> Coords {
    let [a, b] = knees.map(|p| p.unwrap_or(DVec2::NAN));
    [a.x, a.y, b.x, b.y]
}

/// Height of the hips' middle; of one alone as the other would have it.
fn hips(list: &[Sample]) -> Vec<f64> {
    let both = || list.iter().map(|s| s.hips().map(|h| h.map(|h| h.y)));
    let apart = |[a, b]: [Option<f64>; 2]| Some(b? - a?);
    let half = upper_median(&mut both().filter_map(apart).gather()).unwrap_or(0.0) / 2.0;
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

/// SD of errors, from the sizes of the differences of two.
fn spread(steps: &mut [f64]) -> f64 {
    sd_of_differences(steps).unwrap_or(0.0).max(LEAST_NOISE)
}

/// Precision of each coordinate: one over the variance of its error.
fn precision(list: &[Sample]) -> Coords {
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

/// Expected displacement for a travel of one shank length by where the feet point; `None` when they do
/// not show it.
fn expected(list: &[Sample]) -> Option<Coords> {
    let edge = list.first()?.t_ms + FIRST_MS;
    let n = list.partition_point(|s| s.t_ms <= edge);
    let at = steady(&list[..n]);
    let of = |side: usize, k: usize| at[2 + side * POINTS.len() + k];
    let ankles = [of(0, 0), of(1, 0)];
    let feet = [0, 1].map(|s| {
        let toe = of(s, 2).or(of(s, 3))?;
        Some((toe.x - of(s, 1)?.x) / FOOT_PER_SHANK)
    });
    let mut knees = KneeTravel::default();
    knees.stand(ankles, feet, 1.0);
    let [a, b] = knees.expected()?;
    Some([a.x, a.y, b.x, b.y])
}

/// The mean movement of the samples that are farthest from standing, much in whichever way: real
/// repetitions of one set differ as much as half of what they have in common.
fn direction(
    t_ms: &[f64],
    moved: &[Coords],
    precision: &Coords,
    expected: Option<Coords>,
) -> Option<(Coords, f64)> {
    let size = |m: &Coords| weighted_square(m, precision).sqrt();
    let like = |m: &Coords| match expected {
        Some(expected) => 0.5 * (size(m) + project(m, &expected, precision) * size(&expected)),
        None => size(m),
    };
    let far = moved.iter().map(like).gather();
    let edge = DEEP * far.get(deepest(t_ms, &far)?)?;
    let is = |i: usize| far[i] > edge;
    let direction = mean(moved, &is);
    let (mut sum, mut n) = (0.0, 0.0);
    for (i, m) in moved.iter().enumerate() {
        if is(i) {
            sum += size(m);
            n += 1.0;
        }
    }
    (size(&direction) > 0.0).then_some((direction, sum / n))
}
