//! Counts the repetitions of a take the way a session does.

use super::film::Take;
use underfoot::pose::PoseTracker;
use underfoot::repetitions::{Detector, Repetition};

/// What the core made of a take.
#[derive(Clone, Debug, Default)]
pub struct Counted {
    /// The repetitions with the time of the frame that made them final, ms.
    pub reps: Vec<(Repetition, f64)>,
    /// Repetitions that were taken back again.
    pub withdrawn: usize,
    /// Repetitions that only the end of the recording told, and those that it took back.
    pub at_end: [usize; 2],
}

/// Runs tracker and detector over a take.
pub fn count(take: &Take) -> Counted {
    let mut tracker = PoseTracker::new(&take.recording.setup);
    let mut detector = Detector::new();
    let mut out = Counted::default();
    let (mut poses, mut reps, mut last) = (vec![], vec![], 0.0);
    for frame in &take.recording.frames {
        let Some(pose) = tracker.push(frame.t_ms, &frame.people) else {
            continue;
        };
        last = frame.t_ms;
        poses.push(pose);
        detector.count(&poses, &mut reps);
        out.take(&reps, last);
    }
    detector.recount(&mut reps, &poses);
    out.end(&reps, last);
    out
}

/// What the detector says after each frame, for looking into a set: time, and its line.
pub fn trace(take: &Take) -> Vec<(f64, String)> {
    let mut tracker = PoseTracker::new(&take.recording.setup);
    let mut detector = Detector::new();
    let mut out = vec![];
    for frame in &take.recording.frames {
        if let Some(pose) = tracker.push(frame.t_ms, &frame.people) {
            detector.push(&pose);
            out.push((frame.t_ms, format!("{:?} {detector}", detector.phase())));
        }
    }
    out
}

impl Counted {
    /// The recording has ended: what only this told, or took back.
    fn end(&mut self, reps: &[Repetition], t_ms: f64) {
        let (before, withdrawn) = (self.reps.len(), self.withdrawn);
        self.take(reps, t_ms);
        let back = self.withdrawn - withdrawn;
        self.at_end = [(reps.len() + back).saturating_sub(before), back];
        self.withdrawn = withdrawn;
    }

    /// Notes since when each repetition has been counted.
    fn take(&mut self, reps: &[Repetition], t_ms: f64) {
        let kept = |(r, _): &(Repetition, f64)| reps.iter().any(|rep| same(r, rep));
        let live = std::mem::take(&mut self.reps);
        self.withdrawn += live.iter().filter(|r| !kept(r)).count();
        for rep in reps {
            let since = live.iter().find(|(r, _)| same(r, rep));
            self.reps.push((*rep, since.map_or(t_ms, |(_, at)| *at)));
        }
    }
}

fn same(a: &Repetition, b: &Repetition) -> bool {
    a.start_ms < b.bottom_end_ms && a.end_ms > b.bottom_ms
}
