//! What became of recordings: refused, judged, misjudged.

use super::{Kind, film};
use crate::rng::Draw;
use crate::{Camera, Fault, Film, Lifter, SetSpec, View, clips, prmd};
use std::path::Path;
use underfoot::keypoints::Recording;
use underfoot::report::{FindingKind, Report, Verdict};
use underfoot::{Options, analyze};

/// Counts over recordings.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Recordings.
    pub all: usize,
    /// No repetition was counted.
    pub none: usize,
    /// Refused: no squats.
    pub refused: usize,
    /// Not enough was seen for a finding.
    pub little: usize,
    /// Judged, and no fault named or marked.
    pub clear: usize,
    /// A fault named or marked.
    pub faults: usize,
    /// The right fault was named.
    pub right: usize,
    /// Which recordings, in words.
    pub which: Vec<String>,
}

/// Whether a report names or marks a fault.
pub fn faulty(report: &Report) -> bool {
    let named = !matches!(
        report.finding.kind,
        FindingKind::None | FindingKind::NotEnoughSeen | FindingKind::NotSquats
    );
    let marks = report.reps.iter().flat_map(|r| &r.checks.0);
    named || marks.into_iter().any(|m| m.verdict == Verdict::Fault)
}

impl Tally {
    /// Counts one.
    pub fn add(&mut self, name: &str, recording: &Recording) {
        self.all += 1;
        let Ok(report) = analyze(recording, &Options::default()) else {
            self.refused += 1;
            return;
        };
        if report.reps.is_empty() {
            self.none += 1;
        } else if faulty(&report) {
            self.faults += 1;
            self.which
                .push(format!("{name}: {}", report.finding.sentence));
        } else {
            *match report.finding.kind {
                FindingKind::None => &mut self.clear,
                FindingKind::NotSquats => &mut self.refused,
                _ => &mut self.little,
            } += 1;
        }
    }
}

impl Tally {
    /// Counts a set of which it is known what may be found in it; another fault is a wrong one.
    pub fn add_set(&mut self, set: &super::moved::Set) {
        let before = self.faults;
        self.add(&set.name, &set.recording);
        let report = analyze(&set.recording, &Options::default());
        if let Ok(report) = report
            && set.right.contains(&report.finding.kind)
        {
            self.faults = before;
            self.which.pop();
            self.right += 1;
        }
    }
}

/// The kind's recordings, so many from each of six bearings.
pub fn others(kind: Kind, each: usize, seed: u64) -> impl Iterator<Item = (String, Recording)> {
    let views = View::NAMED.into_iter().enumerate();
    views.flat_map(move |(v, view)| {
        (0..each).map(move |i| {
            let own = seed + 1000 * (kind as u64) + 100 * v as u64 + i as u64;
            let name = format!("{} {} {own}", kind.name(), view.name());
            (name, film(kind, view, &mut Draw::new(own)))
        })
    })
}

/// Invented squats with faults: up to 60 mm of heel and 20 degrees of knee, from six bearings.
pub fn squats(each: usize, seed: u64) -> impl Iterator<Item = (String, Recording)> {
    let views = View::NAMED.into_iter().enumerate();
    views.flat_map(move |(v, view)| {
        (0..each).map(move |i| {
            let mut draw = Draw::new(seed + 500 * v as u64 + i as u64);
            let faults = faults(&mut draw);
            let camera = Camera::random(&mut draw, view);
            let spec = SetSpec::with(faults).random_tempo(&mut draw);
            let scene = spec.scene(Lifter::random(&mut draw), &mut draw);
            let layout = draw.pick(&["blazepose-33", "halpe-26", "coco-wholebody-133"]);
            let filming = crate::film::Filming::standard(camera, layout);
            let filming = filming.unwrap_or_else(|| unreachable!("known layouts"));
            let film = Film::new(&scene, &filming, &mut draw);
            (format!("squats {} {i}", view.name()), film.recording)
        })
    })
}

fn faults(draw: &mut Draw) -> Vec<Fault> {
    use crate::Kind::{Forward, HeelLift, KneeIn, Roll, Shift};
    let kind = match draw.below(7) {
        0 => HeelLift([draw.uniform(20.0, 60.0); 2]),
        1 => KneeIn([draw.uniform(8.0, 20.0); 2]),
        2 => KneeIn([draw.uniform(-20.0, -8.0); 2]),
        3 => Roll([draw.uniform(-16.0, 16.0); 2]),
        4 => Shift(draw.sign() * draw.uniform(30.0, 90.0)),
        5 => Forward(draw.uniform(10.0, 25.0)),
        _ => return Vec::new(),
    };
    vec![Fault::steady(kind)]
}

/// Real squats through virtual cameras (UI-PRMD), so many films of each of the ten sets.
///
/// # Errors
/// A file that can't be read.
pub fn real(each: usize, seed: u64) -> Result<Vec<(String, Recording)>, String> {
    let mut out = Vec::new();
    for (k, set) in prmd::all()?.iter().enumerate() {
        for i in 0..each {
            let mut draw = Draw::new(seed + 50 * k as u64 + i as u64);
            let view = View::NAMED[(k + i) % View::NAMED.len()];
            let camera = Camera::random(&mut draw, view);
            let filming = crate::film::Filming::standard(camera, "blazepose-33");
            let filming = filming.unwrap_or_else(|| unreachable!("a known layout"));
            let film = set.film(&filming, 2.0, &mut draw);
            out.push((format!("{} {}", set.name, view.name()), film.recording));
        }
    }
    Ok(out)
}

/// Rendered clips: those of the project, and those in a folder.
///
/// # Errors
/// A file that can't be read.
pub fn rendered(folder: Option<&Path>) -> Result<Vec<(String, Recording)>, String> {
    let mut out = Vec::new();
    for name in clips::NAMES {
        out.push((name.to_owned(), clips::load(name, false)?.recording));
    }
    if let Some(folder) = folder {
        out.extend(clips::in_folder(folder)?);
    }
    Ok(out)
}
