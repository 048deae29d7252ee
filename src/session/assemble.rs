//! Puts the report together from what the stages found.

use super::Session;
use super::rep_reading::{RepReading, mark};
use super::set_reading::{SetReading, part};
use crate::cue::{About, Conclusion, Filmed, LOOK_AGAIN_DAYS, conclude, doubt, feet_set};
use crate::findings::{RestingShape, contacts, judge};
use crate::gather::Gather;
use crate::measures::{Channel, Curves, GENERIC, Peak, Profile, largest_sd, settle};
use crate::plausibility::{self, Aspects, Doubts};
use crate::repetitions::Repetition;
use crate::report::{
    Checks, Contact, Contacts, Mark, Note, RepResult, Report, SCHEMA, Series, Tempo, Unseen,
};
use crate::steady::Moved;
use crate::thresholds::Thresholds;
use crate::turned::Turn;

/// The report over everything the session holds, with curves when `with_series`.
pub(crate) fn report(session: &Session, with_series: bool) -> Report {
    let curves = match with_series {
        true => Curves::All,
        false => Curves::OfRepetitions,
    };
    let sets = session.read_sets(curves);
    let stand = sets.iter().find_map(|s| s.stand.as_ref());
    let read = sets.iter().flat_map(|s| &s.reps).gather();
    let mut moved = Moved::default();
    let mut lost_ms = 0.0;
    for set in &sets {
        moved.add(&set.moved);
        lost_ms += set.lost_ms;
    }
    let aspects = read.iter().map(|r| r.aspects).gather();
    let doubts = Doubts::of(&aspects);
    let mut found: Vec<[Peak; Channel::COUNT]> = read
        .iter()
        .enumerate()
        .map(|(i, rep)| match doubts.judged(i) {
            true => rep.peaks,
            false => no_squat(),
        })
        .gather();
    for channel in Channel::ALL {
        let mut set: Vec<&mut Peak> = found.iter_mut().map(|p| &mut p[channel.index()]).gather();
        settle(&mut set);
    }
    let reps: Vec<RepResult> = read
        .iter()
        .zip(&found)
        .enumerate()
        .map(|(i, (read, found))| {
            let thigh = match doubts.judged(i) {
                true => read.thigh,
                false => mark(&no_squat()[0]),
            };
            let (rep, lines) = (&read.rep, &session.options.thresholds);
            rep_result(i + 1, rep, found, thigh, doubts.of_rep(i), lines)
        })
        .gather();
    // Of points that nobody who stands explains, nothing is claimed.
    let somebody = stand.filter(|s| plausibility::somebody(&s.fit));
    let view = somebody.map(|s| s.fit.view());
    let about = About {
        azimuth_deg: view.as_ref().map(|v| v.azimuth_deg),
        footwear: session.setup.footwear,
        hurts: session.options.hurts,
        look_again_days: session.options.look_again_days.unwrap_or(LOOK_AGAIN_DAYS),
    };
    let resting = stand.map_or_else(RestingShape::default, |s| RestingShape::of(&s.fit));
    let mut conclusion = conclude(&reps, &resting, &session.options.thresholds, &about);
    doubt(&mut conclusion, &doubts);
    let Conclusion {
        finding,
        cue,
        mut notes,
    } = conclusion;
    notes.splice(
        0..0,
        filmed(
            session,
            &moved,
            lost_ms,
            stand.is_some() && somebody.is_none() && reps.is_empty(),
        ),
    );
    notes.extend(feet_set(&session.feet_set, &reps));
    Report {
        schema: SCHEMA,
        view,
        standing: somebody.map(|s| s.fit.summary(s.quiet.from_ms, s.quiet.to_ms)),
        reps,
        feet_set: session.feet_set.clone(),
        finding,
        cue,
        notes,
        thresholds: session.options.thresholds.changed(),
        series: with_series.then(|| curves_of(session, &sets)),
    }
}

/// No check of what is no squat is judged.
fn no_squat() -> [Peak; Channel::COUNT] {
    let none = || Peak {
        unseen: Some(Unseen::NotASquat),
        ..Peak::default()
    };
    std::array::from_fn(|_| none())
}

/// What is said of the film itself.
fn filmed(session: &Session, moved: &Moved, lost_ms: f64, nobody: bool) -> Vec<Note> {
    Filmed {
        turned: match session.turn {
            Turn::None => None,
            turn => Some(turn == Turn::Half),
        },
        knocks: &moved.knocks_ms,
        drift_px: Some(moved.drift_px).filter(|&px| px > 0.0),
        shaken: moved.shaken,
        unknown: &session.setup.unknown,
        generic: generic(session),
        lost_ms,
        nobody,
    }
    .notes()
}

/// Nothing is known of what found the points.
fn generic(session: &Session) -> bool {
    let name = session.setup.estimator.as_deref();
    Profile::of(name).name == GENERIC.name
}

/// What each counted repetition looks like.
pub(crate) fn aspects(session: &Session) -> Vec<Aspects> {
    let sets = session.read_sets(Curves::OfRepetitions);
    sets.iter()
        .flat_map(|s| &s.reps)
        .map(|r| r.aspects)
        .gather()
}

/// Seconds before and after a repetition that its smoothing looks at.
const AROUND_MS: f64 = 1500.0;

/// One repetition as soon as it is over, read against the live fit. The report at the end may
/// differ a little: it fits the whole standing and reads the repetitions together.
pub(crate) fn live_rep(session: &Session, number: usize) -> Option<RepResult> {
    let rep = session.reps.get(number.checked_sub(1)?)?;
    let stand = session.stand.as_ref()?;
    let from_ms = rep.start_ms - AROUND_MS;
    let to_ms = rep.end_ms + AROUND_MS;
    let reps = [(rep.start_ms, rep.end_ms)];
    let times = from_ms..to_ms;
    let part = part(session, stand.clone(), times, &reps, Curves::OfRepetitions);
    let read = RepReading::of(session, rep, Some(&part));
    let doubts = Doubts::of(&[read.aspects]);
    let (found, thigh) = match doubts.judged(0) {
        true => (read.peaks, read.thigh),
        false => (no_squat(), mark(&no_squat()[0])),
    };
    let (doubt, lines) = (doubts.of_rep(0), &session.options.thresholds);
    Some(rep_result(number, rep, &found, thigh, doubt, lines))
}

fn rep_result(
    index: usize,
    rep: &Repetition,
    found: &[Peak; Channel::COUNT],
    thigh_deg: Mark,
    doubt: f64,
    thresholds: &Thresholds,
) -> RepResult {
    let mut checks = Checks::default();
    for channel in Channel::ALL {
        let slot = checks.get_mut(channel);
        *slot = Mark {
            doubt,
            ..mark(&found[channel.index()])
        };
        judge(channel, slot, thresholds);
    }
    RepResult {
        index,
        start_ms: rep.start_ms,
        bottom_ms: rep.bottom_ms,
        end_ms: rep.end_ms,
        depth: rep.depth,
        thigh_deg,
        shallow: rep.shallow,
        tempo: Tempo {
            down_s: (rep.bottom_ms - rep.start_ms) / 1e3,
            pause_s: (rep.bottom_end_ms - rep.bottom_ms) / 1e3,
            up_s: (rep.end_ms - rep.bottom_end_ms) / 1e3,
        },
        checks,
    }
}

/// The curves over the whole recording, `None` where nothing was measured.
fn curves_of(session: &Session, sets: &[SetReading]) -> Series {
    let mut out = Series {
        t_ms: session.poses.iter().map(|p| p.t_ms).gather(),
        ..Series::default()
    };
    let frames = out.t_ms.len();
    let parts = || sets.iter().flat_map(|s| &s.parts);
    for channel in Channel::ALL {
        let largest = largest_sd(channel.check());
        let (mut values, mut sds) = (vec![None; frames], vec![None; frames]);
        for part in parts() {
            let found = &part.series.channels[channel.index()];
            let slots = values.iter_mut().zip(&mut sds).skip(part.from);
            for ((value, sd), found) in slots.zip(found) {
                if let Some(e) = found.filter(|e| e.sd <= largest) {
                    (*value, *sd) = (Some(e.value), Some(e.sd));
                }
            }
        }
        out.set(channel, values, sds);
    }
    for part in parts() {
        for (side, heights) in crate::keypoints::Side::BOTH.iter().zip(&part.series.feet) {
            let states = contacts(heights, &session.options.thresholds);
            let all = out.contacts.get_mut(*side);
            for (all, own) in [
                (&mut all.heel, states.heel),
                (&mut all.big_toe, states.big_toe),
                (&mut all.small_toe, states.small_toe),
            ] {
                all.resize(part.from, Contact::Unseen);
                all.extend(own);
            }
        }
    }
    for Contacts {
        heel,
        big_toe,
        small_toe,
    } in [&mut out.contacts.left, &mut out.contacts.right]
    {
        for list in [heel, big_toe, small_toe] {
            list.resize(frames, Contact::Unseen);
        }
    }
    out
}
