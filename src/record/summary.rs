//! One set, as much of it as a comparison needs.

use crate::gather::Gather;
use crate::measures::Channel;
use crate::report::{RepResult, Report};
use crate::statistics::mean;
use crate::thresholds::Thresholds;

/// A set's values by check and side.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetSummary {
    /// Which day it was filmed: any number that sets of one day share. What differs between days
    /// (camera, shoes, form) makes the spread that a change must exceed.
    /// `None`: not known; a side's sets without a day count as one day.
    pub day: Option<i64>,
    /// The lines that it was judged by, where they are not the default ones.
    pub lines: Option<Thresholds>,
    /// The camera's bearing, degrees, when known.
    pub azimuth_deg: Option<f64>,
    /// Values of the repetitions on which a channel was seen, by [`Channel::index`].
    pub values: [Vec<f64>; Channel::COUNT],
    /// Mean standard error of those values; 0 where there are none.
    pub sd: [f64; Channel::COUNT],
}

impl SetSummary {
    /// From a report.
    pub fn of(report: &Report, day: impl Into<Option<i64>>) -> Self {
        let azimuth_deg = report.view.as_ref().map(|v| v.azimuth_deg);
        Self {
            lines: report.thresholds.clone(),
            ..Self::of_reps(&report.reps, day, azimuth_deg)
        }
    }

    /// From repetitions.
    pub fn of_reps(
        reps: &[RepResult],
        day: impl Into<Option<i64>>,
        azimuth_deg: Option<f64>,
    ) -> Self {
        let mut out = Self {
            day: day.into(),
            azimuth_deg: azimuth_deg.filter(|a| a.is_finite()),
            ..Self::default()
        };
        for channel in Channel::ALL {
            let k = channel.index();
            let seen: Vec<(f64, f64)> = reps
                .iter()
                .filter_map(|r| {
                    let mark = r.checks.get(channel);
                    Some((mark.value?, mark.sd?))
                })
                .filter(|(v, sd)| v.is_finite() && sd.is_finite())
                .gather();
            out.values[k] = seen.iter().map(|s| s.0).gather();
            out.sd[k] = mean(&seen.iter().map(|s| s.1).gather()).unwrap_or(0.0);
        }
        out
    }
}
