//! Counts the repetitions of a take the way a session does, and compares with the truth.

use super::film::{Lifted, Take};
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

/// Errors over many takes.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Sets counted.
    pub sets: usize,
    /// Repetitions in them.
    pub reps: usize,
    /// Seeds of miscounted sets, with what was missed and what was added.
    pub wrong: Vec<(u64, String)>,
    /// Errors of start, bottom and end, ms, unsigned.
    pub errors: [Vec<f64>; 3],
    /// From the true end to the frame that made it final, ms.
    pub late: Vec<f64>,
    /// Quarter squats not marked shallow, and others marked.
    pub shallow: [usize; 2],
    /// Failed attempts not marked, and others marked.
    pub failed: [usize; 2],
}

impl Tally {
    /// Adds one take.
    pub fn add(&mut self, seed: u64, take: &Take, counted: &Counted) {
        self.sets += 1;
        self.reps += take.reps.len();
        let same =
            |t: &Lifted, r: &Repetition| r.start_ms < t.bottom_ms[1] && r.end_ms > t.bottom_ms[0];
        let matched = take.reps.len() == counted.reps.len()
            && take
                .reps
                .iter()
                .zip(&counted.reps)
                .all(|(t, (r, _))| same(t, r));
        if !matched {
            let mut words = format!(
                "{} repetitions, counted {}:",
                take.reps.len(),
                counted.reps.len()
            );
            for t in &take.reps {
                let n = counted.reps.iter().filter(|(r, _)| same(t, r)).count();
                if n != 1 {
                    words += &format!(" {n} for {:.0}-{:.0}", t.start_ms, t.end_ms);
                }
            }
            for (r, _) in &counted.reps {
                if !take.reps.iter().any(|t| same(t, r)) {
                    words += &format!(" added {:.0}-{:.0} {:.3?}", r.start_ms, r.end_ms, r.depth);
                }
            }
            self.wrong.push((seed, words));
            return;
        }
        for (truth, (rep, at)) in take.reps.iter().zip(&counted.reps) {
            self.errors[0].push((rep.start_ms - truth.start_ms).abs());
            if !(truth.bounces || truth.fails) {
                self.errors[1].push((rep.bottom_ms - truth.bottom_ms[0]).abs());
            }
            self.errors[2].push((rep.end_ms - truth.end_ms).abs());
            self.late.push(at - truth.end_ms);
            self.shallow[0] += usize::from(truth.quarter && !rep.shallow);
            self.shallow[1] += usize::from(!truth.quarter && rep.shallow);
            self.failed[0] += usize::from(truth.fails && rep.complete);
            self.failed[1] += usize::from(!truth.fails && !rep.complete);
        }
    }

    /// Adds another tally.
    pub fn merge(&mut self, other: Self) {
        self.sets += other.sets;
        self.reps += other.reps;
        self.wrong.extend(other.wrong);
        for (a, b) in self.errors.iter_mut().zip(other.errors) {
            a.extend(b);
        }
        self.late.extend(other.late);
        for k in 0..2 {
            self.shallow[k] += other.shallow[k];
            self.failed[k] += other.failed[k];
        }
    }
}

/// The value below which the share `q` of `list` lies; NaN for an empty one.
pub fn quantile(list: &[f64], q: f64) -> f64 {
    let mut list = list.to_vec();
    list.sort_by(f64::total_cmp);
    let i = (q * list.len().saturating_sub(1) as f64).round() as usize;
    list.get(i).copied().unwrap_or(f64::NAN)
}
