//! Remarks beside the finding: what could not be judged and why, slips, shoes, changed lines.

use super::About;
use super::signs::{names, often, side_word, signs};
use super::text::{Say, number};
use crate::findings::{Carried, Habits, Shown, Way};
use crate::gather::Gather;
use crate::keypoints::Footwear;
use crate::measures::{Channel, Check};
use crate::report::{FindingKind, FootSet, Note, RepResult, Unseen};
use crate::thresholds::Thresholds;

pub(super) fn notes(
    reps: &[RepResult],
    habits: &Habits,
    shown: &Shown,
    thresholds: &Thresholds,
    about: &About,
) -> Vec<Note> {
    let mut out = Vec::new();
    let mut say = |note: Note| out.push(note);
    for pattern in shown.patterns.iter().skip(1) {
        let reps = often(pattern.reps.len(), habits.reps);
        let signs = signs(&pattern.shown, 2, pattern.carrying());
        say(Note::of(
            Say::NoteAlso,
            &[("signs", &signs), ("often", &reps)],
        ));
    }
    other_heel(habits, shown).into_iter().for_each(&mut say);
    let listed = |pick: &dyn Fn(Channel) -> bool| -> Option<String> {
        let list: Vec<Channel> = Channel::ALL.into_iter().filter(|c| pick(*c)).gather();
        (!list.is_empty()).then(|| names(&list))
    };
    let shows = |c: Channel| {
        let shown_by = |p: &crate::findings::Pattern| p.shown.iter().any(|(s, _)| *s == c);
        shown.patterns.iter().any(shown_by)
    };
    let slipped = |c: Channel| {
        [Way::Low, Way::High]
            .iter()
            .any(|w| habits.get(c, *w).slip())
    };
    if let Some(list) = listed(&|c| slipped(c) && !shows(c)) {
        let mut which: Vec<usize> = Vec::new();
        for c in Channel::ALL {
            if slipped(c) && !shows(c) {
                for way in [Way::Low, Way::High] {
                    which.extend_from_slice(&habits.get(c, way).reps);
                }
            }
        }
        crate::order::each_once(&mut which);
        let often = often(which.len(), habits.reps);
        say(Note::of(
            Say::NoteSlip,
            &[("often", &often), ("list", &list)],
        ));
    }
    let open = |c: Channel| habits.carried(c) == Carried::Open && !slipped(c) && !shows(c);
    if let Some(list) = listed(&open) {
        say(Note::of(Say::NoteOpen, &[("list", &list)]));
    }
    if habits.reps > 0 {
        let reasons = [
            (Unseen::View, Say::NoteView),
            (Unseen::Missing, Say::NoteMissing),
            (Unseen::Noise, Say::NoteNoise),
            (Unseen::Layout, Say::NoteLayout),
            (Unseen::Standing, Say::NoteStanding),
        ];
        for (reason, note) in reasons {
            let hidden =
                |c: Channel| habits.carried(c) == Carried::Unseen && habits.why(c) == Some(reason);
            if let Some(list) = listed(&hidden) {
                say(Note::of(note, &[("list", &list)]));
            }
        }
    }
    let shallow = reps.iter().filter(|r| r.shallow).count();
    if shallow > 0 {
        let (n, all) = (shallow.to_string(), reps.len().to_string());
        say(Note::of(Say::NoteShallow, &[("n", &n), ("all", &all)]));
    }
    if reps.len() == 1 {
        say(Note::of(Say::NoteOneRep, &[]));
    }
    match about.footwear {
        Some(Footwear::Flat) => say(Note::of(Say::NoteShoes, &[])),
        Some(Footwear::RaisedHeel) => {
            say(Note::of(Say::NoteShoes, &[]));
            say(Note::of(Say::NoteRaised, &[]));
        }
        Some(Footwear::Barefoot) | None => {}
    }
    if let Some(list) = listed(&|c| thresholds.band(c).changed) {
        say(Note::of(Say::NoteChanged, &[("list", &list)]));
    }
    if !reps.is_empty() {
        say(Note::of(Say::NoteGeometry, &[]));
        let seen = |c: Channel| habits.carried(c) != Carried::Unseen;
        if seen(Channel::Forward) || seen(Channel::LoadLeft) {
            say(Note::of(Say::NoteSlow, &[]));
        }
    }
    out
}

/// Turned by this much a foot is said to have been turned, degrees; less and it was set elsewhere.
const TURNED: f64 = 5.0;

/// Feet that were set elsewhere between two repetitions.
pub(crate) fn feet_set<'a>(
    sets: &'a [FootSet],
    reps: &'a [RepResult],
) -> impl Iterator<Item = Note> + 'a {
    sets.iter().filter_map(|set| {
        let before = reps.iter().filter(|r| r.bottom_ms < set.at_ms).count();
        if before == 0 || before == reps.len() {
            return None;
        }
        let n = before.to_string();
        let moved = set.along_mm.zip(set.toward_mm).zip(set.turned_out_deg);
        Some(match moved {
            Some((_, out)) if out.abs() >= TURNED => {
                let degrees = number(out.abs());
                let blanks = [("side", set.side), ("degrees", &degrees), ("n", &n)];
                Note::of(Say::NoteFootTurned, &blanks)
            }
            Some(((along, toward), _)) => {
                let cm = number(0.1 * crate::angle::hypot(along, toward));
                let blanks = [("side", set.side), ("cm", &*cm), ("n", &*n)];
                Note::of(Say::NoteFootMoved, &blanks)
            }
            None => Note::of(Say::NoteFeetAnew, &[("n", &n)]),
        })
    })
}

/// A heel of which nothing can be said, when the other one is the finding.
fn other_heel(habits: &Habits, shown: &Shown) -> Option<Note> {
    let pattern = shown.patterns.first()?;
    let forward = matches!(
        pattern.kind,
        FindingKind::Forward | FindingKind::ForwardInward
    );
    let mut up = pattern
        .shown
        .iter()
        .filter(|(c, _)| c.check() == Check::HeelLift);
    let (Some((one, _)), None, true) = (up.next(), up.next(), forward) else {
        return None;
    };
    let other = one.side()?.other();
    let heel = Channel::of(Check::HeelLift, other);
    (habits.carried(heel) != Carried::Clear)
        .then(|| Note::of(Say::NoteOtherHeel, &[("side", side_word(other))]))
}
