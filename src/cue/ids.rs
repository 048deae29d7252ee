//! Stable names of cues, remarks and filming advice, for hosts that say them in words of their own.

use super::text::Say;
use crate::report::Note;

/// Names of all cues.
pub const CUE_IDS: &[&str] = &[
    "heel-print",
    "stretch-the-mat",
    "heel-print-and-stretch",
    "toe-print",
    "carrying-toe-print",
    "tape-line",
    "keep",
    "film-again",
    "stop",
];

macro_rules! names {
    ($(#[$doc:meta])* $list:ident, $name:ident: $($say:ident => $id:literal,)*) => {
        $(#[$doc])*
        pub const $list: &[&str] = &[$($id),*];

        pub(super) const fn $name(say: Say) -> &'static str {
            match say {
                $(Say::$say => $id,)*
                _ => "other",
            }
        }
    };
}

names! {
    /// Codes of all remarks.
    NOTE_CODES, note_code:
    NoteAlso => "also-seen",
    NoteOtherHeel => "other-heel",
    NoteSlip => "slip",
    NoteOpen => "too-close",
    NoteView => "not-from-this-side",
    NoteMissing => "hidden",
    NoteNoise => "shaky",
    NoteLayout => "no-points",
    NoteStanding => "no-standing",
    NoteShallow => "shallow",
    NoteOneRep => "one-repetition",
    NoteShoes => "shoes",
    NoteRaised => "raised-heel",
    NoteChanged => "lines-changed",
    NoteGeometry => "geometry",
    NoteSlow => "slow-lifting",
    NoteFootMoved => "foot-moved",
    NoteFootTurned => "foot-turned",
    NoteFeetAnew => "feet-anew",
    NoteNoPerson => "no-person",
    NoteTurned => "turned",
    NoteSteps => "steps",
    NoteLunges => "lunges",
    NoteKneeling => "kneeling",
    NoteAside => "aside",
    NoteBends => "bends",
    NoteJumps => "jumps",
    NoteTiptoe => "tiptoe",
    NoteReaching => "reaching",
    NoteQuick => "too-quick",
    NoteSeat => "sitting-down",
    NoteSqueezed => "squeezed",
    NoteLeftOut => "left-out",
    NoteUpsideDown => "upside-down",
    NoteQuarter => "quarter-turn",
    NoteKnock => "phone-knocked",
    NoteDrift => "phone-drifted",
    NoteShake => "phone-shaken",
    NoteLost => "out-of-sight",
    NoteUnknown => "unknown-fields",
    NoteEstimator => "unknown-estimator",
}

names! {
    /// Names of all advice on how to film the next set.
    FILM_IDS, film_id:
    FilmSide => "side-on",
    FilmOther => "other-side",
    FilmFront => "face-the-phone",
    FilmStill => "stand-still",
    FilmFrame => "in-the-picture",
    FilmSteady => "steady",
    FilmPoints => "foot-points",
    FilmMore => "more-repetitions",
    FilmDeeper => "deeper",
}

impl Note {
    /// A remark with its blanks filled.
    pub(crate) fn of(say: Say, blanks: &[(&str, &str)]) -> Self {
        Self {
            code: note_code(say),
            text: say.with(blanks),
        }
    }
}
