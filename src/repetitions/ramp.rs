//! When a repetition leaves standing, turns and stands again, by fitting the course of one to all
//! its samples.

use super::ease::{COUNT, DOWN, Eased, Limits, Numbers, PAUSE, SHAPE, START, UP, eased};
use super::habits::{Both, Known};
use super::refine::Sample;
use crate::least_squares::{Normal, Problem, Search, huber, minimise};

/// Where each number is beside the course's: levels before, at the bottom and after, by how much the
/// bottom's level changes; how far what is read bends, see [`model`].
const BEFORE: usize = 0;
const BOTTOM: usize = 1;
const AFTER: usize = 2;
const SUNK: usize = 3;
const BEND: usize = 9;
/// Numbers that a lifter's repetitions share.
const HABITS: [usize; 2] = [SHAPE, BEND];

/// Residuals beyond so many standard errors pull no harder.
const STRAIGHT: f64 = 2.0;
const SEARCH: Search = Search {
    steps: 40,
    tolerance: 1e-5,
};
const LIMITS: Limits = Limits {
    stretch: 2.5,
    shortest_ms: 0.0,
};

/// Samples of a repetition with some of the standing on either side.
pub(crate) struct Bout<'a> {
    /// The way down and the way up, in order of time.
    pub ways: [&'a [Sample]; 2],
    /// Levels before, at the bottom and after, about.
    pub levels: [f64; 3],
    /// What lies between the two ways is not known: a bounce, or a failed attempt.
    pub broken: bool,
    pub known: Known,
}

/// What the samples tell.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    /// Leaves standing, arrives at the bottom, leaves it, stands again, ms.
    pub t_ms: [f64; 4],
    /// The shape, and its SD.
    pub shape: (f64, f64),
    /// Where the samples alone pull shape and bend from here, as the slope of half their loss, and
    /// their information on both.
    pub pull: [f64; 2],
    pub tells: Both,
}

/// Estimators' errors of frames this close go together, ms.
const ALIKE_MS: f64 = 200.0;
/// The levels may be off by this share of the way between them, SD.
const LEVEL_SD: f64 = 0.03;
/// The bottom's level changes by this share of the way, SD: in one movement, and in a broken one.
const SUNK_SD: [f64; 2] = [0.005, 0.1];

/// Finds the four instants; `None` when the samples do not tell.
pub(crate) fn fit(bout: &Bout) -> Option<Fitted> {
    let origin = bout.ways[0].first()?.t_ms;
    let point = |s: &Sample| (s.t_ms - origin, s.drop);
    let points = |way: usize| bout.ways[way].iter().map(point);
    let all = || points(0).chain(points(1));
    let [before, bottom, after] = bout.levels;
    let ways = [bottom - before, after - bottom];
    if ways.iter().any(|w| w.is_nan() || w.abs() < 1e-3) {
        return None;
    }
    let mut ends = [(0.0, 0.0); 2];
    for way in 0..2 {
        let at = |share: f64| crossing(points(way), bout.levels[way] + share * ways[way]);
        let (low, high) = (at(0.25)?, at(0.75)?);
        if high <= low {
            return None;
        }
        // A shape halfway passes 0.25 at u = 0.347 and 0.75 at u = 0.653.
        let length = (high - low) / 0.306;
        ends[way] = (low - 0.347 * length, high + 0.347 * length);
    }
    let [(start, mut arrives), (mut leaves, end)] = ends;
    if arrives > leaves {
        let middle = (arrives + leaves) / 2.0;
        (arrives, leaves) = (middle, middle);
    }
    let guess = Numbers::from([
        before,
        bottom,
        after,
        0.0,
        start,
        arrives - start,
        leaves - arrives,
        end - leaves,
        bout.known.mean[0],
        bout.known.mean[1],
    ]);
    let size = ways[0].abs();
    // Frames whose errors go together count as one.
    let last_ms = (bout.ways[1].last()?.t_ms - origin).max(1.0);
    let alike = (ALIKE_MS * all().count() as f64 / last_ms).max(1.0);
    let sigma = 0.003 + 0.003 * size;
    let mut prior = Numbers::zeros();
    for (k, sd) in [
        (BEFORE, LEVEL_SD * size),
        (BOTTOM, LEVEL_SD * size),
        (AFTER, LEVEL_SD * size),
        (SUNK, SUNK_SD[usize::from(bout.broken)] * size),
    ] {
        prior[k] = alike * sd.powi(-2);
    }
    let worth = bout.known.worth;
    for (&k, worth) in HABITS.iter().zip(worth.0) {
        prior[k] = alike * worth;
    }
    let between = alike * worth.0[2];
    let mut course = Course {
        bout,
        origin,
        guess,
        prior,
        between,
        sigma,
    };
    let p = minimise(&mut course, guess, SEARCH).x;
    if !p.iter().all(|x| x.is_finite()) {
        return None;
    }
    let mut normal = Normal::new();
    course.evaluate(&p, Some(&mut normal));
    // A way that nothing was seen of tells no habits.
    let left = normal
        .covariance()
        .map(|c| Both([(SHAPE, SHAPE), (BEND, BEND), (SHAPE, BEND)].map(|at| alike * c[at])));
    let sd = left.map_or(worth.0[0].recip(), |c| c.0[0].max(0.0)).sqrt();
    let tells = left
        .and_then(Both::inverse)
        .map_or_else(Both::default, |all| all.plus(-1.0, worth));
    // Where it ends the samples pull as hard as what was known does.
    let pull = worth.times(HABITS.map(|k| p[k] - guess[k]));
    let mut t_ms = [p[START], p[DOWN], p[PAUSE], p[UP]];
    let mut at = origin;
    for t in &mut t_ms {
        at += *t;
        *t = at;
    }
    Some(Fitted {
        t_ms,
        shape: (p[SHAPE], sd),
        pull,
        tells,
    })
}

/// The course of one repetition as a problem of least squares.
struct Course<'a> {
    bout: &'a Bout<'a>,
    /// Time of the first sample, ms.
    origin: f64,
    guess: Numbers,
    /// What is known before: one over the variances about the guess, and that of shape with bend.
    prior: Numbers,
    between: f64,
    /// Error of a sample, SD.
    sigma: f64,
}

impl Problem<COUNT> for Course<'_> {
    fn evaluate(&mut self, p: &Numbers, mut normal: Option<&mut Normal<COUNT>>) -> f64 {
        let off = self.guess - *p;
        let mut cost = off.component_mul(&off).dot(&self.prior);
        cost += 2.0 * self.between * off[SHAPE] * off[BEND];
        if let Some(normal) = &mut normal {
            for k in 0..COUNT {
                normal.prior(k, self.prior[k], off[k]);
            }
            normal.matrix[(BEND, SHAPE)] += self.between;
            normal.gradient[SHAPE] += self.between * off[BEND];
            normal.gradient[BEND] += self.between * off[SHAPE];
        }
        for sample in self.bout.ways.iter().copied().flatten() {
            let (model, slopes) = model(p, sample.t_ms - self.origin);
            let residual = (sample.drop - model) / self.sigma;
            let (loss, weight) = huber(residual, STRAIGHT);
            cost += loss;
            if let Some(normal) = &mut normal {
                let weight = weight / (self.sigma * self.sigma);
                normal.observe(&slopes, sample.drop - model, weight);
            }
        }
        cost
    }

    fn bound(&self, from: &Numbers, to: &mut Numbers) {
        LIMITS.bound(from, to);
    }
}

/// When the samples pass `level` for the last time before they stay beyond it.
fn crossing(points: impl Iterator<Item = (f64, f64)>, level: f64) -> Option<f64> {
    let mut found = None;
    let mut last: Option<(f64, f64)> = None;
    for (t, y) in points {
        if let Some((s, x)) = last
            && (x - level) * (y - level) <= 0.0
            && x != y
        {
            found = Some(s + (level - x) / (y - x) * (t - s));
        }
        last = Some((t, y));
    }
    found
}

/// What is read at `t`, and its derivatives by the numbers. Whoever is not seen straight from the
/// side moves toward the camera or away in a squat, and shoulders lean early or late: what is read
/// runs ahead of the drop or behind it, most of all halfway.
fn model(p: &Numbers, t: f64) -> (f64, Numbers) {
    let Eased { up, part, slopes } = eased(p, t);
    let (bow, steep) = (part * (1.0 - part), 1.0 + p[BEND] * (1.0 - 2.0 * part));
    let (stands, sunk) = if up { (AFTER, p[SUNK]) } else { (BEFORE, 0.0) };
    let way = p[BOTTOM] + sunk - p[stands];
    let part = part + p[BEND] * bow;
    let mut d = slopes * (way * steep);
    d[BEND] = way * bow;
    d[BOTTOM] = part;
    d[stands] = 1.0 - part;
    if up {
        d[SUNK] = part;
    }
    (p[stands] + way * part, d)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact samples of either shape give back the four instants, but for what the prior weighs.
    #[test]
    fn finds_the_instants_of_both_shapes() {
        for (mix, name) in [(0.0, "minimum jerk"), (1.0, "cosine")] {
            for [down, pause, up] in [[1500.0, 0.0, 900.0], [700.0, 400.0, 2000.0]] {
                let p = Numbers::from([0.0, 0.5, 0.0, 0.0, 400.0, down, pause, up, mix, 0.0]);
                let samples: Vec<Sample> = (0..120)
                    .map(|i| f64::from(i) * 1e3 / 30.0)
                    .map(|t_ms| Sample {
                        t_ms,
                        drop: model(&p, t_ms).0,
                        hips: f64::NAN,
                    })
                    .collect();
                let turn = samples.partition_point(|s| s.t_ms < 400.0 + down + pause / 2.0);
                let (a, b) = samples.split_at(turn);
                let bout = Bout {
                    ways: [a, b],
                    levels: [0.0, 0.5, 0.0],
                    broken: false,
                    known: Known::new((0.35, 0.7), (0.0, 0.02)),
                };
                let found = fit(&bout).unwrap().t_ms;
                let up_ms = 400.0 + down + pause;
                let true_ms = [400.0, 400.0 + down, up_ms, up_ms + up];
                let off = [0, 1, 2, 3].map(|k| found[k] - true_ms[k]);
                assert!(off.iter().all(|e| e.abs() < 60.0), "{name}: {off:?}");
            }
        }
    }

    #[test]
    fn tells_nothing_without_a_way() {
        let flat: Vec<Sample> = (0..30)
            .map(|i| Sample {
                t_ms: f64::from(i),
                drop: 0.2,
                hips: f64::NAN,
            })
            .collect();
        let bout = Bout {
            ways: [&flat, &flat],
            levels: [0.0, 0.5, 0.0],
            broken: false,
            known: Known::new((0.35, 0.7), (0.0, 0.02)),
        };
        assert!(fit(&bout).is_none());
    }
}
