//! Whether a check has really changed, by minimal detectable change.

use super::summary::SetSummary;
use crate::findings::ratio;
use crate::gather::Gather;
use crate::measures::{Channel, Check};
use crate::statistics::{Z_975, mean, t_quantile, variance, welch};
use crate::thresholds::Thresholds;

/// What happened to a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "kebab-case")
)]
pub enum Outcome {
    /// Nearer to an ordinary squat, by more than chance.
    Better,
    /// Farther from it, by more than chance.
    Worse,
    /// Within what chance can do.
    NoRealChange,
}

/// Where the spread between days comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize),
    serde(rename_all = "kebab-case")
)]
pub enum Basis {
    /// From this lifter's own days, on either side of the change.
    OwnDays,
    /// From a published study of a like measure.
    PublishedDays,
    /// Assumed: common practice, no source.
    AssumedDays,
}

/// One channel, then and now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Check and side.
    pub channel: Channel,
    /// What happened.
    pub outcome: Outcome,
    /// Mean of the earlier days, in the check's unit.
    pub earlier: f64,
    /// Mean of the later days.
    pub later: f64,
    /// Later less earlier.
    pub difference: f64,
    /// A difference must exceed this to be more than chance, 95 %.
    pub mdc95: f64,
    /// What the spread between days rests on.
    pub basis: Basis,
    /// The camera stood elsewhere, so nothing is concluded.
    pub view_changed: bool,
    /// The line of this check lay elsewhere for some earlier set than for the later ones.
    pub lines_changed: bool,
    /// Some set had no day.
    pub undated: bool,
}

/// Standard error of measurement between days of one day's mean, in the check's unit.
///
/// Knee: 3.01 degrees, the upper of 2.72 to 3.01 for the knee's frontal-plane angle in 2D video
/// (Munro, Herrington, Carolan 2012, J Sport Rehabil 21(1):7-11); of a like angle, not of this
/// one. The others are assumed: half of what would be worth a word, and no less than the spread
/// from repetition to repetition in UI-PRMD (heel 1.9 mm; load 7.5 mm of 300 mm, 2.5 %).
pub const fn between_day_sem(check: Check) -> (f64, Basis) {
    match check {
        Check::HeelLift => (4.0, Basis::AssumedDays),
        Check::KneeIn => (3.01, Basis::PublishedDays),
        Check::FootRoll => (3.0, Basis::AssumedDays),
        Check::Forward => (4.0, Basis::AssumedDays),
        Check::LoadLeft => (2.5, Basis::AssumedDays),
    }
}

/// How many days the spread of [`between_day_sem`] weighs beside a lifter's own: with two own days
/// a single difference must not decide (common practice, no source).
const PRIOR_DAYS: f64 = 4.0;
/// Bearing from which on two views count as different, degrees (common practice, no source).
const SAME_VIEW_DEG: f64 = 20.0;

/// Compares earlier with later sets, channel by channel; channels unseen on either side are left
/// out. `thresholds` say which way is better: those of the later sets, as a rule.
///
/// The minimal detectable change is that of two means of days, `1.96 sqrt(var)`, where `var` adds
/// - the spread between days. With two or more days on a side it is taken from the days' own
///   means, pooled over both sides, to which [`between_day_sem`] adds as much as four days would,
///   and the 97.5 % point of Student's t takes the place of 1.96; otherwise it is
///   [`between_day_sem`] alone, as a floor;
/// - the spread within the sets, by Welch's formula, when the days' own means do not hold it.
///
/// It is never less than 1.96 times the measuring error of either side. Sets from unlike bearings are not
/// compared: what differs may be the view's doing.
pub fn compare(
    earlier: &[SetSummary],
    later: &[SetSummary],
    thresholds: &Thresholds,
) -> Vec<Change> {
    Channel::ALL
        .into_iter()
        .filter_map(|channel| change(channel, earlier, later, thresholds))
        .gather()
}

fn change(
    channel: Channel,
    earlier: &[SetSummary],
    later: &[SetSummary],
    thresholds: &Thresholds,
) -> Option<Change> {
    let (before, after) = (Side::of(channel, earlier), Side::of(channel, later));
    let (from, to) = (mean(&before.days)?, mean(&after.days)?);
    let (n, m) = (before.days.len() as f64, after.days.len() as f64);
    let (sem, basis) = between_day_sem(channel.check());
    let per_mean = 1.0 / n + 1.0 / m;
    let df = n + m - 2.0;
    let (spread, basis) = if df >= 1.0 {
        let squares =
            |side: &Side| variance(&side.days).map_or(0.0, |v| v * (side.days.len() as f64 - 1.0));
        let own = squares(&before) + squares(&after);
        let pooled = (own + PRIOR_DAYS * sem * sem) / (df + PRIOR_DAYS);
        let t = t_quantile(0.975, df + PRIOR_DAYS).unwrap_or(Z_975);
        (t * t * pooled * per_mean, Basis::OwnDays)
    } else {
        // One day each: what the repetitions scatter comes on top of the floor.
        let within = welch(&before.reps, &after.reps).and_then(|w| w.half_95());
        let floor = Z_975 * Z_975 * sem * sem * per_mean;
        (floor + within.unwrap_or(0.0).powi(2), basis)
    };
    let view_changed = moved(earlier, later);
    // Less than either set's own error is no change, however alike the repetitions are.
    let own = Z_975 * before.sd.max(after.sd);
    let mdc95 = spread.sqrt().max(own);
    let difference = to - from;
    let band = thresholds.band(channel);
    let outcome = if view_changed || difference.abs() <= mdc95 {
        Outcome::NoRealChange
    } else if ratio(to, band) < ratio(from, band) {
        Outcome::Better
    } else if ratio(to, band) > ratio(from, band) {
        Outcome::Worse
    } else {
        Outcome::NoRealChange
    };
    Some(Change {
        channel,
        outcome,
        earlier: from,
        later: to,
        difference,
        mdc95,
        basis,
        view_changed,
        lines_changed: lines_changed(channel, earlier, later),
        undated: before.undated || after.undated,
    })
}

/// One side of a comparison.
struct Side {
    /// Mean of each day.
    days: Vec<f64>,
    /// All repetitions.
    reps: Vec<f64>,
    /// Largest measuring error.
    sd: f64,
    /// Some set has no day.
    undated: bool,
}

impl Side {
    fn of(channel: Channel, sets: &[SetSummary]) -> Self {
        let k = channel.index();
        let seen = || sets.iter().filter(|s| !s.values[k].is_empty());
        let mut dates: Vec<Option<i64>> = seen().map(|s| s.day).gather();
        crate::order::shell(&mut dates, |a, b| a > b);
        dates.dedup();
        let values = |days: &[Option<i64>]| -> Vec<f64> {
            seen()
                .filter(|s| days.contains(&s.day))
                .flat_map(|s| s.values[k].iter().copied())
                .filter(|v| v.is_finite())
                .gather()
        };
        Self {
            days: dates.iter().filter_map(|d| mean(&values(&[*d]))).gather(),
            reps: values(&dates),
            undated: dates.contains(&None),
            sd: seen().map(|s| s.sd[k]).fold(0.0, f64::max),
        }
    }
}

/// Some earlier set was judged by another line of this channel than some later one.
fn lines_changed(channel: Channel, earlier: &[SetSummary], later: &[SetSummary]) -> bool {
    let usual = Thresholds::default();
    let lines = |set: &SetSummary| {
        let band = set.lines.as_ref().unwrap_or(&usual).band(channel);
        (band.low, band.high)
    };
    let differs = |a: &SetSummary| later.iter().any(|b| lines(a) != lines(b));
    earlier.iter().any(differs)
}

/// Some earlier and some later set were filmed from different bearings, or one is not known.
fn moved(earlier: &[SetSummary], later: &[SetSummary]) -> bool {
    earlier.iter().any(|a| {
        later.iter().any(|b| match (a.azimuth_deg, b.azimuth_deg) {
            (Some(a), Some(b)) => {
                let apart = (a - b) - 360.0 * ((a - b) / 360.0).floor();
                apart.min(360.0 - apart) > SAME_VIEW_DEG
            }
            _ => true,
        })
    })
}
