//! Puts the report together from what the stages found.

use crate::cue::{About, Conclusion, Filmed, LOOK_AGAIN_DAYS, conclude, doubt, feet_set};
use crate::findings::{RestingShape, contacts, judge, shows};
use crate::gather::Gather;
use crate::keypoints::{Joint, Layout, Part as JointPart, Side};
use crate::measures::{
    Channel, Check, Evidence, Excursion, GENERIC, MeasureSeries, Peak, Profile, largest_sd, peaks,
    series, settle, thigh_at_bottom,
};
use crate::plausibility::{self, Aspects, Doubts};
use crate::repetitions::{Repetition, add_unfooted};
use crate::report::{
    Checks, Contacts, Mark, Note, RepResult, Report, SCHEMA, Series, Tempo, Unseen, Verdict,
};
use crate::session::{Session, apart};
use crate::stands::Stand;
use crate::steady::{Motion, motion};
use crate::thresholds::Thresholds;
use crate::turned::Turn;

/// The curves of one setting of the feet.
struct Part {
    stand: Stand,
    series: MeasureSeries,
    from_ms: f64,
    to_ms: f64,
}

/// The report over everything the session holds, with curves when `with_series`.
pub(crate) fn report(session: &Session, with_series: bool) -> Report {
    let motion = motion(&session.poses);
    let still = motion.as_ref().map(|m| session.steadied(m));
    report_of(
        still.as_ref().unwrap_or(session),
        motion.as_ref(),
        with_series,
    )
}

fn report_of(session: &Session, motion: Option<&Motion>, with_series: bool) -> Report {
    let mut counted = session.counted();
    let lost_ms = if session.quiets.is_empty() {
        0.0
    } else {
        add_unfooted(&mut counted, &session.poses)
    };
    apart(&mut counted);
    let parts = parts(session, &counted);
    let first = parts.first().map(|p| &p.stand);
    let of_rep = |rep: &Repetition| part_of(&parts, rep);
    let aspects = counted
        .iter()
        .map(|rep| looks(session, rep, of_rep(rep)))
        .gather();
    let doubts = Doubts::of(&aspects);
    let mut found: Vec<[Peak; Channel::COUNT]> = counted
        .iter()
        .enumerate()
        .map(|(i, rep)| match doubts.judged(i) {
            true => rep_peaks(rep, of_rep(rep), &session.setup.layout),
            false => no_squat(),
        })
        .gather();
    for channel in Channel::ALL {
        let mut set: Vec<&mut Peak> = found.iter_mut().map(|p| &mut p[channel.index()]).gather();
        settle(&mut set);
    }
    let reps: Vec<RepResult> = counted
        .iter()
        .zip(&found)
        .enumerate()
        .map(|(i, (rep, found))| {
            let mut thigh = thigh(rep, of_rep(rep));
            if !doubts.judged(i) {
                thigh = mark(&no_squat()[0]);
            }
            let doubt = doubts.of_rep(i);
            rep_result(i + 1, rep, found, thigh, doubt, &session.options.thresholds)
        })
        .gather();
    // Of points that nobody who stands explains, nothing is claimed.
    let somebody = first.filter(|s| plausibility::somebody(&s.fit));
    let view = somebody.map(|s| s.fit.view());
    let about = About {
        azimuth_deg: view.as_ref().map(|v| v.azimuth_deg),
        footwear: session.setup.footwear,
        hurts: session.options.hurts,
        look_again_days: session.options.look_again_days.unwrap_or(LOOK_AGAIN_DAYS),
    };
    let resting = first.map_or_else(RestingShape::default, |s| RestingShape::of(&s.fit));
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
            motion,
            lost_ms,
            first.is_some() && somebody.is_none() && reps.is_empty(),
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
        series: with_series.then(|| curves(session, &parts)),
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
fn filmed(session: &Session, motion: Option<&Motion>, lost_ms: f64, nobody: bool) -> Vec<Note> {
    let knocks: Vec<f64> = motion
        .map_or(&[][..], |m| &m.knocks)
        .iter()
        .map(|k| k.at_ms)
        .gather();
    Filmed {
        turned: match session.turn {
            Turn::None => None,
            turn => Some(turn == Turn::Half),
        },
        knocks: &knocks,
        drift_px: motion.map(Motion::drift_px).filter(|&px| px > 0.0),
        shaken: motion.is_some_and(|m| !m.shakes.is_empty()),
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

/// What a repetition looks like.
fn looks(session: &Session, rep: &Repetition, part: Option<&Part>) -> Aspects {
    let (fit, series) = (part.map(|p| &p.stand.fit), part.map(|p| &p.series));
    plausibility::read(&session.poses, rep, fit, series)
}

/// What each counted repetition looks like.
pub(crate) fn aspects(session: &Session) -> Vec<Aspects> {
    let counted = session.counted();
    let parts = parts(session, &counted);
    counted
        .iter()
        .map(|rep| looks(session, rep, part_of(&parts, rep)))
        .gather()
}

/// The setting that a repetition was done in.
fn part_of<'a>(parts: &'a [Part], rep: &Repetition) -> Option<&'a Part> {
    let inside = |p: &&Part| p.from_ms <= rep.bottom_ms && rep.bottom_ms < p.to_ms;
    parts.iter().find(inside)
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
    let part = part(session, stand.clone(), from_ms, to_ms, &reps);
    let doubts = Doubts::of(&[looks(session, rep, Some(&part))]);
    let squat = doubts.judged(0);
    let (found, thigh) = if squat {
        let found = rep_peaks(rep, Some(&part), &session.setup.layout);
        (found, thigh(rep, Some(&part)))
    } else {
        (no_squat(), mark(&no_squat()[0]))
    };
    let lines = &session.options.thresholds;
    Some(rep_result(
        number,
        rep,
        &found,
        thigh,
        doubts.of_rep(0),
        lines,
    ))
}

/// The curves of one standing over a stretch of time with these repetitions (start and end, ms).
fn part(session: &Session, stand: Stand, from_ms: f64, to_ms: f64, reps: &[(f64, f64)]) -> Part {
    let a = session.poses.partition_point(|p| p.t_ms < from_ms);
    let b = session.poses.partition_point(|p| p.t_ms < to_ms);
    let poses = session.poses.get(a..b).unwrap_or(&[]);
    let seen = &session.pictures;
    let seen = seen.get(a..b.min(seen.len())).unwrap_or(&[]);
    let series = series(&stand.measurer, poses, seen, reps);
    Part {
        stand,
        series,
        from_ms,
        to_ms,
    }
}

/// One part for every setting of the feet; the first also covers what came before it.
fn parts(session: &Session, counted: &[Repetition]) -> Vec<Part> {
    let mut stands: Vec<Stand> = session
        .quiets
        .iter()
        .filter_map(|&q| Stand::new(&session.poses, q, &session.setup))
        .gather();
    let starts: Vec<f64> = stands.iter().map(|s| s.quiet.from_ms).gather();
    stands
        .drain(..)
        .enumerate()
        .map(|(i, stand)| {
            let from_ms = if i == 0 { f64::NEG_INFINITY } else { starts[i] };
            let to_ms = starts.get(i + 1).copied().unwrap_or(f64::INFINITY);
            let reps: Vec<(f64, f64)> = counted
                .iter()
                .filter(|r| from_ms <= r.bottom_ms && r.bottom_ms < to_ms)
                .map(|r| (r.start_ms, r.end_ms))
                .gather();
            let stand = stand
                .refined(&session.poses, &reps, &session.setup)
                .loosened(session.left_px, &session.setup);
            part(session, stand, from_ms, to_ms, &reps)
        })
        .gather()
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

fn mark(peak: &Peak) -> Mark {
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

/// The curves over the whole recording, `None` where nothing was measured.
fn curves(session: &Session, parts: &[Part]) -> Series {
    let mut out = Series {
        t_ms: session.poses.iter().map(|p| p.t_ms).gather(),
        ..Series::default()
    };
    let frames = out.t_ms.len();
    for channel in Channel::ALL {
        let largest = largest_sd(channel.check());
        let (mut values, mut sds) = (vec![None; frames], vec![None; frames]);
        let found = parts
            .iter()
            .flat_map(|p| &p.series.channels[channel.index()]);
        for ((value, sd), found) in values.iter_mut().zip(&mut sds).zip(found) {
            if let Some(e) = found.filter(|e| e.sd <= largest) {
                (*value, *sd) = (Some(e.value), Some(e.sd));
            }
        }
        out.set(channel, values, sds);
    }
    for part in parts {
        for (side, heights) in crate::keypoints::Side::BOTH.iter().zip(&part.series.feet) {
            let states = contacts(heights, &session.options.thresholds);
            let all = out.contacts.get_mut(*side);
            all.heel.extend(states.heel);
            all.big_toe.extend(states.big_toe);
            all.small_toe.extend(states.small_toe);
        }
    }
    for Contacts {
        heel,
        big_toe,
        small_toe,
    } in [&mut out.contacts.left, &mut out.contacts.right]
    {
        for list in [heel, big_toe, small_toe] {
            list.resize(frames, crate::report::Contact::Unseen);
        }
    }
    out
}
