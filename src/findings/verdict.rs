//! How sure it is on which side of a line a value lies.

use crate::measures::Estimate;
use crate::report::Verdict;
use crate::thresholds::Band;
use libm::erfc;

/// Probability that a verdict other than `unsure` asks for.
pub const SURE: f64 = 0.9;

/// Probabilities that the true value lies beyond the lines, for a normal error.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Beyond {
    /// Below the low line.
    pub low: f64,
    /// Above the high line.
    pub high: f64,
}

impl Beyond {
    /// Inside both lines.
    pub fn inside(&self) -> f64 {
        (1.0 - self.low - self.high).clamp(0.0, 1.0)
    }
}

/// Standard normal distribution function.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * erfc(-z / std::f64::consts::SQRT_2)
}

/// The probabilities of an estimate; `None` when it or its standard error is no usable number.
pub fn beyond(estimate: Estimate, band: &Band) -> Option<Beyond> {
    let Estimate { value, sd } = estimate;
    if !value.is_finite() || !sd.is_finite() || sd < 0.0 {
        return None;
    }
    let sd = sd.max(1e-9);
    Some(Beyond {
        low: band.low.map_or(0.0, |line| normal_cdf((line - value) / sd)),
        high: band
            .high
            .map_or(0.0, |line| normal_cdf((value - line) / sd)),
    })
}

/// Fault beyond one line with at least 90 %, clear inside both with at least 90 %.
pub fn verdict(beyond: &Beyond) -> Verdict {
    if beyond.low >= SURE || beyond.high >= SURE {
        Verdict::Fault
    } else if beyond.inside() >= SURE {
        Verdict::Clear
    } else {
        Verdict::Unsure
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::Check;
    use crate::thresholds::Thresholds;

    fn of(check: Check, value: f64, sd: f64) -> Verdict {
        let thresholds = Thresholds::default();
        verdict(&beyond(Estimate { value, sd }, thresholds.of(check)).unwrap_or_default())
    }

    /// The 90 % point of the normal distribution is 1.2816 (scipy 1.17).
    #[test]
    fn turns_at_the_ninety_percent_point() {
        assert_eq!(
            of(Check::HeelLift, 13.0 + 1.2820 * 3.0, 3.0),
            Verdict::Fault
        );
        assert_eq!(
            of(Check::HeelLift, 13.0 + 1.2810 * 3.0, 3.0),
            Verdict::Unsure
        );
        assert_eq!(
            of(Check::HeelLift, 13.0 - 1.2810 * 3.0, 3.0),
            Verdict::Unsure
        );
        assert_eq!(
            of(Check::HeelLift, 13.0 - 1.2820 * 3.0, 3.0),
            Verdict::Clear
        );
    }

    #[test]
    fn two_sided_checks_need_one_side_to_be_sure() {
        assert_eq!(of(Check::FootRoll, 0.0, 30.0), Verdict::Unsure);
        assert_eq!(of(Check::KneeIn, -20.0, 2.0), Verdict::Fault);
        assert_eq!(of(Check::KneeIn, 20.0, 2.0), Verdict::Fault);
        assert_eq!(of(Check::KneeIn, -5.0, 2.0), Verdict::Clear);
    }

    #[test]
    fn no_number_gives_no_probability() {
        let t = Thresholds::default();
        for (value, sd) in [
            (f64::NAN, 1.0),
            (1.0, f64::NAN),
            (1.0, -1.0),
            (1.0, f64::INFINITY),
        ] {
            assert!(beyond(Estimate { value, sd }, t.of(Check::KneeIn)).is_none());
        }
    }
}
