//! What is said of a film that shows no squats, or was not filmed from a phone that stood still.

use super::text::{Say, number};
use super::{Conclusion, Cue};
use crate::plausibility::{Aspect, Doubts};
use crate::report::{FindingKind, Note};

/// What speaks against a squat, in words that a lifter can act on.
fn against(aspect: Aspect) -> Say {
    match aspect {
        Aspect::Misfit => Say::NoteNoPerson,
        Aspect::Upright => Say::NoteTurned,
        Aspect::FootMoved => Say::NoteSteps,
        Aspect::KneesApart => Say::NoteLunges,
        Aspect::KneeLow => Say::NoteKneeling,
        Aspect::Aside => Say::NoteAside,
        Aspect::Hinge => Say::NoteBends,
        Aspect::Risen => Say::NoteJumps,
        Aspect::Tiptoe => Say::NoteTiptoe,
        Aspect::Hands => Say::NoteReaching,
        Aspect::Quick => Say::NoteQuick,
        Aspect::Seat => Say::NoteSeat,
        Aspect::Squeezed => Say::NoteSqueezed,
    }
}

/// Refuses a set whose repetitions are no squats, and says of one with a few such that they were left
/// out.
pub(crate) fn doubt(conclusion: &mut Conclusion, doubts: &Doubts) {
    let Some(aspect) = doubts.refused() else {
        if doubts.none() > 0 {
            let (n, all) = (doubts.none().to_string(), doubts.reps.len().to_string());
            let note = Note::of(Say::NoteLeftOut, &[("n", &n), ("all", &all)]);
            let why = Note::of(against(doubts.against()), &[]);
            conclusion.notes.splice(0..0, [note, why]);
        }
        return;
    };
    let finding = &mut conclusion.finding;
    finding.kind = FindingKind::NotSquats;
    finding.sentence = Say::FindingNotSquats.plain();
    finding.confidence = 1.0 - doubts.squats();
    finding.resting_shape.clear();
    let note = Note::of(against(aspect), &[]);
    let stops = conclusion.cue.id == "stop";
    if !stops {
        conclusion.cue = Cue {
            why: vec![finding.sentence.clone(), note.text.clone()],
            ..conclusion.cue.clone()
        };
    }
    // Of no check can be said why it was not seen.
    conclusion.notes.clear();
    conclusion.notes.push(note);
}

/// What became of the film before it was read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Filmed<'a> {
    /// It had to be turned, by a half or by a quarter.
    pub turned: Option<bool>,
    /// When the phone was knocked, ms.
    pub knocks: &'a [f64],
    /// It drifted by so many px.
    pub drift_px: Option<f64>,
    /// It shook.
    pub shaken: bool,
    /// Fields that are not known.
    pub unknown: &'a [String],
    /// The pose estimator is not named, or not one that was measured.
    pub generic: bool,
    /// For how long the feet or knees of repetitions were out of sight, ms.
    pub lost_ms: f64,
    /// Nobody who stands explains the points.
    pub nobody: bool,
}

impl Filmed<'_> {
    /// In words.
    pub fn notes(&self) -> Vec<Note> {
        let mut out = Vec::new();
        match self.turned {
            Some(true) => out.push(Note::of(Say::NoteUpsideDown, &[])),
            Some(false) => out.push(Note::of(Say::NoteQuarter, &[])),
            None => {}
        }
        for at_ms in self.knocks {
            out.push(Note::of(Say::NoteKnock, &[("time", &clock(*at_ms))]));
        }
        if let Some(px) = self.drift_px {
            out.push(Note::of(Say::NoteDrift, &[("px", &number(px))]));
        }
        if self.shaken {
            out.push(Note::of(Say::NoteShake, &[]));
        }
        if self.lost_ms > 0.0 {
            let seconds = number((self.lost_ms / 1e3).max(1.0));
            out.push(Note::of(Say::NoteLost, &[("seconds", &seconds)]));
        }
        if self.nobody {
            out.push(Note::of(Say::NoteNoPerson, &[]));
        }
        if !self.unknown.is_empty() {
            let list = self.unknown.join(", ");
            out.push(Note::of(Say::NoteUnknown, &[("list", &list)]));
        }
        if self.generic {
            out.push(Note::of(Say::NoteEstimator, &[]));
        }
        out
    }
}

/// Minutes and seconds.
fn clock(ms: f64) -> String {
    let seconds = (ms / 1e3).max(0.0) as u64;
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    let zero = if seconds < 10 { "0" } else { "" };
    format!("{minutes}:{zero}{seconds}")
}
