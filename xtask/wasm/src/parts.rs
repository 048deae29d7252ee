//! What pages load later, or never, in files of their own.

use crate::split::{Entry, Part};

/// The parts of the module. Functions that are named here are marked `#[inline(never)]` where they
/// are written; whatever only they lead to goes with them by itself.
pub const PARTS: [Part; 3] = [
    // Follows feet and shins in their pictures; loaded with the first crop. What calls these must hold
    // a picture: before the part is there they are empty places.
    Part {
        name: "picture",
        entries: &[
            Entry::Function(&["7picture", "12FeetPictures", "6follow"]),
            Entry::Function(&["7picture", "12FeetPictures", "5learn"]),
            Entry::Function(&["7picture", "12FeetPictures", "11look_nearby"]),
            Entry::Function(&["7picture", "12FeetPictures", "12outline_laid"]),
            Entry::Function(&["7picture", "4legs", "12LegsFollower", "3see"]),
            Entry::Function(&["7picture", "4legs", "12LegsFollower", "7outline"]),
            Entry::Export("rawsession_mark"),
        ],
    },
    // Sets over time.
    Part {
        name: "compare",
        entries: &[Entry::Export("compare")],
    },
    // Results of repetitions, reports, whole recordings; a frame does without.
    Part {
        name: "report",
        entries: &[
            Entry::Export("analyze"),
            Entry::Export("rawsession_report"),
            Entry::Export("rawsession_settle"),
            Entry::Export("rawsession_rep"),
        ],
    },
];
