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
    let mut last = 0.0;
    for frame in &take.recording.frames {
        let Some(pose) = tracker.push(frame.t_ms, &frame.people) else {
            continue;
        };
        last = frame.t_ms;
        let progress = detector.push(&pose);
        out.take(progress.withdrawn, progress.finished, last);
    }
    let progress = detector.finish();
    out.take(progress.withdrawn, progress.finished, last);
    out.reps.retain(|(rep, _)| !detector.none(rep));
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
    fn take(&mut self, withdrawn: usize, finished: Option<Repetition>, t_ms: f64) {
        self.withdrawn += withdrawn;
        self.reps
            .truncate(self.reps.len().saturating_sub(withdrawn));
        self.reps.extend(finished.map(|rep| (rep, t_ms)));
    }
}
