//! Puts the report together from what the stages found.

use crate::measures::{Channel, MeasureSeries, Peak, peaks, series, settle};
use crate::pose::Pose;
use crate::repetitions::Repetition;
use crate::report::{
    Checks, Cue, Finding, Mark, Note, RepResult, Report, SCHEMA, Series, Tempo, Unseen,
};
use crate::session::Session;
use crate::stands::Stand;

/// The curves of one setting of the feet.
struct Part {
    stand: Stand,
    series: MeasureSeries,
    from_ms: f64,
    to_ms: f64,
}

/// The report over everything the session holds, with curves when `with_series`.
pub(crate) fn report(session: &Session, with_series: bool) -> Report {
    let parts = parts(session);
    let first = parts.first().map(|p| &p.stand);
    let counted = session.counted();
    let mut found: Vec<[Peak; Channel::COUNT]> = counted
        .iter()
        .map(|rep| {
            let part = parts
                .iter()
                .find(|p| p.from_ms <= rep.bottom_ms && rep.bottom_ms < p.to_ms);
            rep_peaks(rep, part)
        })
        .collect();
    for channel in Channel::ALL {
        let mut set: Vec<&mut Peak> = found.iter_mut().map(|p| &mut p[channel.index()]).collect();
        settle(&mut set);
    }
    let reps: Vec<RepResult> = counted
        .iter()
        .zip(&found)
        .enumerate()
        .map(|(i, (rep, found))| rep_result(i + 1, rep, found))
        .collect();
    Report {
        schema: SCHEMA,
        view: first.map(|s| s.fit.view()),
        standing: first.map(|s| s.fit.summary(s.quiet.from_ms, s.quiet.to_ms)),
        reps,
        finding: Finding::default(),
        cue: Cue::default(),
        notes: Vec::<Note>::new(),
        series: with_series.then(|| curves(&session.poses, &parts)),
    }
}

/// One part for every setting of the feet; the first also covers what came before it.
fn parts(session: &Session) -> Vec<Part> {
    let mut stands: Vec<Stand> = session
        .quiets
        .iter()
        .filter_map(|&q| Stand::new(&session.poses, q, &session.setup))
        .collect();
    let starts: Vec<f64> = stands.iter().map(|s| s.quiet.from_ms).collect();
    stands
        .drain(..)
        .enumerate()
        .map(|(i, stand)| {
            let from_ms = if i == 0 { f64::NEG_INFINITY } else { starts[i] };
            let to_ms = starts.get(i + 1).copied().unwrap_or(f64::INFINITY);
            let a = session.poses.partition_point(|p| p.t_ms < from_ms);
            let b = session.poses.partition_point(|p| p.t_ms < to_ms);
            let poses = session.poses.get(a..b).unwrap_or(&[]);
            let series = series(&stand.measurer, poses, &[]);
            Part {
                stand,
                series,
                from_ms,
                to_ms,
            }
        })
        .collect()
}

fn rep_peaks(rep: &Repetition, part: Option<&Part>) -> [Peak; Channel::COUNT] {
    Channel::ALL.map(|channel| match part {
        None => Peak {
            unseen: Some(Unseen::Standing),
            ..Peak::default()
        },
        Some(part) => peaks(
            &part.series,
            rep.start_ms,
            rep.bottom_ms,
            rep.end_ms,
            channel,
        ),
    })
}

fn rep_result(index: usize, rep: &Repetition, found: &[Peak; Channel::COUNT]) -> RepResult {
    let mut checks = Checks::default();
    for channel in Channel::ALL {
        *checks.get_mut(channel) = mark(&found[channel.index()]);
    }
    RepResult {
        index,
        start_ms: rep.start_ms,
        bottom_ms: rep.bottom_ms,
        end_ms: rep.end_ms,
        depth: rep.depth,
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
        value: peak.estimate.map(|e| e.value),
        sd: peak.sd,
        at_ms: peak.at_ms,
        evidence: peak.estimate.map(|_| peak.evidence.name()),
        peak_phase: peak.peak_phase,
        onset: peak.onset,
        why: peak.unseen,
        ..Mark::default()
    }
}

/// The curves over the whole recording, `None` where nothing was measured.
fn curves(poses: &[Pose], parts: &[Part]) -> Series {
    let mut out = Series {
        t_ms: poses.iter().map(|p| p.t_ms).collect(),
        ..Series::default()
    };
    for channel in Channel::ALL {
        let values = |pick: fn(&crate::measures::Estimate) -> f64| -> Vec<Option<f64>> {
            let seen = |e: &Option<crate::measures::Estimate>| {
                e.as_ref()
                    .filter(|e| e.sd <= crate::measures::largest_sd(channel.check()))
                    .map(pick)
            };
            parts
                .iter()
                .flat_map(|p| p.series.channels[channel.index()].iter().map(seen))
                .collect()
        };
        let (v, sd) = (values(|e| e.value), values(|e| e.sd));
        let pad = |mut list: Vec<Option<f64>>| {
            list.resize(out.t_ms.len(), None);
            list
        };
        out.set(channel, pad(v), pad(sd));
    }
    out
}
