//! What the core finds in whole sets, against what a coach would: false faults on clean sets, and
//! clear faults found from the views that show them.

use crate::film::{Film, Filming};
use crate::rng::Draw;
use crate::truth::CHANNELS;
use crate::{Camera, Fault, Kind, Lifter, SetSpec, View};
use underfoot::measures::Channel;
use underfoot::report::{FindingKind, Report, Verdict};
use underfoot::thresholds::Thresholds;

/// A fault that a coach sees at once.
pub struct Situation {
    /// Name in the table.
    pub name: &'static str,
    /// What is done wrong, drawn anew for every set; the side is 0 left, 1 right.
    pub faults: fn(&mut Draw, usize) -> Vec<Kind>,
    /// The findings that count as right.
    pub kinds: &'static [FindingKind],
    /// The foot: 0 the drawn side, 1 the other one, `None` both or none.
    pub foot: Option<usize>,
    /// Views that show it.
    pub views: &'static [View],
}

const FRONTAL: &[View] = &[View::Front, View::Oblique, View::RearOblique, View::Rear];
const SAGITTAL: &[View] = &[View::Wide, View::Side];
const OBLIQUE: &[View] = &[View::Oblique, View::RearOblique];

fn one(side: usize, value: f64) -> [f64; 2] {
    let mut out = [0.0; 2];
    if let Some(slot) = out.get_mut(side) {
        *slot = value;
    }
    out
}

/// The situations, each twice as far beyond its line as the line is from an ordinary squat, or
/// more.
pub const SITUATIONS: &[Situation] = &[
    Situation {
        name: "both heels up",
        faults: |d, _| vec![Kind::HeelLift([d.uniform(40.0, 55.0); 2])],
        kinds: &[FindingKind::Forward],
        foot: None,
        views: SAGITTAL,
    },
    Situation {
        name: "both knees in",
        faults: |d, _| vec![Kind::KneeIn([d.uniform(19.0, 24.0); 2])],
        kinds: &[FindingKind::Inward],
        foot: None,
        views: FRONTAL,
    },
    Situation {
        name: "one knee in",
        faults: |d, s| vec![Kind::KneeIn(one(s, d.uniform(19.0, 24.0)))],
        kinds: &[FindingKind::Inward],
        foot: Some(0),
        views: FRONTAL,
    },
    Situation {
        name: "knees too wide",
        faults: |d, _| vec![Kind::KneeIn([d.uniform(-23.0, -19.0); 2])],
        kinds: &[FindingKind::Outward],
        foot: None,
        views: FRONTAL,
    },
    Situation {
        name: "both feet rolled out",
        faults: |d, _| vec![Kind::Roll([d.uniform(-18.0, -14.0); 2])],
        kinds: &[FindingKind::Outward],
        foot: None,
        views: FRONTAL,
    },
    Situation {
        name: "one foot rolled in",
        faults: |d, s| vec![Kind::Roll(one(s, d.uniform(14.0, 18.0)))],
        kinds: &[FindingKind::Inward],
        foot: Some(0),
        views: FRONTAL,
    },
    Situation {
        name: "shifted to one side",
        faults: |d, s| vec![Kind::Shift([1.0, -1.0][s.min(1)] * d.uniform(75.0, 90.0))],
        kinds: &[FindingKind::Sideways],
        foot: Some(0),
        // Obliquely the load share's error of 3 to 4 % is half of what the shift adds.
        views: &[View::Front, View::Rear],
    },
    Situation {
        name: "one out and carrying, the other in",
        faults: |d, s| {
            let sign = [1.0, -1.0][s.min(1)];
            let roll = d.uniform(14.0, 17.0);
            let mut rolls = [roll; 2];
            if let Some(out) = rolls.get_mut(s) {
                *out = -roll;
            }
            vec![Kind::Roll(rolls), Kind::Shift(sign * d.uniform(60.0, 75.0))]
        },
        kinds: &[FindingKind::Sideways],
        foot: Some(0),
        views: FRONTAL,
    },
    Situation {
        name: "heels up and knees in",
        faults: |d, _| {
            vec![
                Kind::HeelLift([d.uniform(40.0, 55.0); 2]),
                Kind::KneeIn([d.uniform(19.0, 24.0); 2]),
            ]
        },
        kinds: &[FindingKind::ForwardInward],
        foot: None,
        views: OBLIQUE,
    },
];

/// Counts over the sets of one situation from one view.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Sets.
    pub sets: usize,
    /// Sets with the right kind of finding.
    pub right: usize,
    /// Of those, with the right foot.
    pub foot: usize,
    /// What the others were called.
    pub others: Vec<String>,
}

/// Cells and sets without a fault.
#[derive(Clone, Copy, Debug, Default)]
pub struct Clean {
    /// Sets.
    pub sets: usize,
    /// Sets with some finding.
    pub found: usize,
    /// Sets of which nothing was said.
    pub nothing_said: usize,
    /// Check, side and repetition whose true value is inside its lines.
    pub cells: usize,
    /// Of those, called a fault.
    pub false_faults: usize,
    /// Of those, called clear.
    pub clear: usize,
}

fn film(seed: u64, view: View, faults: &dyn Fn(&mut Draw) -> Vec<Kind>) -> Option<(Film, Report)> {
    let mut draw = Draw::new(seed);
    let lifter = Lifter::random(&mut draw);
    let camera = Camera::random(&mut draw, view);
    let kinds = faults(&mut draw).into_iter().map(Fault::steady).collect();
    let spec = SetSpec::with(kinds).random_tempo(&mut draw);
    let scene = spec.scene(lifter, &mut draw);
    let filming = Filming::standard(camera, "halpe-26")?;
    let film = Film::new(&scene, &filming, &mut draw);
    let report = underfoot::analyze(&film.recording, &Default::default()).ok()?;
    Some((film, report))
}

/// Clean sets from one view.
pub fn clean(view: View, sets: usize, seed: u64) -> Clean {
    let mut out = Clean::default();
    let thresholds = Thresholds::default();
    for i in 0..sets as u64 {
        let Some((film, report)) = film(seed + i, view, &|_| Vec::new()) else {
            continue;
        };
        out.sets += 1;
        match report.finding.kind {
            FindingKind::None => {}
            FindingKind::NotEnoughSeen => out.nothing_said += 1,
            _ => out.found += 1,
        }
        for (rep, truth) in report.reps.iter().zip(&film.truth.reps) {
            for k in 0..CHANNELS {
                let band = thresholds.band(Channel::ALL[k]);
                let Some(extreme) = truth.extremes[k] else {
                    continue;
                };
                let v = extreme.value;
                if band.low.is_some_and(|l| v < l) || band.high.is_some_and(|h| v > h) {
                    continue;
                }
                let mark = rep.checks.get(Channel::ALL[k]);
                out.cells += 1;
                out.false_faults += usize::from(mark.verdict == Verdict::Fault);
                out.clear += usize::from(mark.verdict == Verdict::Clear);
            }
        }
    }
    out
}

/// Sets of a situation from one view.
pub fn situation(what: &Situation, view: View, sets: usize, seed: u64) -> Tally {
    let mut out = Tally::default();
    for i in 0..sets as u64 {
        let side = (i % 2) as usize;
        let Some((film, report)) = film(seed + i, view, &|d| (what.faults)(d, side)) else {
            continue;
        };
        out.sets += 1;
        let finding = &report.finding;
        let foot = match what.foot {
            None => "both",
            Some(other) => ["left", "right"][(side + other) % 2],
        };
        let kind = what.kinds.contains(&finding.kind);
        let feet = finding.side == Some(foot);
        out.right += usize::from(kind);
        out.foot += usize::from(kind && feet);
        if !(kind && feet) {
            let said = format!(
                "{:?} {:?}: {}",
                finding.kind, finding.side, finding.sentence
            );
            out.others
                .push(format!("{said} {}", numbers(&film, &report)));
        }
    }
    out
}

/// Values of the repetition in the middle with their errors, and the true ones.
pub fn numbers(film: &Film, report: &Report) -> String {
    let middle = report.reps.len() / 2;
    let (Some(rep), Some(truth)) = (report.reps.get(middle), film.truth.reps.get(middle)) else {
        return format!("{} repetitions", report.reps.len());
    };
    let cell = |k: usize| {
        let mark = rep.checks.get(Channel::ALL[k]);
        let seen = mark
            .value
            .zip(mark.sd)
            .map_or("-".into(), |(v, s)| format!("{v:.0}±{s:.0}"));
        let real = truth.extremes[k].map_or("-".into(), |e| format!("{:.0}", e.value));
        format!("{seen}/{real}")
    };
    (0..CHANNELS).map(cell).collect::<Vec<_>>().join(" ")
}
