//! What was counted over many takes, against the truth and by condition.

use super::count::Counted;
use super::film::{Lifted, Take};
use super::live::{Changes, FINAL_MS, cause};
use super::plan::{Crop, Plan};
use underfoot::repetitions::Repetition;

/// Knees bent by no more than this make a quarter squat, and by so much a half squat, degrees: included
/// knee angles of 110 to 140 and 80 to 100 degrees in the bands of a review excerpt (facts, section 7).
const QUARTER: f64 = 70.0;
const HALF: f64 = 80.0;

/// One repetition of a rightly counted set.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    /// The set.
    pub seed: u64,
    /// Error of the start, ms.
    pub start: f64,
    /// Error of the arrival at the bottom, ms; `None` where the truth is a matter of taste.
    pub bottom: Option<f64>,
    /// Error of the end, ms.
    pub end: f64,
    /// From the true end to the frame that made it final, ms.
    pub late: f64,
    /// Frames a second.
    pub fps: f64,
    /// What was in the picture.
    pub crop: Crop,
}

/// Counts of one condition.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// The condition in words.
    pub name: String,
    /// Sets drawn.
    pub sets: usize,
    /// Repetitions in them.
    pub there: usize,
    /// Of these, found.
    pub found: usize,
    /// Counted where there was none.
    pub added: usize,
    /// Final later than [`FINAL_MS`] after standing up, in rightly counted sets.
    pub late: usize,
}

/// What many takes came to.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Sets counted.
    pub sets: usize,
    /// Seeds of miscounted sets, with what was missed and what was added.
    pub wrong: Vec<(u64, String)>,
    /// By condition.
    pub rows: Vec<Row>,
    /// The repetitions of rightly counted sets.
    pub found: Vec<Found>,
    /// Quarter squats not marked shallow, and half squats and deeper ones marked.
    pub shallow: [usize; 2],
    /// Repetitions between the two, where either is right, and those of them marked.
    pub between: [usize; 2],
    /// Failed attempts not marked, and others marked.
    pub failed: [usize; 2],
    /// Seeds with a wrong mark.
    pub marks: Vec<u64>,
    /// Sets whose live count was not the final one.
    pub differs: usize,
    /// What a lifter saw change.
    pub changes: Changes,
    /// Repetitions that were final later than [`FINAL_MS`] after standing up, by cause.
    pub late: Changes,
}

fn same(t: &Lifted, r: &Repetition) -> bool {
    r.start_ms < t.bottom_ms[1] && r.end_ms > t.bottom_ms[0]
}

impl Tally {
    /// Adds one take.
    pub fn add(&mut self, seed: u64, plan: &Plan, take: &Take, counted: &Counted) {
        self.sets += 1;
        self.differs += usize::from(counted.differs);
        self.changes.add(seed, plan, take, counted);
        let each: Vec<usize> = take
            .reps
            .iter()
            .map(|t| {
                counted
                    .reps
                    .iter()
                    .filter(|told| same(t, &told.rep))
                    .count()
            })
            .collect();
        let found = each.iter().filter(|&&n| n > 0).count();
        let added = counted.reps.len().saturating_sub(found);
        for name in plan.conditions() {
            let at = self.rows.iter().position(|r| r.name == name);
            let at = at.unwrap_or_else(|| {
                self.rows.push(Row {
                    name,
                    ..Row::default()
                });
                self.rows.len() - 1
            });
            let row = &mut self.rows[at];
            row.sets += 1;
            row.there += take.reps.len();
            row.found += found;
            row.added += added;
        }
        if added > 0 || each.iter().any(|&n| n != 1) {
            self.wrong.push((seed, said(take, counted, &each)));
            return;
        }
        let mut marked_wrong = false;
        for (truth, told) in take.reps.iter().zip(&counted.reps) {
            let rep = &told.rep;
            let late = told.at_ms - truth.end_ms;
            if late > FINAL_MS {
                let cause = cause(truth, told, take);
                self.late.note(format!("{:?}, {cause}", plan.crop), seed);
                for name in plan.conditions() {
                    if let Some(row) = self.rows.iter_mut().find(|r| r.name == name) {
                        row.late += 1;
                    }
                }
            }
            self.found.push(Found {
                seed,
                start: rep.start_ms - truth.start_ms,
                bottom: (!(truth.bounces || truth.fails))
                    .then_some(rep.bottom_ms - truth.bottom_ms[0]),
                end: rep.end_ms - truth.end_ms,
                late,
                fps: plan.timing.fps,
                crop: plan.crop,
            });
            let wrong = [
                truth.flexion <= QUARTER && !rep.shallow,
                truth.flexion >= HALF && rep.shallow,
                truth.fails && rep.complete,
                !truth.fails && !rep.complete,
            ]
            .map(usize::from);
            if truth.flexion > QUARTER && truth.flexion < HALF {
                self.between[0] += 1;
                self.between[1] += usize::from(rep.shallow);
            }
            self.shallow[0] += wrong[0];
            self.shallow[1] += wrong[1];
            self.failed[0] += wrong[2];
            self.failed[1] += wrong[3];
            marked_wrong |= wrong != [0; 4];
        }
        if marked_wrong {
            self.marks.push(seed);
        }
    }

    /// Adds another tally.
    pub fn merge(&mut self, other: Self) {
        self.sets += other.sets;
        self.wrong.extend(other.wrong);
        self.wrong.sort();
        for row in other.rows {
            match self.rows.iter_mut().find(|r| r.name == row.name) {
                Some(own) => {
                    own.sets += row.sets;
                    own.there += row.there;
                    own.found += row.found;
                    own.added += row.added;
                    own.late += row.late;
                }
                None => self.rows.push(row),
            }
        }
        self.found.extend(other.found);
        for k in 0..2 {
            self.shallow[k] += other.shallow[k];
            self.between[k] += other.between[k];
            self.failed[k] += other.failed[k];
        }
        self.differs += other.differs;
        self.changes.merge(other.changes);
        self.late.merge(other.late);
        self.marks.extend(other.marks);
        self.marks.sort_unstable();
    }

    /// Writes everything out.
    pub fn print(&self) {
        println!(
            "{:24} {:>5} {:>6} {:>6} {:>6} {:>6}",
            "", "sets", "there", "found", "added", "late"
        );
        let mut rows = self.rows.clone();
        rows.sort_by(|a, b| a.name.cmp(&b.name));
        for r in &rows {
            println!(
                "{:24} {:5} {:6} {:6} {:6} {:6}",
                r.name, r.sets, r.there, r.found, r.added, r.late
            );
        }
        for (seed, words) in &self.wrong {
            println!("  seed {seed}: {words}");
        }
        println!(
            "times: truth is the movement's first and last instant, and its arrival at the bottom (not of bounces and failed attempts)"
        );
        self.timing("all", |_| true);
        self.timing("30 a second", |f| f.fps == 30.0);
        self.timing("30 a second, all but Shins", |f| {
            f.fps == 30.0 && f.crop != Crop::Shins
        });
        for crop in [
            Crop::Whole,
            Crop::NoHead,
            Crop::Plates,
            Crop::OneLeg,
            Crop::Shins,
        ] {
            self.timing(&format!("30 a second, {crop:?}"), |f| {
                f.fps == 30.0 && f.crop == crop
            });
        }
        let late = self.late.count();
        println!(
            "final later than {FINAL_MS} ms after standing up: {late} of {} ({:.2} %)",
            self.found.len(),
            100.0 * late as f64 / self.found.len().max(1) as f64
        );
        self.late.print();
        println!(
            "the live count was another in {} sets; changes of what had been told: {}",
            self.differs,
            self.changes.count()
        );
        self.changes.print();
        println!(
            "shallow: quarter squats (knees bent by up to {QUARTER} degrees) not marked {}, half squats ({HALF} degrees) and deeper ones marked {}; of {} between {} marked",
            self.shallow[0], self.shallow[1], self.between[0], self.between[1]
        );
        println!(
            "failed ones not marked {}, others marked {}; sets with a wrong mark {:?}",
            self.failed[0], self.failed[1], self.marks
        );
    }

    fn timing(&self, name: &str, of: impl Fn(&Found) -> bool) {
        let list: Vec<&Found> = self.found.iter().filter(|f| of(f)).collect();
        let size = |pick: &dyn Fn(&Found) -> Option<f64>| -> String {
            let errors: Vec<f64> = list.iter().filter_map(|f| pick(f)).map(f64::abs).collect();
            format!(
                "{:3.0} {:4.0}",
                quantile(&errors, 0.5),
                quantile(&errors, 0.95)
            )
        };
        let late: Vec<f64> = list.iter().map(|f| f.late).collect();
        println!(
            "{name:26}: error (median, 95 %) start {}, bottom {}, end {} ms; final after standing up {:.0}, {:.0}, longest {:.0} ms",
            size(&|f| Some(f.start)),
            size(&|f| f.bottom),
            size(&|f| Some(f.end)),
            quantile(&late, 0.5),
            quantile(&late, 0.95),
            quantile(&late, 1.0)
        );
    }
}

fn said(take: &Take, counted: &Counted, each: &[usize]) -> String {
    let mut words = format!(
        "{} repetitions, counted {}:",
        take.reps.len(),
        counted.reps.len()
    );
    for (t, n) in take.reps.iter().zip(each).filter(|(_, n)| **n != 1) {
        words += &format!(" {n} for {:.0}-{:.0}", t.start_ms, t.end_ms);
    }
    for r in counted.reps.iter().map(|told| &told.rep) {
        if !take.reps.iter().any(|t| same(t, r)) {
            words += &format!(" added {:.0}-{:.0} {:.3?}", r.start_ms, r.end_ms, r.depth);
        }
    }
    words
}

/// The value below which the share `q` of `list` lies; NaN for an empty one.
pub fn quantile(list: &[f64], q: f64) -> f64 {
    let mut list = list.to_vec();
    list.sort_by(f64::total_cmp);
    let i = (q * list.len().saturating_sub(1) as f64).round() as usize;
    list.get(i).copied().unwrap_or(f64::NAN)
}
