//! How often a verdict is right.

use super::tally::Spread;
use underfoot::measures::Check;
use underfoot::report::Verdict;
use underfoot::thresholds::Thresholds;

/// Counts for one check.
#[derive(Clone, Copy, Debug, Default)]
pub struct Counts {
    /// True value inside the lines.
    pub inside: usize,
    /// Of those, called a fault.
    pub false_faults: usize,
    /// True value clearly beyond a line: by half its distance from the ordinary one.
    pub beyond: usize,
    /// Of those, called a fault.
    pub found: usize,
    /// Of those, called clear.
    pub overlooked: usize,
    /// Of those, unseen.
    pub unseen: usize,
}

/// Verdicts of a check against the default lines.
pub fn counts(check: Check, spread: &Spread) -> Counts {
    let lines = Thresholds::default();
    let band = lines.of(check);
    let zero = band.ordinary;
    let mut out = Counts::default();
    for &(truth, verdict) in &spread.verdicts {
        let past = |line: Option<f64>, sign: f64, k: f64| {
            line.is_some_and(|l| sign * (truth - (zero + k * (l - zero))) > 0.0)
        };
        let beyond = |k: f64| past(band.low, -1.0, k) || past(band.high, 1.0, k);
        let fault = verdict == Verdict::Fault;
        if !beyond(1.0) {
            out.inside += 1;
            out.false_faults += usize::from(fault);
        } else if beyond(1.5) {
            out.beyond += 1;
            out.found += usize::from(fault);
            out.overlooked += usize::from(verdict == Verdict::Clear);
            out.unseen += usize::from(verdict == Verdict::Unseen);
        }
    }
    out
}

/// `n of m (p %)`.
pub fn share(n: usize, of: usize) -> String {
    if of == 0 {
        return "-".into();
    }
    format!("{n} of {of} ({:.1} %)", 100.0 * n as f64 / of as f64)
}
