//! Scores that are not probabilities become ones.

/// Watches the scores of a stream and brings them to 0..1.
///
/// Some estimators give arguments of a sigmoid (negative for unseen points, well above 1 for seen
/// ones), others the peak of a classifier that may exceed 1 a little.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Scores {
    logits: bool,
    clearly_negative: u32,
}

impl Scores {
    /// The score as a probability-like number, 0 to 1; a non-finite one is 0.
    pub fn normalise(&mut self, raw: f64) -> f64 {
        if !raw.is_finite() {
            return 0.0;
        }
        // One stray negative may be rounding; several large ones are a habit.
        if raw < -0.5 {
            self.clearly_negative += 1;
            self.logits |= self.clearly_negative >= 3;
        }
        self.logits |= raw > 4.0;
        if self.logits {
            1.0 / (1.0 + (-raw).exp())
        } else {
            raw.clamp(0.0, 1.0)
        }
    }
}
