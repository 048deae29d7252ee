//! What one set of a session comes to: read once it is over, and kept.

use super::Session;
use super::apart;
use super::rep_reading::RepReading;
use crate::gather::Gather;
use crate::measures::{Curves, MeasureSeries, series};
use crate::pose::Pose;
use crate::repetitions::{Repetition, add_unfooted};
use crate::stands::Stand;
use crate::steady::{Moved, motion};
use std::ops::Range;

/// The frames of a session that belong to one set.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SetFrames {
    /// Indices into the session's poses.
    pub frames: Range<usize>,
    /// The set goes on.
    pub last: bool,
}

impl SetFrames {
    /// All of them.
    pub fn all(session: &Session) -> Self {
        Self {
            frames: 0..session.poses.len(),
            last: true,
        }
    }

    pub fn poses<'a>(&self, session: &'a Session) -> &'a [Pose] {
        session.poses.get(self.frames.clone()).unwrap_or(&[])
    }

    /// From when until when, ms.
    fn times(&self, session: &Session) -> Range<f64> {
        let at = |i: usize| session.poses.get(i).map_or(f64::INFINITY, |p| p.t_ms);
        let from_ms = match self.frames.start {
            0 => f64::NEG_INFINITY,
            i => at(i),
        };
        from_ms..at(self.frames.end)
    }

    /// The repetitions that were counted live.
    pub fn live<'a>(&self, session: &'a Session) -> &'a [Repetition] {
        let Range { start, end } = self.times(session);
        let at = |t_ms: f64| session.reps.partition_point(|r| r.bottom_ms < t_ms);
        session.reps.get(at(start)..at(end)).unwrap_or(&[])
    }
}

/// The curves of one setting of the feet.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub stand: Stand,
    /// See [`StandingFit::squeezed`](crate::standing::StandingFit::squeezed); not told live.
    pub squeezed: Option<f64>,
    pub series: MeasureSeries,
    /// Its first pose among the session's.
    pub from: usize,
    from_ms: f64,
    to_ms: f64,
}

/// What one set comes to.
#[derive(Clone, Debug)]
pub(crate) struct SetReading {
    /// How many repetitions had been counted live.
    pub(super) live: usize,
    pub(super) reps: Vec<RepReading>,
    /// Its first standing.
    pub(super) stand: Option<Stand>,
    /// What the camera did.
    pub(super) moved: Moved,
    /// For how long feet or knees were out of sight in repetitions, ms.
    pub(super) lost_ms: f64,
    /// One for every setting of the feet, when curves are wanted.
    pub(super) parts: Vec<Part>,
}

impl SetReading {
    /// Reads a set, with all curves when `curves`.
    pub fn of(session: &Session, set: &SetFrames, curves: Curves) -> Self {
        let live = set.live(session).len();
        let Some(motion) = motion(set.poses(session)) else {
            return Self::still(session, set, curves, live);
        };
        let still = session.steadied(&motion, set);
        Self {
            moved: motion.moved(),
            ..Self::still(&still, &SetFrames::all(&still), curves, live)
        }
    }

    /// Of a camera that stood still.
    fn still(session: &Session, set: &SetFrames, curves: Curves, live: usize) -> Self {
        let mut counted = session.counted(set);
        let lost_ms = if session.quiets.is_empty() {
            0.0
        } else {
            add_unfooted(&mut counted, set.poses(session))
        };
        apart(&mut counted);
        let parts = parts(session, set, &counted, curves);
        let reps = counted
            .iter()
            .map(|rep| RepReading::of(session, rep, part_of(&parts, rep)))
            .gather();
        Self {
            live,
            reps,
            stand: parts.first().map(|p| p.stand.clone()),
            moved: Moved::default(),
            lost_ms,
            parts: match curves {
                Curves::All => parts,
                Curves::OfRepetitions => Vec::new(),
            },
        }
    }
}

/// The setting that a repetition was done in.
fn part_of<'a>(parts: &'a [Part], rep: &Repetition) -> Option<&'a Part> {
    let inside = |p: &&Part| p.from_ms <= rep.bottom_ms && rep.bottom_ms < p.to_ms;
    parts.iter().find(inside)
}

/// The curves of one standing over a stretch of time with these repetitions (start and end, ms).
pub(super) fn part(
    session: &Session,
    stand: Stand,
    times: Range<f64>,
    reps: &[(f64, f64)],
    curves: Curves,
) -> Part {
    let Range { start, end } = times;
    let a = session.poses.partition_point(|p| p.t_ms < start);
    let b = session.poses.partition_point(|p| p.t_ms < end);
    let poses = session.poses.get(a..b).unwrap_or(&[]);
    let seen = &session.pictures;
    let seen = seen.get(a..b.min(seen.len())).unwrap_or(&[]);
    let series = if curves == Curves::OfRepetitions && reps.is_empty() {
        MeasureSeries::default()
    } else {
        series(&stand.measurer, poses, seen, reps, curves)
    };
    Part {
        stand,
        squeezed: None,
        series,
        from: a,
        from_ms: start,
        to_ms: end,
    }
}

/// One part for every setting of the feet; the first also covers what came before it.
fn parts(session: &Session, set: &SetFrames, counted: &[Repetition], curves: Curves) -> Vec<Part> {
    let whole = set.times(session);
    // The feet may stand where they did in the set before.
    let first = session.quiets.partition_point(|q| q.from_ms < whole.start);
    let of_set = session.quiets.iter().skip(first.saturating_sub(1));
    let stands: Vec<Stand> = of_set
        .take_while(|q| q.from_ms < whole.end)
        .filter_map(|&q| Stand::new(&session.poses, q, &session.setup))
        .gather();
    let starts: Vec<f64> = stands.iter().map(|s| s.quiet.from_ms).gather();
    stands
        .into_iter()
        .enumerate()
        .map(|(i, stand)| {
            let from_ms = if i == 0 { whole.start } else { starts[i] };
            let to_ms = starts
                .get(i + 1)
                .map_or(whole.end, |&ms| ms.max(whole.start));
            let reps: Vec<(f64, f64)> = counted
                .iter()
                .filter(|r| from_ms <= r.bottom_ms && r.bottom_ms < to_ms)
                .map(|r| (r.start_ms, r.end_ms))
                .gather();
            let stand = stand
                .refined(&session.poses, &reps, &session.setup)
                .loosened(session.left_px, &session.setup);
            let squeezed = (!reps.is_empty())
                .then(|| stand.fit.squeezed(&session.setup))
                .flatten();
            Part {
                squeezed,
                ..part(session, stand, from_ms..to_ms, &reps, curves)
            }
        })
        .gather()
}
