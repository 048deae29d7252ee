//! How sure it is that something in a repetition passes a line.

use crate::measures::{Excursion, Way};
use crate::report::Verdict;
use crate::thresholds::Band;
use libm::erfc;

/// Probability that a verdict other than `unsure` asks for.
pub const SURE: f64 = 0.9;

/// Steps of the shared error that are looked at either way, and their size in standard deviations.
const WIDEST: i32 = 16;
const STEP: f64 = 0.2;

/// Values of the error that a whole set shares, in standard deviations, with their probabilities.
pub(super) fn shared_errors() -> impl Iterator<Item = (f64, f64)> {
    let point = |k: i32| {
        let z = f64::from(k) * STEP;
        (z, libm::exp(-0.5 * z * z))
    };
    let all: f64 = (-WIDEST..=WIDEST).map(|k| point(k).1).sum();
    (-WIDEST..=WIDEST)
        .map(point)
        .map(move |(z, density)| (z, density / all))
}

/// Probabilities that a repetition passes its lines.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Beyond {
    /// The low one.
    pub low: f64,
    /// The high one.
    pub high: f64,
    /// Either of them.
    pub any: f64,
}

impl Beyond {
    /// The same of a repetition that is no squat with this probability: then nothing of it is a fault, and
    /// nothing becomes clear by it.
    pub fn doubted(self, doubt: f64) -> Self {
        let squat = 1.0 - doubt;
        let unsure = 1.0 - SURE + 0.01;
        Self {
            low: self.low * squat,
            high: self.high * squat,
            any: (self.any * squat).max(self.any.min(unsure)),
        }
    }
}

/// Standard normal distribution function.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * erfc(-z / std::f64::consts::SQRT_2)
}

/// Probability that an excursion passes a line, given the shared error `z`.
pub(super) fn passes(e: &Excursion, way: Way, line: f64, z: f64) -> f64 {
    let past = way.sign() * (e.under(way, z) - line);
    normal_cdf(past / e.own_sd.max(1e-9))
}

/// The probabilities of the furthest excursions down and up; `None` when one that a line asks for is
/// missing or no usable number.
pub fn beyond(ways: &[Option<Excursion>; 2], band: &Band) -> Option<Beyond> {
    let [low, high] = [(band.low, ways[0]), (band.high, ways[1])].map(|(line, e)| match line {
        None => Some(None),
        Some(line) => e.filter(Excursion::usable).map(|e| Some((line, e))),
    });
    let (low, high) = (low?, high?);
    let mut out = Beyond::default();
    for (z, weight) in shared_errors() {
        let past = |of: &Option<(f64, Excursion)>, way| {
            of.as_ref()
                .map_or(0.0, |(line, e)| passes(e, way, *line, z))
        };
        let (l, h) = (past(&low, Way::Low), past(&high, Way::High));
        out.low += weight * l;
        out.high += weight * h;
        out.any += weight * (1.0 - (1.0 - l) * (1.0 - h));
    }
    Some(out)
}

/// Fault when a line is passed with at least 90 %, clear when none is with at least 90 %.
pub fn verdict(beyond: &Beyond) -> Verdict {
    if beyond.any >= SURE {
        Verdict::Fault
    } else if beyond.any <= 1.0 - SURE {
        Verdict::Clear
    } else {
        Verdict::Unsure
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::{Check, Support};
    use crate::thresholds::Thresholds;

    fn of(check: Check, value: f64, sd: f64) -> Verdict {
        let ways = [Some(Excursion::of(value, sd, 0.0)); 2];
        let thresholds = Thresholds::default();
        verdict(&beyond(&ways, thresholds.of(check)).unwrap_or_default())
    }

    /// The 90 % point of the normal distribution is 1.2816 (scipy 1.17).
    #[test]
    fn turns_at_the_ninety_percent_point() {
        for (z, way, expected) in [
            (1.2820, 1.0, Verdict::Fault),
            (1.2810, 1.0, Verdict::Unsure),
            (1.2810, -1.0, Verdict::Unsure),
            (1.2820, -1.0, Verdict::Clear),
        ] {
            assert_eq!(of(Check::HeelLift, 13.0 + way * z * 3.0, 3.0), expected);
        }
    }

    /// The same where nearly all of the error is shared.
    #[test]
    fn a_shared_error_counts_like_any_other() {
        let line = Thresholds::default()
            .of(Check::HeelLift)
            .high
            .unwrap_or(0.0);
        for (z, expected) in [(1.31, Verdict::Fault), (1.25, Verdict::Unsure)] {
            let (own, shared) = (0.9, 2.862);
            let support = Support {
                value: line + z * 3.0,
                shared_sd: shared,
            };
            let e = Excursion {
                own_sd: own,
                supports: [support; 3],
                ..Excursion::of(line + z * 3.0, 3.0, 0.0)
            };
            let thresholds = Thresholds::default();
            let found = beyond(&[None, Some(e)], thresholds.of(Check::HeelLift));
            assert_eq!(verdict(&found.unwrap_or_default()), expected, "{z}");
        }
    }

    /// Two chances of a passing are more than one: 1 - 0.3 * 0.3 = 0.91.
    #[test]
    fn both_directions_count() {
        let t = Thresholds::default();
        let roll = t.of(Check::FootRoll);
        let (low, high) = (roll.low.unwrap_or(0.0), roll.high.unwrap_or(0.0));
        // The 70 % point of the normal distribution is 0.5244 (scipy 1.17).
        let out = |far: f64| {
            let ways = [
                Some(Excursion::of(low - far * 2.0, 2.0, 0.0)),
                Some(Excursion::of(high + far * 2.0, 2.0, 0.0)),
            ];
            beyond(&ways, roll).unwrap_or_default()
        };
        let both = out(0.5244);
        assert!((both.low - 0.7).abs() < 1e-4 && (both.any - 0.91).abs() < 1e-4);
        assert_eq!(verdict(&both), Verdict::Fault);
        // Inside by 1.2816 on both sides: 81 % that none passes.
        assert_eq!(verdict(&out(-1.2816)), Verdict::Unsure);
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
            let ways = [Some(Excursion::of(value, sd, 0.0)); 2];
            assert!(beyond(&ways, t.of(Check::KneeIn)).is_none());
        }
    }
}
