//! What one check shows over a set: on which repetitions, how far, since when in the lift.

use super::score::score;
use super::trend::trend;
use super::verdict::{SURE, normal_cdf, passes, shared_errors};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::{Channel, Check, Estimate, Excursion, Way};
use crate::report::{RepResult, Trend, Unseen, Verdict};
use crate::statistics::{mean, median};
use crate::thresholds::{Band, Thresholds};

/// How a check came out over the set, both lines together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Carried {
    /// Clear on most repetitions of the set, and beyond a line on too few to be its habit, of a set of which no
    /// repetition was left out as no squat.
    Clear,
    /// Seen, and neither clear nor shown: too close to call.
    Open,
    /// Seen on less than half of the repetitions.
    #[default]
    Unseen,
}

/// One check beyond one of its lines over a set.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Habit {
    /// Repetitions (from 1) beyond the line: those that probably are where it is the set's habit,
    /// those that surely are otherwise.
    pub reps: Vec<usize>,
    /// Repetitions on which the check was seen.
    pub seen: usize,
    /// Repetitions of the set.
    pub of: usize,
    /// The repetitions on which the check was seen.
    cells: Vec<Toward>,
    /// Probability of being beyond it on half of the repetitions or more, by all of them together.
    pub habitual: f64,
    /// Probability of being beyond it on as many repetitions as make a habit.
    pub perhaps: f64,
    /// Mean probability of being beyond the line: over `reps`, or over all seen when there are
    /// none.
    pub probability: f64,
    /// Median score over `reps`.
    pub score: f64,
    /// Median value over `reps`, with the median standard error.
    pub value: Option<Estimate>,
    /// Median onset over `reps`: 0 start, 1 bottom, 2 end.
    pub onset: Option<f64>,
    /// Over all repetitions on which the check was seen.
    pub trend: Option<Trend>,
    /// The set's habit, and not a slip: see [`Habits::of`].
    pub shown: bool,
    /// The error is small enough to tell: an ordinary value would be clear of this line.
    pub telling: bool,
}

impl Habit {
    /// Some repetition was beyond the line, but not enough to call it the set's habit.
    pub fn slip(&self) -> bool {
        !self.shown && !self.reps.is_empty()
    }

    /// Probably the set's habit, though not surely; seen on half of the set or more, and with an
    /// error small enough to tell.
    pub fn suspect(&self) -> bool {
        let seen = 2 * self.seen >= self.of.max(1);
        !self.shown && seen && self.telling && self.habitual >= 0.5
    }

    /// Takes it for the set's habit, on the repetitions on which it probably is beyond the line.
    fn show(&mut self) {
        self.shown = true;
        self.tell(0.5);
    }

    /// Sums up the repetitions that are beyond the line with at least this probability.
    fn tell(&mut self, least: f64) {
        let of = |c: &&Toward| c.beyond >= least;
        let faults: Vec<&Toward> = self.cells.iter().filter(of).gather();
        let told = |c: &Toward| faults.is_empty() || c.beyond >= least;
        let chances: Vec<f64> = self
            .cells
            .iter()
            .filter(|c| told(c))
            .map(|c| c.beyond)
            .gather();
        self.probability = mean(&chances).unwrap_or(0.0);
        self.score = middle(&faults, |c| Some(c.score)).unwrap_or(0.0);
        self.value = middle(&faults, |c| Some(c.excursion.value))
            .zip(middle(&faults, |c| Some(c.excursion.sd)))
            .map(|(value, sd)| Estimate { value, sd });
        self.onset = middle(&faults, |c| c.excursion.onset);
        self.reps = faults.iter().map(|c| c.rep).gather();
    }

    /// Probably beyond the line on `reps`, where a like check surely is.
    pub fn likely_on(&self, reps: &[usize]) -> bool {
        let of = |c: &&Toward| reps.contains(&c.rep);
        let chances: Vec<f64> = self.cells.iter().filter(of).map(|c| c.beyond).gather();
        self.telling && 2 * chances.len() >= reps.len() && mean(&chances) >= Some(0.5)
    }
}

/// Every check of a set against both of its lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Habits {
    habits: [[Habit; 2]; Channel::COUNT],
    carried: [Carried; Channel::COUNT],
    why: [Option<Unseen>; Channel::COUNT],
    /// Repetitions on which each channel was clear or a fault.
    judged: [usize; Channel::COUNT],
    /// Repetitions in the set.
    pub reps: usize,
    /// The foot that surely carries more than half on most repetitions, whatever the lines.
    pub leaning: Option<Side>,
}

/// Probability from which a sign of one foot is taken with the opposite one that the other surely shows
/// (common practice, no source).
const PROBABLE: f64 = 0.6;

/// Score from which a single repetition counts as a habit: twice the distance to the line.
const FAR: f64 = 80.0;

/// Repetitions beyond a line that make a habit in a set of so many: one of up to three, two of up to
/// twenty, a tenth of more (common practice, no source: a coach does not cue a slip).
fn enough(of: usize) -> usize {
    if of <= 3 { 1 } else { of.div_ceil(10).max(2) }
}

impl Habits {
    /// Reads a set. A check is the set's habit when, with at least 90 %,
    /// - half of the repetitions are beyond its line, all of them taken together: the error that they share
    ///   is one, and what each has for itself is its own;
    /// - or each of as many as make a habit is by itself (`enough`);
    /// - or the last one of a run that grows beyond doubt is;
    /// - or one is twice as far out as the line (with 99 %).
    pub fn of(reps: &[RepResult], thresholds: &Thresholds) -> Self {
        let mut out = Self {
            reps: reps.len(),
            ..Self::default()
        };
        // What was left out as no squat may be what is worst.
        let no_squat =
            |rep: &RepResult| rep.checks.get(Channel::HeelLiftLeft).why == Some(Unseen::NotASquat);
        let left_out = reps.iter().any(no_squat);
        for channel in Channel::ALL {
            let k = channel.index();
            let band = thresholds.band(channel);
            let cells: Vec<Cell> = reps
                .iter()
                .filter_map(|rep| {
                    let mark = rep.checks.get(channel);
                    (mark.verdict != Verdict::Unseen).then_some(Cell {
                        rep: rep.index,
                        squat: 1.0 - mark.doubt,
                        verdict: mark.verdict,
                        ways: mark.ways,
                    })
                })
                .gather();
            for (way, line) in Way::BOTH.into_iter().zip([band.low, band.high]) {
                if let Some(line) = line {
                    out.habits[k][way as usize] = habit(&cells, reps.len(), way, line, band);
                }
            }
            if channel == Channel::LoadLeft {
                out.leaning = leaning(&cells);
            }
            let count = |verdict| cells.iter().filter(|c| c.verdict == verdict).count();
            let (clear, unsure) = (count(Verdict::Clear), count(Verdict::Unsure));
            out.judged[k] = cells.len() - unsure;
            let habit = out.habits[k]
                .iter()
                .any(|h| h.shown || h.suspect() || h.perhaps > 1.0 - SURE);
            out.carried[k] = if 2 * cells.len() < reps.len() || cells.is_empty() {
                out.why[k] = why(reps, channel);
                Carried::Unseen
            } else if 2 * clear > reps.len() && !habit && !left_out {
                Carried::Clear
            } else {
                Carried::Open
            };
        }
        out.together();
        out
    }

    /// Knee and roll of one foot the same way: where neither is sure, both probable and one or the other
    /// nearly certain, the likelier one counts as shown. Their errors have nothing in common but the view.
    fn together(&mut self) {
        for side in Side::BOTH {
            for way in Way::BOTH {
                let pair = [Check::KneeIn, Check::FootRoll].map(|c| Channel::of(c, side));
                let [knee, roll] = pair.map(|c| self.get(c, way));
                let neither = (1.0 - knee.habitual) * (1.0 - roll.habitual);
                if knee.suspect() && roll.suspect() && 1.0 - neither >= SURE {
                    let likelier = pair[usize::from(roll.habitual > knee.habitual)];
                    let k = likelier.index();
                    self.habits[k][way as usize].show();
                    self.carried[k] = Carried::Open;
                }
            }
        }
        // One foot goes in and the other probably out, or the other way round: that is one movement.
        for (side, other) in [(Side::Left, Side::Right), (Side::Right, Side::Left)] {
            for (way, back) in [(Way::Low, Way::High), (Way::High, Way::Low)] {
                let lateral = [Check::KneeIn, Check::FootRoll];
                if !lateral
                    .iter()
                    .any(|c| self.get(Channel::of(*c, side), way).shown)
                {
                    continue;
                }
                for check in lateral {
                    let k = Channel::of(check, other).index();
                    let habit = &mut self.habits[k][back as usize];
                    if habit.suspect() && habit.habitual >= PROBABLE {
                        habit.show();
                        self.carried[k] = Carried::Open;
                    }
                }
            }
        }
    }

    /// A channel beyond one of its lines.
    pub fn get(&self, channel: Channel, way: Way) -> &Habit {
        &self.habits[channel.index()][way as usize]
    }

    /// How a channel came out.
    pub fn carried(&self, channel: Channel) -> Carried {
        self.carried[channel.index()]
    }

    /// A check was judged, clear or a fault, on both feet in most repetitions.
    pub fn judged(&self, check: Check) -> bool {
        Side::BOTH.iter().all(|side| {
            let judged = self.judged[Channel::of(check, *side).index()];
            2 * judged > self.reps
        })
    }

    /// The channel told something: it is clear or shown.
    pub fn told(&self, channel: Channel) -> bool {
        let shown = Way::BOTH.iter().any(|w| self.get(channel, *w).shown);
        self.carried(channel) == Carried::Clear || shown
    }

    /// A channel is probably beyond a line, though not surely.
    pub fn suspect(&self, channel: Channel) -> bool {
        Way::BOTH.iter().any(|w| self.get(channel, *w).suspect())
    }

    /// A channel went beyond a line now and then.
    pub fn slipped(&self, channel: Channel) -> bool {
        Way::BOTH.iter().any(|w| self.get(channel, *w).slip())
    }

    /// Why a channel was not seen, where it was not.
    pub fn why(&self, channel: Channel) -> Option<Unseen> {
        self.why[channel.index()]
    }
}

/// One repetition of one channel.
struct Cell {
    rep: usize,
    /// Probability that the repetition is a squat at all: nothing of it is surer.
    squat: f64,
    verdict: Verdict,
    ways: [Option<Excursion>; 2],
}

/// The same toward one line, with the probability of being beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Toward {
    rep: usize,
    squat: f64,
    beyond: f64,
    score: f64,
    excursion: Excursion,
}

/// Probability that at least `least` of some excursions pass a line: given the error that they share each
/// passes by its own chance, and the count is what these chances add up to (a Poisson binomial). Whether they
/// are squats is one doubt of the whole set: however many there are, nothing is surer than that.
fn at_least(least: usize, all: &[Toward], way: Way, line: f64) -> f64 {
    if least == 0 {
        return 1.0;
    }
    let mut fewer = 0.0;
    for (z, weight) in shared_errors() {
        // Probabilities of 0, 1, ... least - 1 passings so far.
        let mut counts = vec![0.0; least];
        counts[0] = 1.0;
        for one in all {
            let p = passes(&one.excursion, way, line, z);
            for i in (0..least).rev() {
                let before = if i > 0 { counts[i - 1] } else { 0.0 };
                counts[i] = counts[i] * (1.0 - p) + before * p;
            }
        }
        fewer += weight * counts.iter().sum::<f64>();
    }
    let squats = all.iter().map(|one| one.squat).fold(1.0, f64::min);
    squats * (1.0 - fewer).clamp(0.0, 1.0)
}

fn habit(cells: &[Cell], of: usize, way: Way, line: f64, band: &Band) -> Habit {
    let reach = line - band.centre();
    let cells: Vec<Toward> = cells
        .iter()
        .filter_map(|c| {
            let e = c.ways[way as usize]?;
            let beyond = shared_errors().map(|(z, weight)| weight * passes(&e, way, line, z));
            Some(Toward {
                rep: c.rep,
                squat: c.squat,
                beyond: c.squat * beyond.sum::<f64>(),
                score: score(e.value, band),
                excursion: e,
            })
        })
        .gather();
    let points: Vec<(f64, f64)> = cells
        .iter()
        .map(|c| (c.rep as f64, c.excursion.value))
        .gather();
    let trend = trend(&points, reach);
    let sure = cells.iter().filter(|c| c.beyond >= SURE).count();
    let errors: Vec<f64> = cells.iter().map(|c| c.excursion.sd).gather();
    let telling = median(&errors).is_some_and(|sd| normal_cdf(reach.abs() / sd.max(1e-9)) >= SURE);
    let last = cells.last().is_some_and(|c| c.beyond >= SURE);
    let growing = trend.is_some_and(|t| t.growing);
    let far = cells.iter().any(|c| c.score >= FAR && c.beyond >= 0.99);
    let least = enough(of).max(cells.len().div_ceil(2));
    let habitual = at_least(least, &cells, way, line);
    let shown = habitual >= SURE || sure >= enough(of) || (last && growing) || far;
    let mut out = Habit {
        seen: cells.len(),
        of,
        telling,
        habitual,
        perhaps: at_least(enough(of), &cells, way, line),
        trend,
        shown,
        cells,
        ..Habit::default()
    };
    out.tell(if habitual >= SURE { 0.5 } else { SURE });
    out
}

/// Median of what `pick` takes of the cells that have it.
#[inline(never)]
fn middle(cells: &[&Toward], pick: fn(&Toward) -> Option<f64>) -> Option<f64> {
    median(&cells.iter().filter_map(|c| pick(c)).gather())
}

/// The side that carries more than half with 90 % probability on more than half of the repetitions.
fn leaning(cells: &[Cell]) -> Option<Side> {
    let most = |sign: f64| {
        let sure = |c: &&Cell| {
            let toward = c.ways[usize::from(sign > 0.0)];
            toward.is_some_and(|e| normal_cdf(sign * (e.value - 50.0) / e.sd.max(1e-9)) >= SURE)
        };
        2 * cells.iter().filter(sure).count() > cells.len()
    };
    if most(1.0) {
        Some(Side::Left)
    } else {
        most(-1.0).then_some(Side::Right)
    }
}

/// The commonest reason for a channel not having been seen; the first of equals.
fn why(reps: &[RepResult], channel: Channel) -> Option<Unseen> {
    let reasons: Vec<Unseen> = reps
        .iter()
        .filter_map(|r| r.checks.get(channel).why)
        .gather();
    let count = |u: Unseen| reasons.iter().filter(|r| **r == u).count();
    reasons.iter().copied().rev().max_by_key(|u| count(*u))
}
