//! A set without a finding in words: what was fine, what could not be judged, and what is in doubt.

use super::signs::{names, often, signs};
use super::text::Say;
use crate::findings::{Carried, Habits, OF_A_FOOT, Way, shows};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::Channel;

/// Channels of single feet.
fn of_feet() -> impl Iterator<Item = Channel> {
    let both = |check| Side::BOTH.map(|side| Channel::of(check, side));
    OF_A_FOOT.into_iter().flat_map(both)
}

/// `Say` with the names of the channels that `pick` takes; nothing for none.
fn listed(say: Say, pick: impl Fn(&Channel) -> bool) -> Option<String> {
    let list: Vec<Channel> = of_feet().filter(pick).gather();
    (!list.is_empty()).then(|| say.with(&[("list", &names(&list))]))
}

/// Sentences about what was fine and what was not judged, for the reason that holds.
fn judged(habits: &Habits, azimuth_deg: Option<f64>) -> Vec<String> {
    let fine = |c: &Channel| habits.carried(*c) == Carried::Clear;
    let here = |c: &Channel| shows(c.check(), azimuth_deg);
    let parts = [
        listed(Say::FindingFine, fine),
        listed(Say::FindingNotJudged, |c| !fine(c) && here(c)),
        listed(Say::FindingNotSeen, |c| !fine(c) && !here(c)),
    ];
    parts.into_iter().flatten().gather()
}

/// Nothing beyond the lines: `Knees and rolls fine. Heels not seen from here.`
pub(super) fn none(habits: &Habits, azimuth_deg: Option<f64>, shallow: bool) -> String {
    let mut parts = judged(habits, azimuth_deg);
    let slipped: Vec<Channel> = Channel::ALL
        .into_iter()
        .filter(|c| habits.slipped(*c))
        .gather();
    if !slipped.is_empty() {
        let mut reps = Vec::new();
        for channel in &slipped {
            for way in Way::BOTH {
                reps.extend_from_slice(&habits.get(*channel, way).reps);
            }
        }
        crate::order::each_once(&mut reps);
        let blanks = [
            ("often", &*often(reps.len(), habits.reps)),
            ("list", &*names(&slipped)),
        ];
        parts.push(Say::FindingSlip.with(&blanks));
    }
    if shallow {
        parts.push(Say::FindingShallow.plain());
    }
    parts.join(" ")
}

/// Too little seen: what is probably there, though not surely; else what was fine and what was not judged.
pub(super) fn not_enough(habits: &Habits, azimuth_deg: Option<f64>) -> String {
    let mut suspects = Vec::new();
    for channel in Channel::ALL {
        for way in Way::BOTH {
            if habits.get(channel, way).suspect() {
                suspects.push((channel, way));
            }
        }
    }
    if suspects.is_empty() {
        judged(habits, azimuth_deg).join(" ")
    } else {
        Say::FindingClose.with(&[("signs", &signs(&suspects, 2, None))])
    }
}
