//! A row of the table: errors of lifts and rolls that the picture carried.

use crate::truth::{RepTruth, Truth};
use underfoot::measures::{Channel, Check};
use underfoot::report::{Mark, Report, Verdict};

/// A heel that is up by less than this in truth is down, mm; a foot that rolls less is level,
/// degrees: the lines of the faults, less what is beyond dispute.
const DOWN: f64 = 8.0;
const LEVEL: f64 = 5.0;

/// Values against their truth.
#[derive(Clone, Debug, Default)]
pub struct Errors {
    /// Error and standard error of each.
    pub seen: Vec<(f64, f64)>,
    /// How many were not seen.
    pub unseen: usize,
}

impl Errors {
    /// Mean absolute error.
    pub fn mean(&self) -> f64 {
        self.seen.iter().map(|e| e.0.abs()).sum::<f64>() / self.seen.len().max(1) as f64
    }

    /// Largest absolute error.
    pub fn worst(&self) -> f64 {
        self.seen.iter().map(|e| e.0.abs()).fold(0.0, f64::max)
    }

    /// Part within two standard errors.
    pub fn within(&self) -> f64 {
        let inside = self.seen.iter().filter(|e| e.0.abs() <= 2.0 * e.1).count();
        inside as f64 / self.seen.len().max(1) as f64
    }

    fn all(&self) -> usize {
        self.seen.len() + self.unseen
    }
}

/// One way's figures over all clips.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Of the near foot of the clips from the side, mm.
    pub heel: Errors,
    /// Of both feet of the clips from the front, degrees.
    pub roll: Errors,
    /// Heels called a fault that stayed down, either foot, whatever carried them.
    pub false_heels: usize,
    /// Feet called rolled that stayed level.
    pub false_rolls: usize,
}

impl Row {
    pub(super) fn add(
        &mut self,
        name: &str,
        truth: &Truth,
        report: &Report,
        cases: &mut dyn FnMut(String),
    ) {
        let aside = truth.azimuth_deg.to_radians().sin();
        for (i, rep) in truth.reps.iter().enumerate() {
            let said = report
                .reps
                .iter()
                .find(|r| (rep.start_ms..=rep.end_ms).contains(&r.bottom_ms));
            for channel in Channel::ALL {
                let mark = said.map(|r| r.checks.get(channel));
                let Some(line) = self.value(channel, aside, rep, mark) else {
                    continue;
                };
                cases(format!("{name} rep {} {channel:?}: {line}", i + 1));
            }
        }
    }

    /// Takes one value; what to say of it, when it counts.
    fn value(
        &mut self,
        channel: Channel,
        aside: f64,
        rep: &RepTruth,
        mark: Option<&Mark>,
    ) -> Option<String> {
        let truth = rep.extremes[channel.index()]?.value;
        let side = channel.side()?;
        let fault = mark.is_some_and(|m| m.verdict == Verdict::Fault);
        let errors = match channel.check() {
            Check::HeelLift => {
                self.false_heels += usize::from(fault && truth < DOWN);
                // The far foot is mostly hidden, and from the front so is every heel.
                (aside * side.sign() > 0.7).then_some(&mut self.heel)
            }
            Check::FootRoll => {
                self.false_rolls += usize::from(fault && truth.abs() < LEVEL);
                (aside.abs() < 0.7).then_some(&mut self.roll)
            }
            _ => None,
        }?;
        let carried = mark.filter(|m| m.evidence.is_some_and(|e| e != "keypoints"));
        match carried.and_then(|m| m.value.zip(m.sd)) {
            Some((value, sd)) => {
                errors.seen.push((value - truth, sd));
                Some(format!("{truth:.1} read {value:.1} ± {sd:.1}"))
            }
            None => {
                errors.unseen += 1;
                Some(format!("{truth:.1} unseen"))
            }
        }
    }

    /// A line of the table.
    pub fn line(&self, name: &str) -> String {
        let (heel, roll) = (&self.heel, &self.roll);
        format!(
            "| {name} | {:.1} | {:.1} | {} of {} | {:.1} | {:.1} | {} of {} | {:.0} % | {} | {} |",
            heel.mean(),
            heel.worst(),
            heel.unseen,
            heel.all(),
            roll.mean(),
            roll.worst(),
            roll.unseen,
            roll.all(),
            100.0 * roll.within(),
            self.false_heels,
            self.false_rolls,
        )
    }
}
