//! Counts the repetitions of a take the way a session does.

use super::film::Take;
use underfoot::keypoints::Recording;
use underfoot::pose::PoseTracker;
use underfoot::repetitions::{Detector, Followed, Phase, Repetition};

/// A counted repetition, and when it was told.
#[derive(Clone, Copy, Debug)]
pub struct Told {
    /// As it was in the end.
    pub rep: Repetition,
    /// Time of the frame that made it final: it has been counted since, ms.
    pub at_ms: f64,
    /// Time of the frame after which it was counted for the first time, ms.
    pub first_ms: f64,
    /// Only the end of the recording told.
    pub at_end: bool,
}

/// A change of what had been told.
#[derive(Clone, Copy, Debug)]
pub struct Change {
    /// Of this repetition.
    pub rep: Repetition,
    /// What happened.
    pub how: &'static str,
}

/// What the core made of a take.
#[derive(Clone, Debug, Default)]
pub struct Counted {
    /// The repetitions.
    pub reps: Vec<Told>,
    /// Repetitions taken back, put back, or told only at the end.
    pub changes: Vec<Change>,
    /// The live count was not the final one.
    pub differs: bool,
    /// Repetitions that were taken back, when each had been told first.
    gone: Vec<Told>,
}

/// The repetitions of a recording, once it is over.
pub fn repetitions(recording: &Recording) -> Vec<Repetition> {
    run(recording, |_, _, _| ())
}

/// Runs tracker and detector over a take.
pub fn count(take: &Take) -> Counted {
    let mut out = Counted::default();
    run(&take.recording, |reps, t_ms, at_end| {
        out.take(reps, t_ms, at_end);
    });
    out
}

/// Counts as a session does; `told` gets the repetitions so far, the time, and whether it is the end.
fn run(recording: &Recording, mut told: impl FnMut(&[Repetition], f64, bool)) -> Vec<Repetition> {
    let mut tracker = PoseTracker::new(&recording.setup);
    let mut detector = Detector::new();
    let (mut poses, mut reps, mut last) = (vec![], vec![], 0.0);
    for frame in &recording.frames {
        let Some(pose) = tracker.push(frame.t_ms, &frame.people) else {
            continue;
        };
        last = frame.t_ms;
        poses.push(pose);
        detector.count(&poses, &mut reps);
        told(&reps, last, false);
    }
    detector.recount(&mut reps, &poses, true);
    told(&reps, last, true);
    reps
}

/// What the detector makes of one frame.
#[derive(Clone, Debug)]
pub struct Traced {
    /// Time, ms.
    pub t_ms: f64,
    /// Where in the lift.
    pub phase: Phase,
    /// What is followed.
    pub followed: Followed,
    /// All of it in a line, to be read.
    pub line: String,
}

/// What the detector makes of each frame, for looking into a set.
pub fn trace(take: &Take) -> Vec<Traced> {
    let mut tracker = PoseTracker::new(&take.recording.setup);
    let mut detector = Detector::new();
    let mut out = vec![];
    for frame in &take.recording.frames {
        if let Some(pose) = tracker.push(frame.t_ms, &frame.people) {
            detector.push(&pose);
            out.push(Traced {
                t_ms: frame.t_ms,
                phase: detector.phase(),
                followed: detector.followed(),
                line: format!("{:?} {detector}", detector.phase()),
            });
        }
    }
    out
}

impl Counted {
    /// Notes since when each repetition has been counted.
    fn take(&mut self, reps: &[Repetition], t_ms: f64, at_end: bool) {
        let changes = self.changes.len();
        let live = std::mem::take(&mut self.reps);
        for told in &live {
            if !reps.iter().any(|rep| same(&told.rep, rep)) {
                let how = if at_end {
                    "taken back at the end"
                } else {
                    "taken back"
                };
                self.changes.push(Change { rep: told.rep, how });
                self.gone.push(*told);
            }
        }
        for &rep in reps {
            let known = live.iter().find(|told| same(&told.rep, &rep));
            let gone = self.gone.iter().find(|told| same(&told.rep, &rep));
            let how = match (known, gone, at_end) {
                (None, Some(_), true) => Some("told again at the end"),
                (None, Some(_), false) => Some("told again"),
                (None, None, true) => Some("told at the end only"),
                _ => None,
            };
            self.changes.extend(how.map(|how| Change { rep, how }));
            self.reps.push(Told {
                rep,
                at_ms: known.map_or(t_ms, |told| told.at_ms),
                first_ms: known.or(gone).map_or(t_ms, |told| told.first_ms),
                at_end: known.map_or(at_end, |told| told.at_end),
            });
        }
        self.differs |= at_end && self.changes.len() > changes;
    }
}

fn same(a: &Repetition, b: &Repetition) -> bool {
    a.start_ms < b.bottom_end_ms && a.end_ms > b.bottom_ms
}
