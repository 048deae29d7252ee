//! Least-squares fit of the profile to the drop: when a repetition leaves standing, turns and stands again.

use super::instants::Sample;
use super::prior::{Prior, Symmetric2};
use super::profile::{
    COUNT, DOWN, Limits, PAUSE, Parameters, ProfilePoint, SHAPE, START, UP, profile_at,
};
use crate::least_squares::{Normal, Problem, Search, huber, minimise};

/// Index of each parameter beside the profile's: levels before, at the bottom and after, by how much
/// the bottom's level changes; how far what is read bends, see [`model`].
const BEFORE: usize = 0;
const BOTTOM: usize = 1;
const AFTER: usize = 2;
const SUNK: usize = 3;
const BEND: usize = 9;
/// Parameters that a lifter's repetitions share.
const SHARED: [usize; 2] = [SHAPE, BEND];

/// Huber's threshold, standard errors.
/// tuned: `reps`
const STRAIGHT: f64 = 2.0;
const SEARCH: Search = Search {
    steps: 40,
    tolerance: 1e-5,
};
/// tuned: `reps`
const LIMITS: Limits = Limits {
    stretch: 2.5,
    shortest_ms: 0.0,
};

/// Samples of a repetition with some of the standing on either side.
pub(crate) struct RepSamples<'a> {
    /// The way down and the way up, in order of time.
    pub phases: [&'a [Sample]; 2],
    /// Levels before, at the bottom and after, about.
    pub levels: [f64; 3],
    /// What lies between the two ways is not known: a bounce, or a failed attempt.
    pub broken: bool,
    pub prior: Prior,
}

/// Result of a fit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    /// Leaves standing, arrives at the bottom, leaves it, stands again, ms.
    pub t_ms: [f64; 4],
    /// The shape, and its SD.
    pub shape: (f64, f64),
    /// Where the samples alone pull shape and bend from here, as the slope of half their loss, and
    /// their information on both.
    pub gradient: [f64; 2],
    pub information: Symmetric2,
}

/// Estimators' errors of frames this close go together, ms.
/// tuned: `reps`
const ALIKE_MS: f64 = 200.0;
/// The levels may be off by this share of the way between them, SD.
/// tuned: `reps`
const LEVEL_SD: f64 = 0.03;
/// The bottom's level changes by this share of the way, SD: in one movement, and in a broken one.
/// tuned: `reps`
const SUNK_SD: [f64; 2] = [0.005, 0.1];

/// Finds the four instants; `None` when the samples do not determine them.
pub(crate) fn fit(samples: &RepSamples) -> Option<Fitted> {
    let origin = samples.phases[0].first()?.t_ms;
    let point = |s: &Sample| (s.t_ms - origin, s.drop);
    let points = |way: usize| samples.phases[way].iter().map(point);
    let all = || points(0).chain(points(1));
    let [before, bottom, after] = samples.levels;
    let phases = [bottom - before, after - bottom];
    if phases.iter().any(|w| w.is_nan() || w.abs() < 1e-3) {
        return None;
    }
    let mut ends = [(0.0, 0.0); 2];
    for way in 0..2 {
        let at = |share: f64| crossing(points(way), samples.levels[way] + share * phases[way]);
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
        let centre = (arrives + leaves) / 2.0;
        (arrives, leaves) = (centre, centre);
    }
    let guess = Parameters::from([
        before,
        bottom,
        after,
        0.0,
        start,
        arrives - start,
        leaves - arrives,
        end - leaves,
        samples.prior.mean[0],
        samples.prior.mean[1],
    ]);
    let size = phases[0].abs();
    // Frames whose errors go together count as one.
    let last_ms = (samples.phases[1].last()?.t_ms - origin).max(1.0);
    let alike = (ALIKE_MS * all().count() as f64 / last_ms).max(1.0);
    let sigma = 0.003 + 0.003 * size;
    let mut prior = Parameters::zeros();
    for (k, sd) in [
        (BEFORE, LEVEL_SD * size),
        (BOTTOM, LEVEL_SD * size),
        (AFTER, LEVEL_SD * size),
        (SUNK, SUNK_SD[usize::from(samples.broken)] * size),
    ] {
        prior[k] = alike * sd.powi(-2);
    }
    let precision = samples.prior.precision;
    for (&k, precision) in SHARED.iter().zip(precision.0) {
        prior[k] = alike * precision;
    }
    let between = alike * precision.0[2];
    let mut fit = ProfileFit {
        samples,
        origin,
        guess,
        prior,
        between,
        sigma,
    };
    let p = minimise(&mut fit, guess, SEARCH).x;
    if !p.iter().all(|x| x.is_finite()) {
        return None;
    }
    let mut normal = Normal::new();
    fit.evaluate(&p, Some(&mut normal));
    // A way that nothing was seen of tells no habits.
    let left = normal
        .covariance()
        .map(|c| Symmetric2([(SHAPE, SHAPE), (BEND, BEND), (SHAPE, BEND)].map(|at| alike * c[at])));
    let sd = left
        .map_or(precision.0[0].recip(), |c| c.0[0].max(0.0))
        .sqrt();
    let information = left
        .and_then(Symmetric2::inverse)
        .map_or_else(Symmetric2::default, |all| all.plus(-1.0, precision));
    // Where it ends the samples pull as hard as what was known does.
    let gradient = precision.times(SHARED.map(|k| p[k] - guess[k]));
    let mut t_ms = [p[START], p[DOWN], p[PAUSE], p[UP]];
    let mut at = origin;
    for t in &mut t_ms {
        at += *t;
        *t = at;
    }
    Some(Fitted {
        t_ms,
        shape: (p[SHAPE], sd),
        gradient,
        information,
    })
}

/// Profile of one repetition as a problem of least squares.
struct ProfileFit<'a> {
    samples: &'a RepSamples<'a>,
    /// Time of the first sample, ms.
    origin: f64,
    guess: Parameters,
    /// What is known before: one over the variances about the guess, and that of shape with bend.
    prior: Parameters,
    between: f64,
    /// Error of a sample, SD.
    sigma: f64,
}

impl Problem<COUNT> for ProfileFit<'_> {
    fn evaluate(&mut self, p: &Parameters, mut normal: Option<&mut Normal<COUNT>>) -> f64 {
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
        for sample in self.samples.phases.iter().copied().flatten() {
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

    fn bound(&self, from: &Parameters, to: &mut Parameters) {
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

/// What is read at `t`, and its derivatives by the parameters. Whoever is not seen straight from the
/// side moves toward the camera or away in a squat, and shoulders lean early or late: what is read runs
/// ahead of the drop or behind it, most of all halfway.
fn model(p: &Parameters, t: f64) -> (f64, Parameters) {
    let ProfilePoint {
        up,
        fraction,
        slopes,
    } = profile_at(p, t);
    let (bow, steep) = (
        fraction * (1.0 - fraction),
        1.0 + p[BEND] * (1.0 - 2.0 * fraction),
    );
    let (stands, drift) = if up { (AFTER, p[SUNK]) } else { (BEFORE, 0.0) };
    let way = p[BOTTOM] + drift - p[stands];
    let fraction = fraction + p[BEND] * bow;
    let mut d = slopes * (way * steep);
    d[BEND] = way * bow;
    d[BOTTOM] = fraction;
    d[stands] = 1.0 - fraction;
    if up {
        d[SUNK] = fraction;
    }
    (p[stands] + way * fraction, d)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact samples of either shape give back the four instants, but for what the prior weighs.
    #[test]
    fn finds_the_instants_of_both_shapes() {
        for (mix, name) in [(0.0, "minimum jerk"), (1.0, "cosine")] {
            for [down, pause, up] in [[1500.0, 0.0, 900.0], [700.0, 400.0, 2000.0]] {
                let p = Parameters::from([0.0, 0.5, 0.0, 0.0, 400.0, down, pause, up, mix, 0.0]);
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
                let samples = RepSamples {
                    phases: [a, b],
                    levels: [0.0, 0.5, 0.0],
                    broken: false,
                    prior: Prior::new((0.35, 0.7), (0.0, 0.02)),
                };
                let found = fit(&samples).unwrap().t_ms;
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
        let samples = RepSamples {
            phases: [&flat, &flat],
            levels: [0.0, 0.5, 0.0],
            broken: false,
            prior: Prior::new((0.35, 0.7), (0.0, 0.02)),
        };
        assert!(fit(&samples).is_none());
    }
}
