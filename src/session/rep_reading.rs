//! What one repetition comes to: how far each check goes, and what it looks like.

use super::Session;
use super::set_reading::Part;
use crate::findings::shows;
use crate::keypoints::{Joint, Layout, Part as JointPart, Side};
use crate::measures::{Channel, Check, Evidence, Excursion, Peak, peaks, thigh_at_bottom};
use crate::plausibility::{self, Aspect, Aspects};
use crate::repetitions::Repetition;
use crate::report::{Mark, Unseen, Verdict};

/// One repetition, read.
#[derive(Clone, Debug)]
pub(super) struct RepReading {
    pub rep: Repetition,
    pub aspects: Aspects,
    pub peaks: [Peak; Channel::COUNT],
    pub thigh: Mark,
}

impl RepReading {
    pub fn of(session: &Session, rep: &Repetition, part: Option<&Part>) -> Self {
        let (fit, series) = (part.map(|p| &p.stand.fit), part.map(|p| &p.series));
        let mut aspects = plausibility::read(&session.poses, rep, fit, series);
        aspects[Aspect::Squeezed as usize] = part.and_then(|p| p.squeezed);
        Self {
            rep: *rep,
            aspects,
            peaks: rep_peaks(rep, part, &session.setup.layout),
            thigh: thigh(rep, part),
        }
    }
}

fn rep_peaks(rep: &Repetition, part: Option<&Part>, layout: &Layout) -> [Peak; Channel::COUNT] {
    Channel::ALL.map(|channel| {
        let Some(part) = part else {
            return Peak {
                unseen: Some(Unseen::Standing),
                ..Peak::default()
            };
        };
        let mut peak = peaks(
            &part.series,
            rep.start_ms,
            rep.bottom_ms,
            rep.end_ms,
            channel,
        );
        // A check that could be read in no frame is the layout's doing only where that lacks points.
        if peak.unseen == Some(Unseen::Layout) && has_points(layout, channel) {
            peak.unseen = Some(Unseen::View);
        }
        // From straight ahead the front of a foot hides its heel, whatever the picture makes of it.
        let heel = channel.check() == Check::HeelLift && peak.evidence != Evidence::Keypoints;
        if heel && !shows(Check::HeelLift, Some(part.stand.fit.view().azimuth_deg)) {
            peak = Peak {
                unseen: peak.unseen.or(Some(Unseen::View)),
                ..Peak::default()
            };
        }
        peak
    })
}

/// The layout names the points that a check is read from first of all.
fn has_points(layout: &Layout, channel: Channel) -> bool {
    let parts: &[JointPart] = match channel.check() {
        Check::HeelLift => &[JointPart::Heel, JointPart::Ankle],
        Check::KneeIn => &[JointPart::Knee, JointPart::Ankle],
        Check::FootRoll => &[JointPart::Heel, JointPart::BigToe, JointPart::SmallToe],
        Check::Forward | Check::LoadLeft => &[JointPart::Hip, JointPart::Ankle],
    };
    let sides = Side::BOTH.into_iter();
    sides
        .filter(|s| channel.side().is_none_or(|own| own == *s))
        .all(|s| parts.iter().all(|part| layout.has(Joint::of(*part, s))))
}

pub(super) fn mark(peak: &Peak) -> Mark {
    Mark {
        sd: peak.sd,
        ways: peak.ways,
        standing: peak.standing,
        evidence: Some(peak.evidence.name()),
        why: peak.unseen,
        ..Mark::default()
    }
}

/// The thighs' inclination at the bottom. Without a line there is nothing to pass: what is seen is clear.
fn thigh(rep: &Repetition, part: Option<&Part>) -> Mark {
    let found = part.ok_or(Unseen::Standing).and_then(|part| {
        let found = thigh_at_bottom(&part.series, rep.start_ms, rep.end_ms);
        found.filter(Excursion::usable).ok_or(Unseen::Missing)
    });
    match found {
        Ok(e) => Mark {
            value: Some(e.value),
            sd: Some(e.sd),
            at_ms: Some(e.at_ms),
            verdict: Verdict::Clear,
            evidence: Some(Evidence::Keypoints.name()),
            ..Mark::default()
        },
        Err(why) => Mark {
            why: Some(why),
            ..Mark::default()
        },
    }
}
