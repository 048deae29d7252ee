//! One rendered clip through the whole core: every value beside the truth.

use super::read::Clip;
use crate::degraded::WAYS;
use crate::truth::judged;
use glam::DVec2;
use serde::Serialize;
use underfoot::keypoints::{Recording, TrackedFeet};
use underfoot::measures::Channel;
use underfoot::picture::{GreyView, Picture};
use underfoot::report::{Report, Verdict};
use underfoot::session::{Options, Session};

/// One value of one repetition.
#[derive(Clone, Debug, Serialize)]
pub struct Value {
    /// The check's name and its side.
    pub check: &'static str,
    /// 0 left, 1 right, 2 neither.
    pub side: usize,
    /// Repetition, from 0.
    pub rep: usize,
    /// What is true: the largest excursion to the side on which the value said lies.
    pub truth: f64,
    /// The largest true excursions, down and up.
    pub ends: [f64; 2],
    /// Value and standard error; `None` when unseen.
    pub said: Option<[f64; 2]>,
    /// Its verdict.
    #[serde(skip)]
    pub verdict: Verdict,
    /// What carried it, or why it is unseen.
    pub evidence: String,
    /// Where the camera stands, and the clip.
    pub view: String,
    /// The clip.
    pub clip: String,
}

/// What a clip gave.
#[derive(Clone, Debug)]
pub struct Scored {
    /// Every value.
    pub values: Vec<Value>,
    /// The report.
    pub report: Report,
    /// What the pictures said of each frame.
    pub feet: Vec<Option<TrackedFeet>>,
    /// Repetitions that are there and that were found.
    pub reps: [usize; 2],
}

/// Reads a clip, with its pictures or without.
///
/// # Errors
/// A clip that can't be read.
pub fn score(clip: &Clip, pictured: bool) -> Result<Scored, String> {
    let recording = &clip.film.recording;
    let (report, feet) = if pictured {
        look(recording, clip)?
    } else {
        (plain(recording)?, Vec::new())
    };
    Ok(scored(clip, report, feet))
}

fn options() -> Options {
    Options {
        series: true,
        ..Options::default()
    }
}

fn plain(recording: &Recording) -> Result<Report, String> {
    underfoot::analyze(recording, &options()).map_err(|e| e.to_string())
}

fn look(recording: &Recording, clip: &Clip) -> Result<(Report, Vec<Option<TrackedFeet>>), String> {
    let image = recording.setup.image;
    let (width, height) = (image.width as usize, image.height as usize);
    let mut pictures = WAYS[0].pictures(&clip.video, (width, height))?;
    let mut session = Session::new(recording.setup.clone(), options());
    let mut feet = Vec::new();
    for (n, frame) in recording.frames.iter().enumerate() {
        let fail = |e: &dyn std::fmt::Display| format!("{}, frames[{n}]: {e}", clip.name);
        let data = pictures.next().ok_or_else(|| fail(&"no picture"))?;
        let view = GreyView::new(data, width, height, width, DVec2::ZERO, 1.0);
        let view = Picture::Whole(view.map_err(|e| fail(&e))?);
        let pushed = session.push_with(frame.t_ms, &frame.people, Some(&view));
        pushed.map_err(|e| fail(&e))?;
        feet.push(session.tracked());
    }
    Ok((session.report(), feet))
}

/// Puts a report beside the truth.
pub fn scored(clip: &Clip, report: Report, feet: Vec<Option<TrackedFeet>>) -> Scored {
    let truth = &clip.film.truth;
    let mut values = Vec::new();
    let mut found = 0;
    for (rep, of) in truth.reps.iter().enumerate() {
        let within = |t: f64| (of.start_ms..=of.end_ms).contains(&t);
        let Some(said) = report.reps.iter().find(|r| within(r.bottom_ms)) else {
            continue;
        };
        found += 1;
        for channel in Channel::ALL {
            let c = channel.index();
            let curve = &truth.curves;
            let inside = curve.t_ms.iter().zip(&curve.depth).zip(&curve.channels[c]);
            let list = inside
                .filter(|((t, depth), _)| within(**t) && judged(channel, **depth / of.depth))
                .filter_map(|(_, v)| *v);
            let (low, high) = list.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
                (a.min(v), b.max(v))
            });
            let mark = said.checks.get(channel);
            let value = mark.value.zip(mark.sd).map(|(v, sd)| [v, sd]);
            // The side on which the value said lies.
            let down = mark.opposite.is_some_and(|o| mark.value < Some(o.value));
            let true_one = of.extremes[c].map_or(0.0, |e| e.value);
            let why = mark
                .why
                .map_or(String::new(), |w| format!("{w:?}").to_lowercase());
            values.push(Value {
                check: channel.check().name(),
                side: channel.side().map_or(2, |s| s.index()),
                rep,
                truth: value.map_or(true_one, |_| if down { low } else { high }),
                ends: [low, high],
                said: value,
                verdict: mark.verdict,
                evidence: mark.evidence.map_or(why, Into::into),
                view: clip.view.clone(),
                clip: clip.name.clone(),
            });
        }
    }
    Scored {
        values,
        report,
        feet,
        reps: [truth.reps.len(), found],
    }
}
