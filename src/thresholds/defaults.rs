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
        // 51 (31) mm outside over a shank of about 0.43 m; 5 to 95 %: 6 to 108 mm, 1 to 14.5
        // degrees. Five degrees inside is 2.7 SD from that mean.
        Check::KneeIn => (
            Some(-14.0),
            Some(5.0),
            -5.0,
            Source::Published(
                "UI-PRMD: in correct squats the knee goes 51 (SD 31) mm outside the foot's line, 95 % stay within 108 mm or 14 degrees; inside by 5 degrees is rarer still",
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
