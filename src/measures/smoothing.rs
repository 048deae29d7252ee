//! Zero-phase low-pass smoothing.
//!
//! Second-order Butterworth run forward and backward (Winter 2009, ch. 3). Two passes would halve
//! the gain at the cutoff, so the design frequency is raised: tan(pi fc / fs) / C with
//! C = (2^(1/2) - 1)^(1/4). Ends are extended by odd reflection, and each pass starts in the
//! steady state of its first sample, as in scipy.signal.filtfilt.

use crate::angle::tan;

/// Coefficients of a second-order section, b0 b1 b2 a1 a2 with a0 = 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Butterworth {
    /// Numerator.
    pub b: [f64; 3],
    /// Denominator after the leading 1.
    pub a: [f64; 2],
}

impl Butterworth {
    /// Low-pass with the -3 dB point of one pass at `cutoff_hz`, by the bilinear transform.
    /// `None` unless 0 < cutoff < rate / 2.
    pub fn low_pass(cutoff_hz: f64, rate_hz: f64) -> Option<Self> {
        Self::from_warped(
            tan(std::f64::consts::PI * cutoff_hz / rate_hz),
            cutoff_hz,
            rate_hz,
        )
    }

    /// Low-pass whose two passes together have their -3 dB point at `cutoff_hz`.
    pub fn low_pass_two_passes(cutoff_hz: f64, rate_hz: f64) -> Option<Self> {
        let c = (2f64.sqrt() - 1.0).sqrt().sqrt();
        let warped = tan(std::f64::consts::PI * cutoff_hz / rate_hz) / c;
        Self::from_warped(warped, cutoff_hz, rate_hz)
    }

    fn from_warped(w: f64, cutoff_hz: f64, rate_hz: f64) -> Option<Self> {
        if !(cutoff_hz > 0.0 && cutoff_hz < rate_hz / 2.0 && w.is_finite() && w > 0.0) {
            return None;
        }
        let q = std::f64::consts::SQRT_2 * w;
        let norm = 1.0 / (1.0 + q + w * w);
        let b0 = w * w * norm;
        Some(Self {
            b: [b0, 2.0 * b0, b0],
            a: [2.0 * (w * w - 1.0) * norm, (1.0 - q + w * w) * norm],
        })
    }

    /// State for a constant input of 1 to come out as 1 from the first sample on.
    fn steady(&self) -> [f64; 2] {
        let [_, b1, b2] = self.b;
        let [a1, a2] = self.a;
        let sum = (b1 + b2 - (a1 + a2) * self.b[0]) / (1.0 + a1 + a2);
        [sum, b2 - a2 * (self.b[0] + sum)]
    }

    fn pass(&self, values: &mut [f64]) {
        let first = values.first().copied().unwrap_or(0.0);
        let [mut s0, mut s1] = self.steady().map(|s| s * first);
        for v in values.iter_mut() {
            let x = *v;
            let y = self.b[0] * x + s0;
            s0 = self.b[1] * x - self.a[0] * y + s1;
            s1 = self.b[2] * x - self.a[1] * y;
            *v = y;
        }
    }

    /// Forward and backward over evenly spaced values, in place.
    pub fn both_ways(&self, values: &mut Vec<f64>) {
        let n = values.len();
        if n < 2 {
            return;
        }
        let pad = 9.min(n - 1);
        let (first, last) = (values[0], values[n - 1]);
        let mut long = Vec::with_capacity(n + 2 * pad);
        long.extend((1..=pad).rev().map(|i| 2.0 * first - values[i]));
        long.extend_from_slice(values);
        long.extend((1..=pad).map(|i| 2.0 * last - values[n - 1 - i]));
        self.pass(&mut long);
        long.reverse();
        self.pass(&mut long);
        long.reverse();
        values.clear();
        values.extend_from_slice(&long[pad..pad + n]);
    }

    /// Share of white noise's variance that is left after both passes, far from the ends.
    pub fn white_gain(&self) -> f64 {
        let mut impulse = vec![0.0; 301];
        impulse[150] = 1.0;
        self.both_ways(&mut impulse);
        impulse.iter().map(|v| v * v).sum()
    }
}
