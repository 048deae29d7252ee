//! Whether a check runs away over the set.

use crate::report::Trend;
use crate::statistics::t_quantile;

/// Least growth over the set, as a part of the distance from ordinary to line, that is called
/// growing: less would not change what a coach does (common practice, no source).
const WORTH: f64 = 0.25;

/// Least-squares slope of `points` (repetition number, value) with its standard error from the
/// scatter about the line; `None` below three repetitions. `reach` is the signed distance from
/// the ordinary value to the line: the direction that counts as growing.
///
/// Growing: the slope is above zero with 95 % (Student's t, one-sided, n - 2 degrees of freedom),
/// and adds at least a quarter of `reach` over the set. Errors that a whole set shares move every
/// value alike and leave the slope alone, so they play no part.
pub fn trend(points: &[(f64, f64)], reach: f64) -> Option<Trend> {
    let n = points.len();
    if n < 3 || !points.iter().all(|p| p.0.is_finite() && p.1.is_finite()) {
        return None;
    }
    let count = n as f64;
    let mean = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).sum::<f64>() / count;
    let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
    let sxx: f64 = points.iter().map(|p| (p.0 - mx).powi(2)).sum();
    if sxx <= 0.0 {
        return None;
    }
    let slope = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>() / sxx;
    let rest: f64 = points
        .iter()
        .map(|p| (p.1 - my - slope * (p.0 - mx)).powi(2))
        .sum();
    let df = count - 2.0;
    let sd = (rest / df / sxx).max(0.0).sqrt();
    let (first, last) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| {
            (a.min(p.0), b.max(p.0))
        });
    let toward = slope * reach.signum();
    let sure = toward > t_quantile(0.95, df)? * sd;
    Some(Trend {
        per_rep: slope,
        sd,
        growing: sure && toward * (last - first) >= WORTH * reach.abs(),
    })
}
