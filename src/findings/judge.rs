//! One cell: a check of one foot in one repetition.

use super::score::score;
use super::verdict::{SURE, beyond, verdict};
use crate::measures::{Channel, Check, Evidence, Way, largest_sd};
use crate::report::{Mark, Opposite, Unseen, Verdict};
use crate::thresholds::Thresholds;

/// A value whose error is up to this many times what counts as seen is told where it is surely beyond a
/// line: it is on one side whatever its size (simulated squats whose knees go 20 to 30 degrees outside,
/// seen from the front: sd 6 to 11, off by 2 to 4; rendered feet that roll by 12 read 22 with an sd of 8). Not
/// so a heel or a roll that keypoints alone tell: now and then those err by more than they say.
const AT_MOST: f64 = 1.4;

/// Fills in value, verdict, score and what goes with them from the mark's excursions. Without a
/// usable one the mark becomes unseen.
pub fn judge(channel: Channel, mark: &mut Mark, thresholds: &Thresholds) {
    let band = thresholds.band(channel);
    mark.threshold_changed = band.changed;
    let seen = (|| {
        let found = beyond(&mark.ways, band)?.doubted(mark.doubt);
        let sure = found.low.max(found.high) >= SURE;
        let alone = mark.evidence == Some(Evidence::Keypoints.name());
        let told = mark.why.is_none()
            || (sure
                && (channel.check() == Check::KneeIn || !alone)
                && mark
                    .sd
                    .is_some_and(|sd| sd < AT_MOST * largest_sd(channel.check())));
        told.then_some(found)
    })();
    let nearest = |way: Way| {
        let (line, e) = match way {
            Way::Low => (band.low?, mark.ways[0]?),
            Way::High => (band.high?, mark.ways[1]?),
        };
        Some((way.sign() * (e.value - line), way, e))
    };
    let both = Way::BOTH.map(nearest);
    let chosen = match both {
        [Some(low), Some(high)] => Some(if low.0 > high.0 { low } else { high }),
        [low, high] => low.or(high),
    };
    let Some((found, (_, way, e))) = seen.zip(chosen) else {
        *mark = Mark {
            sd: mark.sd,
            why: mark.why.or(Some(Unseen::Missing)),
            threshold_changed: band.changed,
            ..Mark::default()
        };
        return;
    };
    let standing = mark.standing;
    mark.why = None;
    mark.verdict = verdict(&found);
    mark.score = Some(score(e.value, band));
    mark.value = Some(match channel.check() {
        // Smoothing goes beyond what it smooths.
        Check::LoadLeft => crate::order::within(e.value, 0.0, 100.0),
        _ => e.value,
    });
    mark.sd = Some(e.sd);
    mark.at_ms = Some(e.at_ms);
    mark.peak_phase = Some(e.peak_phase);
    mark.onset = e.onset;
    mark.from_standing = (channel.check() == Check::KneeIn).then_some(e.value - standing);
    let other = mark.ways[1 - way as usize].filter(|_| both.iter().all(Option::is_some));
    mark.opposite = other.map(|o| Opposite {
        value: o.value,
        sd: o.sd,
        at_ms: o.at_ms,
    });
    debug_assert!(mark.verdict != Verdict::Unseen);
}
