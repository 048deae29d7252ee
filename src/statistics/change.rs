//! Change and agreement: closed formulas, checked in `tests/record/statistics.rs` against published
//! examples.

use super::student::tails;
use super::{mean, variance};
use crate::gather::Gather;

/// The 97.5 % point of the standard normal distribution.
pub const Z_975: f64 = 1.959_963_984_540_054;

/// Standard error of measurement of one test from two tests of each person: SD of the
/// differences over the square root of 2, also called the typical error. Equal to the root of the
/// error mean square of a two-way analysis of variance (Weir 2005, JSCR 19(1):231-240).
pub fn sem_of_pairs(pairs: &[(f64, f64)]) -> Option<f64> {
    let differences: Vec<f64> = pairs.iter().map(|p| p.1 - p.0).gather();
    Some((variance(&differences)? / 2.0).sqrt())
}

/// Minimal detectable change, 95 %, of two single tests: 1.96 sqrt(2) SEM (Weir 2005).
pub fn mdc95(sem: f64) -> f64 {
    Z_975 * std::f64::consts::SQRT_2 * sem
}

/// Distribution function of Student's t; `None` for degrees of freedom that are not above 0 or a
/// `t` that is no number.
pub fn t_cdf(t: f64, df: f64) -> Option<f64> {
    if t.is_nan() || !(df > 0.0 && df.is_finite()) {
        return None;
    }
    let tail = 0.5 * tails(df / 2.0, df / (df + t * t));
    Some(if t > 0.0 { 1.0 - tail } else { tail })
}

/// Quantile of Student's t for 0 < p < 1; `None` otherwise.
pub fn t_quantile(p: f64, df: f64) -> Option<f64> {
    if !(p > 0.0 && p < 1.0 && df > 0.0 && df.is_finite()) {
        return None;
    }
    // The tails rise with y: halving finds where they pass these.
    let both = 2.0 * p.min(1.0 - p);
    let (mut y, mut above) = (0.0, 1.0);
    for _ in 0..200 {
        let middle = 0.5 * (y + above);
        if tails(df / 2.0, middle) < both {
            y = middle;
        } else {
            above = middle;
        }
    }
    let t = (df * (1.0 - y) / y).max(0.0).sqrt();
    Some(if p < 0.5 { -t } else { t })
}

/// Welch's test of two means with unequal variances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Welch {
    /// First mean less the second.
    pub difference: f64,
    /// Its standard error.
    pub se: f64,
    /// Welch-Satterthwaite degrees of freedom.
    pub df: f64,
    /// `difference / se`.
    pub t: f64,
    /// Two-sided probability of a `t` this large by chance.
    pub p: f64,
}

impl Welch {
    /// Half of the 95 % interval of the difference.
    pub fn half_95(&self) -> Option<f64> {
        Some(t_quantile(0.975, self.df)? * self.se)
    }
}

/// `None` below two values on either side, or when both are constant.
pub fn welch(a: &[f64], b: &[f64]) -> Option<Welch> {
    let (na, nb) = (a.len() as f64, b.len() as f64);
    let (va, vb) = (variance(a)? / na, variance(b)? / nb);
    let se = (va + vb).sqrt();
    if se.is_nan() || se <= 0.0 {
        return None;
    }
    let difference = mean(a)? - mean(b)?;
    let df = (va + vb).powi(2) / (va * va / (na - 1.0) + vb * vb / (nb - 1.0));
    let t = difference / se;
    Some(Welch {
        difference,
        se,
        df,
        t,
        p: 2.0 * t_cdf(-t.abs(), df)?,
    })
}

/// The six intraclass correlations of Shrout & Fleiss 1979 (Psychol Bull 86:420-428).
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Icc {
    /// ICC(1,1), ICC(2,1), ICC(3,1): one rating.
    pub one: [f64; 3],
    /// ICC(1,k), ICC(2,k), ICC(3,k): the mean of all ratings.
    pub mean: [f64; 3],
    /// Root of the error mean square: the SEM that does not depend on who was sampled.
    pub sem: f64,
}

/// Rows are people (or things measured), columns ratings. `None` below two of either, for uneven
/// rows, or when nothing varies.
pub fn icc(rows: &[Vec<f64>]) -> Option<Icc> {
    let n = rows.len();
    let k = rows.first()?.len();
    if n < 2 || k < 2 || rows.iter().any(|r| r.len() != k) {
        return None;
    }
    let all: Vec<f64> = rows.iter().flatten().copied().gather();
    let grand = mean(&all)?;
    let (nf, kf) = (n as f64, k as f64);
    let square = |m: f64| (m - grand).powi(2);
    let total: f64 = all.iter().map(|v| square(*v)).sum();
    let between: f64 = rows.iter().filter_map(|r| mean(r)).map(square).sum::<f64>() * kf;
    let columns: f64 = (0..k)
        .map(|j| rows.iter().filter_map(|r| r.get(j)).sum::<f64>() / nf)
        .map(square)
        .sum::<f64>()
        * nf;
    let bms = between / (nf - 1.0);
    let wms = (total - between) / (nf * (kf - 1.0));
    let jms = columns / (kf - 1.0);
    let ems = (total - between - columns) / ((nf - 1.0) * (kf - 1.0));
    if !bms.is_finite() || bms <= 0.0 {
        return None;
    }
    Some(Icc {
        one: [
            (bms - wms) / (bms + (kf - 1.0) * wms),
            (bms - ems) / (bms + (kf - 1.0) * ems + kf * (jms - ems) / nf),
            (bms - ems) / (bms + (kf - 1.0) * ems),
        ],
        mean: [
            (bms - wms) / bms,
            (bms - ems) / (bms + (jms - ems) / nf),
            (bms - ems) / bms,
        ],
        sem: ems.max(0.0).sqrt(),
    })
}
