//! What the report says of standing: where the camera stood, and how the lifter did.

use crate::keypoints::Sides;

/// Where the camera stood, seen from the lifter.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct View {
    /// Bearing, degrees: 0 in front, +90 on the lifter's left, 180 behind; -180 to 180.
    pub azimuth_deg: f64,
    /// Its standard error, degrees.
    pub azimuth_sd_deg: f64,
    /// Distance along the floor, m.
    pub distance_m: f64,
    /// `front`, `front-left`, `left`, `rear-left`, `rear`, `rear-right`, `right`, `front-right`.
    pub name: &'static str,
}

/// The quiet standing that everything is read against.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[allow(missing_docs)] // each _sd is the standard error of the field before it
pub struct Standing {
    /// First frame, ms.
    pub from_ms: f64,
    /// Last frame, ms.
    pub to_ms: f64,
    /// Between the ankles, mm.
    pub stance_width_mm: f64,
    pub stance_width_mm_sd: f64,
    /// Each foot's long axis from straight ahead, degrees, + = turned out.
    pub toe_out_deg: Sides<f64>,
    pub toe_out_deg_sd: Sides<f64>,
    /// Stature, m.
    pub height_m: f64,
    pub height_m_sd: f64,
}
