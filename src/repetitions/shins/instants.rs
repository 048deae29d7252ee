//! Instants of each repetition, from all of them together: the exponent of the knees' lead over the hips
//! and the shape of the profile are the set's.

use super::candidate_fit::CandidateFit;
use super::candidates::Candidate;
use super::knee_profile::Parameters;
use super::trajectory::KneeTrajectory;
use crate::gather::Gather;

/// The powers that are tried for how far the knees run ahead, and what they are about: middle, and
/// spread of the logarithm.
/// tuned: `reps`
const EXPONENTS: [f64; 4] = [0.55, 0.7, 0.87, 1.1];
const EXPONENT: (f64, f64) = (0.75, 0.2);
/// The shapes that are tried, from minimum jerk (0) to a cosine (1).
/// tuned: `reps`
const SHAPES: [f64; 3] = [0.0, 0.5, 1.0];
/// Courses are not quite of the shapes that are tried: misfits count for so much less.
/// tuned: `reps`
const TEMPER: f64 = 2.0;

/// The profiles of the candidates: means over what the whole set may be like, by how well all of it
/// fits.
pub(super) fn instants(trajectory: &KneeTrajectory, repetitions: &[Candidate]) -> Vec<Parameters> {
    let candidate_fits = repetitions
        .iter()
        .map(|h| CandidateFit::new(trajectory, h))
        .gather();
    let mut tried = Vec::new();
    for exponent in EXPONENTS {
        for shape in SHAPES {
            let off = libm::log(exponent / EXPONENT.0) / EXPONENT.1;
            let mut cost = off * off;
            let mut list = Vec::new();
            for candidate_fit in &candidate_fits {
                let fitted = candidate_fit.fit(trajectory, exponent, shape);
                cost += fitted.map_or(1e3, |f| f.cost);
                list.push(candidate_fit.or_guess(fitted.map(|f| f.numbers)));
            }
            tried.push((cost, list));
        }
    }
    let least = tried.iter().fold(f64::INFINITY, |l, t| l.min(t.0));
    let mut out = candidate_fits.iter().map(|_| Parameters::zeros()).gather();
    let mut all = 0.0;
    for (cost, list) in &tried {
        let weight = libm::exp((least - cost) / (2.0 * TEMPER));
        all += weight;
        for (sum, p) in out.iter_mut().zip(list) {
            *sum += *p * weight;
        }
    }
    out.iter_mut().for_each(|p| *p /= all);
    out
}
