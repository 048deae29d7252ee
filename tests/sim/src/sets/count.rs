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
}

/// Runs tracker and detector over a take.
pub fn count(take: &Take) -> Counted {
    let mut tracker = PoseTracker::new(&take.recording.setup);
    let mut detector = Detector::new();
    let mut out = Counted::default();
    let (mut poses, mut last) = (vec![], 0.0);
    for frame in &take.recording.frames {
        let Some(pose) = tracker.push(frame.t_ms, &frame.people) else {
            continue;
        };
        last = frame.t_ms;
        poses.push(pose);
        let progress = detector.push(&pose);
        out.take(progress.withdrawn, progress.finished, last);
    }
    let mut reps = out.reps.iter().map(|(rep, _)| *rep).collect();
    detector.recount(&mut reps, &poses);
    out.settle(&reps, last);
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
    /// What is counted once the recording has ended, at `t_ms`: final since the same repetition
    /// was, or only now.
    fn settle(&mut self, reps: &[Repetition], t_ms: f64) {
        let live = std::mem::take(&mut self.reps);
        let same =
            |a: &Repetition, b: &Repetition| a.start_ms < b.bottom_end_ms && a.end_ms > b.bottom_ms;
        for rep in reps {
            let since = live.iter().find(|(r, _)| same(r, rep));
            self.reps.push((*rep, since.map_or(t_ms, |(_, at)| *at)));
        }
    }

    fn take(&mut self, withdrawn: usize, finished: Option<Repetition>, t_ms: f64) {
        self.withdrawn += withdrawn;
        self.reps
            .truncate(self.reps.len().saturating_sub(withdrawn));
        self.reps.extend(finished.map(|rep| (rep, t_ms)));
    }
}
