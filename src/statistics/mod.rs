//! Statistics that all stages share: location, spread and quantiles here, change and agreement in
//! `change`.
//!
//! The robust ones sort the list that they are given. Values that are no numbers sort last.

mod change;
mod student;

pub use change::{Icc, Welch, Z_975, icc, mdc95, sem_of_pairs, t_cdf, t_quantile, welch};

use crate::order::{ascending, shell};

/// Mean; `None` when empty.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Sample variance (n - 1); `None` below two values.
pub fn variance(values: &[f64]) -> Option<f64> {
    let m = mean(values)?;
    (values.len() > 1)
        .then(|| values.iter().map(|v| (v - m).powi(2)).sum::<f64>() / (values.len() - 1) as f64)
}

/// Median; of an even number the mean of the middle two; `None` when empty.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    ascending(&mut sorted);
    let n = sorted.len();
    let (a, b) = (sorted.get(n.checked_sub(1)? / 2)?, sorted.get(n / 2)?);
    Some((a + b) / 2.0)
}

/// The value that the share `p` (0 to 1) of the list lies below; `None` when empty.
#[inline(never)]
pub fn quantile(values: &mut [f64], p: f64) -> Option<f64> {
    ascending(values);
    let last = values.len().checked_sub(1)?;
    values
        .get(((p * values.len() as f64) as usize).min(last))
        .copied()
}

/// The upper median: one of the values, of an even number the upper of the middle two.
#[inline(never)]
pub fn upper_median(values: &mut [f64]) -> Option<f64> {
    ascending(values);
    values.get(values.len() / 2).copied()
}

/// Median of (value, weight): the first value at which half of the weight is reached; `None` when
/// empty or where a weight is no number.
#[inline(never)]
pub fn weighted_median(list: &mut [(f64, f64)]) -> Option<f64> {
    shell(list, |a, b| a.0 > b.0);
    let half = list.iter().map(|l| l.1).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    for &(value, weight) in list.iter() {
        sum += weight;
        if sum >= half {
            return Some(value);
        }
    }
    None
}

/// Interquartile mean: as steady as a mean on noise, as deaf as a median to jumps; `None` when empty.
#[inline(never)]
pub fn interquartile_mean(values: &mut [f64]) -> Option<f64> {
    ascending(values);
    let cut = values.len() / 4;
    mean(values.get(cut..values.len() - cut)?)
}

/// Median absolute deviation of a normal distribution of SD 1 (`published:` Rousseeuw & Croux 1993,
/// JASA 88:1273-1283: its inverse is 1.4826).
const NORMAL_MAD: f64 = 0.6745;

/// SD of the errors of values, from the sizes of the `differences` of values that follow closely,
/// robustly: their median, for a normal error. `None` when empty.
#[inline(never)]
pub fn sd_of_differences(differences: &mut [f64]) -> Option<f64> {
    Some(upper_median(differences)? / NORMAL_MAD / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand.
    #[test]
    fn location_and_spread_of_small_lists() {
        let mut list = [5.0, 1.0, 4.0, 2.0, 100.0, 3.0];
        assert_eq!(median(&list), Some(3.5));
        assert_eq!(upper_median(&mut list), Some(4.0));
        assert_eq!(interquartile_mean(&mut list), Some(3.5));
        assert_eq!(quantile(&mut list, 0.05), Some(1.0));
        assert_eq!(quantile(&mut list, 1.0), Some(100.0));
        let mut weighted = [(3.0, 1.0), (1.0, 1.0), (2.0, 5.0)];
        assert_eq!(weighted_median(&mut weighted), Some(2.0));
    }

    #[test]
    fn nothing_of_nothing() {
        assert_eq!(mean(&[]), None);
        assert_eq!(median(&[]), None);
        assert_eq!(quantile(&mut [], 0.5), None);
        assert_eq!(upper_median(&mut []), None);
        assert_eq!(weighted_median(&mut []), None);
        assert_eq!(interquartile_mean(&mut []), None);
        assert_eq!(sd_of_differences(&mut []), None);
    }

    /// Of normal errors (sums of twelve uniform numbers) the SD that went in comes out.
    #[test]
    fn differences_tell_the_error() {
        let mut state = 7_u32;
        let mut uniform = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24)
        };
        let mut normal = || (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
        let values: Vec<f64> = (0..4000).map(|_| 3.0 * normal()).collect();
        let mut steps: Vec<f64> = values.windows(2).map(|w| (w[1] - w[0]).abs()).collect();
        let sd = sd_of_differences(&mut steps).expect("values");
        assert!((sd - 3.0).abs() < 0.15, "{sd}");
    }
}
