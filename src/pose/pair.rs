//! What is seen of a pair.

use super::types::Pose;
use crate::keypoints::{Part, Side};
use std::ops::{Add, Div};

/// What both give together, or the one that is seen by itself.
pub(crate) fn of_pair<T>(pair: [Option<T>; 2], both: impl Fn(T, T) -> T) -> Option<T> {
    match pair {
        [Some(a), Some(b)] => Some(both(a, b)),
        [a, b] => a.or(b),
    }
}

/// The mean of what is seen of a pair.
pub(crate) fn mean<T: Add<Output = T> + Div<f64, Output = T>>(pair: [Option<T>; 2]) -> Option<T> {
    of_pair(pair, |a, b| (a + b) / 2.0)
}

impl Pose {
    /// The longer shank in the picture, px.
    pub(crate) fn shank(&self) -> Option<f64> {
        let of = |s| Some((self.of(Part::Knee, s)? - self.of(Part::Ankle, s)?).length());
        of_pair(Side::BOTH.map(of), f64::max)
    }
}
