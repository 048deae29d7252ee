//! Scores that are not probabilities become ones.

/// Watches the scores of a stream and brings them to 0..1.
///
/// Some estimators give arguments of a sigmoid (negative for unseen points, well above 1 for seen
/// ones), others the peak of a classifier that may exceed 1 a little, or percent.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scores {
    negative: u32,
    largest: f64,
}

impl Default for Scores {
    fn default() -> Self {
        Self {
            negative: 0,
            largest: 1.0,
        }
    }
}

/// A largest score up to here is that of a probability.
const ABOUT_ONE: f64 = 1.02;
/// One stray negative may be rounding; so many clear ones are a habit.
const HABIT: u32 = 3;

impl Scores {
    /// The score as a probability-like number, 0 to 1; a non-finite one is 0.
    #[inline]
    pub fn normalise(&mut self, raw: f64) -> f64 {
        // A probability of an estimator that has given nothing else: as most are.
        if (0.0..=1.0).contains(&raw) && self.plain() {
            return raw;
        }
        self.brought(raw)
    }

    /// Nothing but probabilities so far.
    fn plain(&self) -> bool {
        self.negative < HABIT && self.largest <= ABOUT_ONE
    }

    #[inline(never)]
    fn brought(&mut self, raw: f64) -> f64 {
        if !raw.is_finite() {
            return 0.0;
        }
        if raw < -0.2 {
            self.negative = self.negative.saturating_add(1);
        }
        if raw > self.largest {
            self.largest = self.largest.max(raw.min(1e3));
        }
        if self.negative >= HABIT {
            1.0 / (1.0 + libm::exp(-raw))
        } else if self.largest > ABOUT_ONE {
            (raw / self.largest).clamp(0.0, 1.0)
        } else {
            raw.clamp(0.0, 1.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sigmoid_arguments_percent_and_peaks_become_shares() {
        let after = |list: &[f64], raw: f64| {
            let mut scores = Scores::default();
            for &s in list {
                scores.normalise(s);
            }
            scores.normalise(raw)
        };
        assert!(after(&[3.0, -2.0, -1.5, -3.0], 0.0) == 0.5);
        assert!(after(&[3.0, -2.0, -1.5, -3.0], -2.0) < 0.2);
        assert!(after(&[95.0, 88.0, 12.0], 90.0) > 0.9);
        assert!(after(&[95.0, 88.0, 12.0], 12.0) < 0.2);
        assert!(after(&[1.2, 0.9], 1.3) == 1.0);
        assert!(after(&[0.9, 0.2], 0.2) == 0.2);
        assert!(after(&[], f64::NAN) == 0.0);
    }
}
