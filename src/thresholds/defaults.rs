//! The default lines and where they come from.
//!
//! Numbers from UI-PRMD are from its 200 legs of correct deep squats with skin markers (Vakanski
//! et al. 2018, Data 3(1):2).

use super::{Band, Source};
use crate::measures::Check;

/// The default lines of a check.
pub(super) const fn band(check: Check) -> Band {
    let (low, high, ordinary, source) = match check {
        Check::HeelLift => (
            None,
            Some(13.0),
            0.0,
            Source::Published(
                "UI-PRMD: in correct squats the heel marker rises 7.0 (SD 3.5) mm, 95 % stay below 12.7 mm",
            ),
        ),
        // Lower than a quarter of the way down: largest lean inward of correct squats 7.5 degrees at
        // 80 % and 9.9 at 90 %, and 60 and 46 % of incorrect ones beyond; 5 % lean outward by 7.4 or
        // more. Half a forefoot is 40 mm to the big toe and 55 mm to the little one, 5 and 7 degrees
        // of a shank of 0.43 m.
        Check::KneeIn => (
            Some(-8.0),
            Some(8.0),
            0.0,
            Source::Published(
                "UI-PRMD: lower than a quarter of the way down the knee of correct squats stays within 7.4 degrees outside (95 %) and 7.5 inside (80 %) the line of the second toe, and 60 % of incorrect ones go further in; 8 degrees are about 6 cm at the knee",
            ),
        ),
        Check::FootRoll => (
            Some(-6.0),
            Some(6.0),
            0.0,
            Source::CommonPractice("common practice, no source: a roll that an eye sees"),
        ),
        // The centre of mass was 0.32 (0.09) of foot length ahead of the heel in standing and
        // 0.29 (0.08) at the bottom. An eighth of a foot further puts it over the toe bases' half.
        Check::Forward => (
            None,
            Some(12.0),
            0.0,
            Source::CommonPractice(
                "common practice, no source: in UI-PRMD's correct squats the centre of mass stays within a few percent of foot length of its standing place",
            ),
        ),
        // (left - right) / (left + right) of 15 % is a share of 57.5 %.
        Check::LoadLeft => (
            Some(42.5),
            Some(57.5),
            50.0,
            Source::Published(
                "15 % bilateral difference, the common line (BMC Sports Sci Med Rehabil 2020, s13102-020-00191-y); its basis is weak (Bishop et al. 2018)",
            ),
        ),
    };
    Band {
        low,
        high,
        ordinary,
        source,
        changed: false,
    }
}

/// Where a coach's line may lie.
pub(super) const fn range(check: Check) -> (f64, f64) {
    match check {
        Check::HeelLift => (-20.0, 200.0),
        Check::KneeIn => (-60.0, 60.0),
        Check::FootRoll => (-45.0, 45.0),
        Check::Forward => (-100.0, 100.0),
        Check::LoadLeft => (0.0, 100.0),
    }
}
