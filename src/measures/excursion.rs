//! How far a check goes one way within a repetition, and how far that may be off.

/// Toward which line of a check's band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The low one.
    Low,
    /// The high one.
    High,
}

impl Way {
    /// Both, by index.
    pub const BOTH: [Way; 2] = [Self::Low, Self::High];

    /// -1 for down, 1 for up.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Low => -1.0,
            Self::High => 1.0,
        }
    }
}

/// A frame's value with what its error shares with all others of the set, by standard deviation.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Support {
    /// Value, in the check's unit.
    pub value: f64,
    /// By how much it moves with one standard deviation of the shared error.
    pub shared_sd: f64,
}

/// The furthest that a check goes one way within a repetition.
///
/// The true curve is the read one plus `z` times its shared error (camera, body, the estimator's
/// habits: one normal `z` for the whole set) plus an error of the repetition's own. For every `z`
/// another frame may be the furthest, so that three are kept: those for `z` of 0, -2 and 2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Excursion {
    /// Signed, in the check's unit.
    pub value: f64,
    /// Standard error of the value.
    pub sd: f64,
    /// The part of it that is new in every repetition.
    pub own_sd: f64,
    /// The furthest frames for shared errors of 0, -2 and 2 standard deviations.
    pub supports: [Support; 3],
    /// When, ms.
    pub at_ms: f64,
    /// Where in the lift: 0 start, 1 bottom, 2 end.
    pub peak_phase: f64,
    /// Where in the lift half of it was reached.
    pub onset: Option<f64>,
}

impl Excursion {
    /// A value whose whole error is the repetition's own.
    pub fn of(value: f64, sd: f64, at_ms: f64) -> Self {
        Self {
            value,
            sd,
            own_sd: sd,
            supports: [Support {
                value,
                shared_sd: 0.0,
            }; 3],
            at_ms,
            ..Self::default()
        }
    }

    /// The furthest value under a shared error of `z` standard deviations.
    pub fn under(&self, way: Way, z: f64) -> f64 {
        let s = way.sign();
        let far = self
            .supports
            .iter()
            .map(|p| s * (p.value + p.shared_sd * z));
        s * far.fold(f64::NEG_INFINITY, f64::max)
    }

    /// All of it moved.
    pub fn moved(mut self, by: f64) -> Self {
        self.value += by;
        for support in &mut self.supports {
            support.value += by;
        }
        self
    }

    /// Value and standard errors are usable numbers.
    pub fn usable(&self) -> bool {
        let finite = self.value.is_finite() && self.sd.is_finite() && self.own_sd.is_finite();
        finite && self.sd >= 0.0 && self.own_sd >= 0.0
    }
}
