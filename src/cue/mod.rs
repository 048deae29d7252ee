//! From what a set shows to one finding in words, one cue, and what to film next.

mod choice;
mod doubted;
mod film;
mod ids;
mod notes;
mod seen;
mod signs;
mod text;

pub(crate) use doubted::{Filmed, doubt};
pub use ids::{CUE_IDS, FILM_IDS, NOTE_CODES};
pub(crate) use notes::feet_set;
pub(crate) use signs::{name_of, unit_of};
pub use text::Say;
pub(crate) use text::number;

use crate::findings::{Carried, Foot, Habits, Inward, OF_A_FOOT, RestingShape, Shown, Way, find};
use crate::gather::Gather;
use crate::keypoints::{Footwear, Side};
use crate::measures::{Channel, Check};
use crate::report::{Cue, Finding, FindingKind, Note, RepResult};
use crate::thresholds::Thresholds;
use text::with_error;

/// Days until the next look, unless the coach says otherwise: a week.
pub const LOOK_AGAIN_DAYS: u32 = 7;

/// What else is known about a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct About {
    /// The camera's bearing from the lifter, degrees: 0 in front, +90 on the lifter's left.
    pub azimuth_deg: Option<f64>,
    /// What is on the feet.
    pub footwear: Option<Footwear>,
    /// The lifter said that something hurts.
    pub hurts: bool,
    /// Days until the next look.
    pub look_again_days: u32,
}

impl Default for About {
    fn default() -> Self {
        Self {
            azimuth_deg: None,
            footwear: None,
            hurts: false,
            look_again_days: LOOK_AGAIN_DAYS,
        }
    }
}

/// What a set comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// What it shows.
    pub finding: Finding,
    /// The one thing to do.
    pub cue: Cue,
    /// What could not be judged, and other remarks.
    pub notes: Vec<Note>,
}

/// Reads a judged set: its finding, its cue, and remarks. Without repetitions, or when too little
/// was seen, the cue is to film again, and how.
pub fn conclude(
    reps: &[RepResult],
    resting: &RestingShape,
    thresholds: &Thresholds,
    about: &About,
) -> Conclusion {
    let habits = Habits::of(reps, thresholds);
    let shown = find(&habits, about.azimuth_deg);
    let mut finding = finding(reps, &habits, &shown, resting, about);
    for check in Check::ALL {
        let list = if habits.judged(check) {
            &mut finding.judged
        } else {
            &mut finding.not_judged
        };
        list.push(check.name());
    }
    let cue = if about.hurts {
        stop(&finding)
    } else {
        cue(reps, &habits, &shown, &finding, thresholds, about)
    };
    Conclusion {
        notes: notes::notes(reps, &habits, &shown, thresholds, about),
        finding,
        cue,
    }
}

/// At least half of the set was shallow.
fn shallow(reps: &[RepResult]) -> bool {
    2 * reps.iter().filter(|r| r.shallow).count() >= reps.len().max(1)
}

fn finding(
    reps: &[RepResult],
    habits: &Habits,
    shown: &Shown,
    resting: &RestingShape,
    about: &About,
) -> Finding {
    let resting_shape = at_rest(habits, resting);
    let Some(pattern) = shown.patterns.first() else {
        let (kind, sentence) = if reps.is_empty() {
            (FindingKind::NotEnoughSeen, Say::FindingNoReps.plain())
        } else if shown.enough {
            (
                FindingKind::None,
                seen::none(habits, about.azimuth_deg, shallow(reps)),
            )
        } else {
            (
                FindingKind::NotEnoughSeen,
                seen::not_enough(habits, about.azimuth_deg),
            )
        };
        let doubt = if shallow(reps) { 0.5 } else { 1.0 };
        return Finding {
            kind,
            confidence: if shown.enough {
                shown.confidence * doubt
            } else {
                0.0
            },
            resting_shape,
            sentence,
            ..Finding::default()
        };
    };
    Finding {
        kind: pattern.kind,
        side: pattern.foot.map(Foot::name),
        reps: pattern.reps.clone(),
        onset: pattern.onset(habits),
        trend: pattern.trend(habits),
        confidence: shown.confidence,
        resting_shape,
        sentence: signs::sentence(pattern, habits),
        ..Finding::default()
    }
}

/// Sentences about a foot that is inward already in standing.
fn at_rest(habits: &Habits, resting: &RestingShape) -> Vec<String> {
    let mut out = Vec::new();
    for side in Side::BOTH {
        let (say, e) = match resting.inward(side.index()) {
            Some(Inward::Roll(e)) => (Say::RestRoll, e),
            Some(Inward::Knee(e)) => (Say::RestKnee, e),
            None => continue,
        };
        let channels = [Check::FootRoll, Check::KneeIn].map(|c| Channel::of(c, side));
        let adds = channels.iter().any(|c| habits.get(*c, Way::High).shown);
        let same = channels
            .iter()
            .any(|c| habits.carried(*c) == Carried::Clear);
        out.push(say.with(&[
            ("side", signs::side_word(side)),
            ("value", &with_error(e.value, e.sd)),
        ]));
        out.push(match (adds, same) {
            (true, _) => Say::RestMore.plain(),
            (_, true) => Say::RestSame.plain(),
            _ => Say::RestUnknown.plain(),
        });
    }
    if !out.is_empty() {
        out.push(Say::RestClinician.plain());
    }
    out
}

fn cautions(hurts: bool) -> Vec<String> {
    let usual = [Say::CautionPain, Say::CautionBar, Say::CautionMirror];
    hurts
        .then_some(Say::CautionHurts)
        .into_iter()
        .chain(usual)
        .map(Say::plain)
        .gather()
}

/// Something hurts: no cue, the advice to stop, and what was seen for whoever looks at it.
fn stop(finding: &Finding) -> Cue {
    Cue {
        id: "stop",
        side: None,
        text: Say::CueStop.plain(),
        why: vec![Say::WhyHurts.plain(), finding.sentence.clone()],
        film_next: None,
        film_next_id: None,
        look_again_days: 0,
        cautions: cautions(true),
    }
}

fn cue(
    reps: &[RepResult],
    habits: &Habits,
    shown: &Shown,
    finding: &Finding,
    thresholds: &Thresholds,
    about: &About,
) -> Cue {
    let mut film = film::next(habits, about.azimuth_deg);
    if film.is_none() && finding.kind == FindingKind::None && shallow(reps) {
        film = Some(Say::FilmDeeper);
    }
    let base = Cue {
        look_again_days: about.look_again_days,
        cautions: cautions(false),
        ..Cue::default()
    };
    match (shown.patterns.first(), finding.kind) {
        (Some(pattern), _) => {
            let choice = choice::choose(pattern, habits, thresholds);
            Cue {
                id: choice.id,
                side: Some(choice.foot.name()),
                text: choice.text,
                why: choice.why,
                film_next: film.map(Say::plain),
                film_next_id: film.map(ids::film_id),
                ..base
            }
        }
        (None, FindingKind::None) => {
            let clear: Vec<Channel> = Channel::ALL
                .into_iter()
                .filter(|c| habits.carried(*c) == Carried::Clear)
                .gather();
            Cue {
                id: "keep",
                text: if OF_A_FOOT.into_iter().all(|check| habits.judged(check)) {
                    Say::CueKeep.plain()
                } else {
                    Say::CueKeepSeen.plain()
                },
                why: vec![
                    Say::WhyNone.with(&[("list", &signs::names(&clear))]),
                    finding.sentence.clone(),
                ],
                film_next: film.map(Say::plain),
                film_next_id: film.map(ids::film_id),
                ..base
            }
        }
        (None, _) => Cue {
            id: "film-again",
            text: Say::CueFilm.plain(),
            why: vec![finding.sentence.clone()],
            film_next: Some(film.unwrap_or(Say::FilmMore).plain()),
            film_next_id: Some(ids::film_id(film.unwrap_or(Say::FilmMore))),
            look_again_days: 0,
            ..base
        },
    }
}
