//! Joint fit of all repetitions of a set.
//!
//! One repetition shows too little of how gently a movement leaves rest to tell when it did. But a lifter
//! moves alike in all of them, and the camera sees all of them alike: one shape and one nonlinearity (see
//! [`profile_fit`](super::profile_fit)) are fitted to the whole set, by Gauss-Newton steps over what each
//! repetition's own parameters leave of them.

use super::instants::{Instants, SHAPE, Sample, fit_instants};
use super::phase::Repetition;
use super::prior::{Prior, Symmetric2};
use super::profile_fit::Fitted;

/// Bend of what is read from hips in sight: mean and SD, about what perspective does in simulated
/// bodies (`reps` of crates/sim).
/// measured: on the bodies of `reps`
pub(super) const BEND: (f64, f64) = (0.0, 0.08);
/// The same where shoulders stand in for hidden hips.
/// tuned: `reps`
const BEND_HIDDEN: (f64, f64) = (0.1, 0.25);
/// One repetition's shape and bend differ by this from the set's, SD.
/// tuned: `reps`
const APART: [f64; 2] = [0.05, 0.02];
/// Hips seen in so many of the frames below half of the way tell by themselves ...
/// tuned: `reps`
const SEEN: f64 = 0.85;
/// ... and in fewer than this are hidden.
/// tuned: `reps`
const HIDDEN: f64 = 0.5;
/// Steps toward the set's numbers, each no longer than this in the shape.
/// tuned: `reps`
const STEPS: usize = 5;
const LONGEST: f64 = 0.4;
/// Precision of parameters that are held fixed.
/// tuned: a hundred times what a set tells of either
const HELD: f64 = 1e5;

/// One repetition's samples.
pub(super) struct RepFit {
    /// Its number in the set.
    pub which: usize,
    samples: Vec<Sample>,
    /// The first and the last sample of it.
    range: (usize, usize),
    /// Where it starts and ends, ms.
    t_ms: [f64; 2],
    hidden: bool,
    /// What [`fit_set`] makes of it.
    pub times: Option<Instants>,
}

impl RepFit {
    /// Repetition number `which`, and the samples around it.
    pub fn new(which: usize, rep: &Repetition, around: &[Sample]) -> Self {
        let most = around.iter().map(|s| s.drop).fold(0.0, f64::max);
        let (mut deep, mut seen) = (0.0, 0.0);
        for s in around.iter().filter(|s| s.drop > 0.5 * most) {
            deep += 1.0;
            seen += f64::from(u8::from(s.hips.is_finite()));
        }
        let own = seen > SEEN * deep;
        let mut samples = Vec::with_capacity(around.len());
        for s in around {
            let drop = if own { s.hips } else { s.drop };
            if drop.is_finite() {
                samples.push(Sample { drop, ..*s });
            }
        }
        let at = |t_ms: f64| samples.partition_point(|s| s.t_ms < t_ms);
        Self {
            which,
            range: (at(rep.start_ms), at(rep.end_ms)),
            t_ms: [rep.start_ms, rep.end_ms],
            hidden: seen < HIDDEN * deep,
            samples,
            times: None,
        }
    }
}

/// Finds the times of the repetitions of one set.
pub(super) fn fit_set(fits: &mut [RepFit]) {
    let hidden = 2 * fits.iter().filter(|p| p.hidden).count() > fits.len();
    let before = Prior::new(SHAPE, if hidden { BEND_HIDDEN } else { BEND });
    let apart = Symmetric2::variance(APART);
    let mut set = Prior {
        mean: before.mean,
        precision: Symmetric2([HELD, HELD, 0.0]),
    };
    let mut variance = Symmetric2::default();
    for _ in 0..STEPS {
        let mut precision = before.precision;
        let mut gradient = precision.times([0, 1].map(|k| before.mean[k] - set.mean[k]));
        for i in 0..fits.len() {
            let Some(Fitted {
                gradient: g,
                information,
                ..
            }) = one(fits, i, set)
            else {
                continue;
            };
            // Each differs from the set's by itself.
            let own = information.inverse();
            let all = own.and_then(|own| own.plus(1.0, apart).inverse());
            if let (Some(own), Some(all)) = (own, all) {
                precision = precision.plus(1.0, all);
                let g = all.times(own.times(g));
                gradient = [gradient[0] + g[0], gradient[1] + g[1]];
            }
        }
        variance = precision.inverse().unwrap_or_default();
        let by = variance.times(gradient);
        let share = LONGEST / by[0].abs().max(LONGEST);
        set.mean = [0, 1].map(|k| set.mean[k] + share * by[k]);
    }
    // In the end each may differ.
    let apart = variance.plus(1.0, apart);
    set.precision = apart.inverse().unwrap_or(before.precision);
    for i in 0..fits.len() {
        one(fits, i, set);
    }
}

/// One of them by itself: the standing beside it lasts no longer than to its neighbours.
fn one(fits: &mut [RepFit], i: usize, prior: Prior) -> Option<Fitted> {
    let last = i.checked_sub(1).and_then(|k| fits.get(k));
    let beside = [
        last.map_or(f64::NEG_INFINITY, |p| p.t_ms[1]),
        fits.get(i + 1).map_or(f64::INFINITY, |p| p.t_ms[0]),
    ];
    let fit = fits.get_mut(i)?;
    let (times, fitted) = fit_instants(&fit.samples, fit.range, prior, beside)?;
    if fitted.is_some() {
        fit.t_ms = [times.start_ms, times.end_ms];
    }
    fit.times = Some(times);
    fitted
}
