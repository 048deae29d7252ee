//! Where each check's fault lines are: data with a source, which a coach may change.

mod defaults;
mod read;

pub use read::read;

use crate::decimal::decimal;
use crate::measures::{Channel, Check};
use crate::{Error, ErrorCode};

/// Where a line comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Rests on published or open data: which, and how.
    Published(&'static str),
    /// Common practice, no source.
    CommonPractice(&'static str),
    /// Set by the coach.
    Coach,
}

impl Source {
    /// In words.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Published(text) | Self::CommonPractice(text) => text,
            Self::Coach => "set by the coach",
        }
    }
}

/// The lines of one check, in its unit. A value beyond a line is a fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Below this is a fault; `None` when nothing is too low.
    pub low: Option<f64>,
    /// Above this is a fault; `None` when nothing is too high.
    pub high: Option<f64>,
    /// What an ordinary squat shows: where the score starts.
    pub ordinary: f64,
    /// Where the lines come from.
    pub source: Source,
    /// The coach changed a line.
    pub changed: bool,
}

impl Band {
    /// Distance from the ordinary value to a line, always above 0. A line that the coach has put
    /// on the wrong side of the ordinary value moves that value to just inside the line.
    pub(crate) fn reach(&self, line: f64) -> f64 {
        let wide = (line - self.centre()).abs();
        wide.max(1e-6)
    }

    /// The ordinary value, kept inside the lines.
    pub(crate) fn centre(&self) -> f64 {
        let inside = |v: f64| self.low.is_none_or(|l| v > l) && self.high.is_none_or(|h| v < h);
        match (self.low, self.high) {
            _ if inside(self.ordinary) => self.ordinary,
            (Some(l), Some(h)) => (l + h) / 2.0,
            (Some(l), None) => l + 1.0,
            (None, Some(h)) => h - 1.0,
            (None, None) => self.ordinary,
        }
    }
}

/// New lines for a check, in its unit; what is left out stays as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lines {
    /// Below this is a fault.
    pub low: Option<f64>,
    /// Above this is a fault.
    pub high: Option<f64>,
}

/// The lines of all checks.
#[derive(Clone, Debug, PartialEq)]
pub struct Thresholds {
    bands: [Band; Check::ALL.len()],
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            bands: Check::ALL.map(defaults::band),
        }
    }
}

impl Thresholds {
    /// The lines of a check.
    pub fn of(&self, check: Check) -> &Band {
        let [heel, knee, roll, forward, load] = &self.bands;
        match check {
            Check::HeelLift => heel,
            Check::KneeIn => knee,
            Check::FootRoll => roll,
            Check::Forward => forward,
            Check::LoadLeft => load,
        }
    }

    /// The lines of a channel.
    pub fn band(&self, channel: Channel) -> &Band {
        self.of(channel.check())
    }

    /// All lines, when a coach changed any of them.
    pub fn changed(&self) -> Option<Self> {
        let any = self.bands.iter().any(|band| band.changed);
        any.then(|| self.clone())
    }

    /// Changes the lines of the check named as in the report (`knee_in_deg`, ...).
    ///
    /// # Errors
    /// [`ErrorCode::BadOption`] for a name that is no check, a line that is not a finite number
    /// or out of the check's range, or a low line that is not below the high one.
    pub fn with(mut self, check: &str, lines: Lines) -> Result<Self, Error> {
        let bad = |field: &str, reason: String| {
            Error::new(ErrorCode::BadOption, format!("thresholds.{field}"), reason)
        };
        let Some(known) = Check::from_name(check) else {
            let names = Check::ALL.map(Check::name).join(", ");
            return Err(bad(check, format!("is no check; the checks are {names}")));
        };
        let (least, most) = defaults::range(known);
        for (name, line) in [("low", lines.low), ("high", lines.high)] {
            let Some(line) = line else { continue };
            if !line.is_finite() {
                return Err(bad(
                    &format!("{check}.{name}"),
                    "not a finite number".to_owned(),
                ));
            }
            if line < least || line > most {
                let [least, most] = [least, most].map(|bound| decimal(bound, 3));
                let reason = format!("must lie between {least} and {most}");
                return Err(bad(&format!("{check}.{name}"), reason));
            }
        }
        let mut band = *self.of(known);
        let before = (band.low, band.high);
        band.low = lines.low.or(band.low);
        band.high = lines.high.or(band.high);
        if let (Some(low), Some(high)) = (band.low, band.high)
            && low >= high
        {
            let [low, high] = [low, high].map(|line| decimal(line, 3));
            let reason = format!("low ({low}) must be below high ({high})");
            return Err(bad(check, reason));
        }
        if before != (band.low, band.high) {
            band.changed = true;
            band.source = Source::Coach;
        }
        let slot = Check::ALL.iter().position(|c| *c == known);
        if let Some(slot) = slot.and_then(|i| self.bands.get_mut(i)) {
            *slot = band;
        }
        Ok(self)
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Thresholds {
    /// `{ heel_lift_mm: { low, high, source, changed }, ... }`
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut out = serializer.serialize_struct("Thresholds", Check::ALL.len())?;
        for check in Check::ALL {
            out.serialize_field(check.name(), self.of(check))?;
        }
        out.end()
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Band {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut out = serializer.serialize_struct("Band", 4)?;
        out.serialize_field("low", &self.low)?;
        out.serialize_field("high", &self.high)?;
        out.serialize_field("source", self.source.text())?;
        out.serialize_field("changed", &self.changed)?;
        out.end()
    }
}
