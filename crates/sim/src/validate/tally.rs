//! Sums over many recordings.

use super::against::Compared;
use std::collections::BTreeMap;
use underfoot::measures::{Channel, Check};
use underfoot::report::Verdict;

/// Values of one kind beside the truth.
#[derive(Clone, Debug, Default)]
pub struct Spread {
    /// Truth, value, standard error.
    pub seen: Vec<[f64; 3]>,
    /// How many were unseen.
    pub unseen: usize,
    /// Verdicts with their true value.
    pub verdicts: Vec<(f64, Verdict)>,
    /// Mean absolute error of each recording with a value: a recording's values err together.
    pub recordings: Vec<f64>,
}

impl Spread {
    fn push(&mut self, truth: f64, said: Option<[f64; 2]>) {
        match said {
            Some([v, sd]) => self.seen.push([truth, v, sd]),
            None => self.unseen += 1,
        }
    }

    fn mean(&self, f: impl Fn(&[f64; 3]) -> f64) -> f64 {
        self.seen.iter().map(f).sum::<f64>() / self.seen.len() as f64
    }

    /// How many values there are, seen or not.
    pub fn count(&self) -> usize {
        self.seen.len() + self.unseen
    }

    /// Fraction unseen.
    pub fn unseen_share(&self) -> f64 {
        self.unseen as f64 / self.count().max(1) as f64
    }

    /// Mean absolute error.
    pub fn error(&self) -> f64 {
        self.mean(|[t, v, _]| (v - t).abs())
    }

    /// Standard error of [`Spread::error`], from recording to recording.
    pub fn error_sd(&self) -> f64 {
        let n = self.recordings.len() as f64;
        let mean = self.recordings.iter().sum::<f64>() / n;
        let sum: f64 = self.recordings.iter().map(|v| (v - mean).powi(2)).sum();
        (sum / (n - 1.0) / n).sqrt()
    }

    /// Mean and spread of the true values.
    pub fn truth(&self) -> [f64; 2] {
        let mean = self.mean(|[t, _, _]| *t);
        [mean, self.mean(|[t, _, _]| (t - mean).powi(2)).sqrt()]
    }

    /// Mean error.
    pub fn bias(&self) -> f64 {
        self.mean(|[t, v, _]| v - t)
    }

    /// Mean standard error.
    pub fn sd(&self) -> f64 {
        self.mean(|[_, _, s]| *s)
    }

    /// Fraction within two standard errors.
    pub fn coverage(&self) -> f64 {
        self.mean(|[t, v, s]| f64::from(u8::from((v - t).abs() <= 2.0 * s)))
    }

    /// Root mean square of errors over their standard errors: honest is 0.8 to 1.2.
    pub fn ratio(&self) -> f64 {
        self.mean(|[t, v, s]| ((v - t) / s).powi(2)).sqrt()
    }

    /// 95th percentile of the absolute error.
    pub fn worst(&self) -> f64 {
        let mut list: Vec<f64> = self.seen.iter().map(|[t, v, _]| (v - t).abs()).collect();
        list.sort_by(f64::total_cmp);
        list.get((list.len() * 95 / 100).min(list.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// Correlation of values and truth.
    pub fn correlation(&self) -> f64 {
        let (mt, mv) = (self.mean(|p| p[0]), self.mean(|p| p[1]));
        let cross = self.mean(|p| (p[0] - mt) * (p[1] - mv));
        let spread = self.mean(|p| (p[0] - mt).powi(2)) * self.mean(|p| (p[1] - mv).powi(2));
        cross / spread.sqrt()
    }
}

/// Everything measured under one condition.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// By check, both sides together.
    pub checks: [Spread; Check::ALL.len()],
    /// Bearing.
    pub azimuth: Spread,
    /// Toe-out, degrees.
    pub toe_out: Spread,
    /// Stature, mm.
    pub height: Spread,
    /// Stance width, mm.
    pub stance: Spread,
    /// Repetitions there, found, and found but not there.
    pub reps: [usize; 3],
    /// Recordings.
    pub sets: usize,
    /// Recordings that gave no report.
    pub refused: usize,
    /// Start, bottom, end: errors, ms.
    pub timing: [Vec<f64>; 3],
    /// The checks again for the recordings with a trait.
    pub by_trait: BTreeMap<String, [Spread; Check::ALL.len()]>,
}

impl Tally {
    /// Adds one recording.
    pub fn add(&mut self, one: &Compared) {
        self.sets += 1;
        self.refused += usize::from(one.refused.is_some());
        for (sum, n) in self.reps.iter_mut().zip(one.reps) {
            *sum += n;
        }
        for (sum, list) in self.timing.iter_mut().zip(&one.timing) {
            sum.extend(list);
        }
        let before = self.checks.each_ref().map(|s| s.seen.len());
        for (channel, pairs) in Channel::ALL.into_iter().zip(&one.pairs) {
            let check = channel.check() as usize;
            for (_, p) in pairs {
                self.checks[check].push(p.truth, p.said);
                self.checks[check].verdicts.push((p.truth, p.verdict));
                for name in &one.traits {
                    let split = self.by_trait.entry(name.clone()).or_default();
                    split[check].push(p.truth, p.said);
                }
            }
        }
        for (spread, from) in self.checks.iter_mut().zip(before) {
            let new = &spread.seen[from..];
            if !new.is_empty() {
                let sum: f64 = new.iter().map(|[t, v, _]| (v - t).abs()).sum();
                spread.recordings.push(sum / new.len() as f64);
            }
        }
        self.azimuth.push(0.0, one.azimuth);
        for &t in &one.toe_out {
            self.toe_out.push(0.0, Some(t));
        }
        if let Some([off, sd]) = one.height {
            self.height.push(0.0, Some([1e3 * off, 1e3 * sd]));
        }
        if let Some(s) = one.stance {
            self.stance.push(0.0, Some(s));
        }
    }

    /// A check's spread.
    pub fn check(&self, check: Check) -> &Spread {
        &self.checks[check as usize]
    }
}

/// Median and 95th percentile of the absolute values, ms.
pub fn lateness(list: &[f64]) -> [f64; 2] {
    let mut list: Vec<f64> = list.iter().map(|v| v.abs()).collect();
    list.sort_by(f64::total_cmp);
    let at = |share: usize| {
        list.get((list.len() * share / 100).min(list.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::NAN)
    };
    [at(50), at(95)]
}
