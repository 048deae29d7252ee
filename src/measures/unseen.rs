//! Why a check has no value.

/// Why a check was not seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "kebab-case")
)]
pub enum Unseen {
    /// The layout lacks the points.
    Layout,
    /// From this side the standard error is too large for the threshold.
    View,
    /// The points were missing or hidden in these frames.
    Missing,
    /// No quiet standing was found to read it against.
    Standing,
    /// The points are too noisy.
    Noise,
    /// The repetition is no squat, as far as can be told.
    NotASquat,
}
