//! From habits to the one pattern that a coach would name.

use super::belief::{confidence, confidence_of_none, enough};
use super::habit::{Carried, Habit, Habits};
use super::sideways::{Lateral, Off, sideways};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::{Channel, Check, Way};
use crate::report::{FindingKind, Trend};

/// Which foot a pattern is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Foot {
    /// One of them.
    One(Side),
    /// Both.
    Both,
}

impl Foot {
    /// The report's word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::One(Side::Left) => "left",
            Self::One(Side::Right) => "right",
            Self::Both => "both",
        }
    }

    fn of(sides: [bool; 2]) -> Option<Self> {
        match sides {
            [true, true] => Some(Self::Both),
            [true, false] => Some(Self::One(Side::Left)),
            [false, true] => Some(Self::One(Side::Right)),
            [false, false] => None,
        }
    }
}

/// What the load share says to a sideways pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// It is what shows the pattern, or was not seen or not sure.
    Silent,
    /// More than half is on the foot that is rolled out.
    Agrees,
    /// More than half is on the other foot.
    Disagrees,
    /// Even.
    Even,
}

/// A pattern of the set.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Which shift.
    pub kind: FindingKind,
    /// Whose; for a sideways shift the carrying foot. `None` for a shift of the whole body, and where one heel is up
    /// and the other one not seen.
    pub foot: Option<Foot>,
    /// What shows it, the strongest first. Never empty.
    pub shown: Vec<(Channel, Way)>,
    /// Repetitions (from 1) that show it.
    pub reps: Vec<usize>,
    /// The largest of the habits' scores.
    pub score: f64,
    /// What the load share says; [`Load::Silent`] unless sideways.
    pub load: Load,
    /// The foot that `foot` counts in because it probably shows the same, though not surely.
    pub probable: Option<Side>,
}

/// What the set shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shown {
    /// The pattern to act on, and then the others.
    pub patterns: Vec<Pattern>,
    /// 0 to 1: how much speaks for the first pattern, or for there being none.
    pub confidence: f64,
    /// What this view can show was clear and nothing is suspect: an empty `patterns` means none.
    pub enough: bool,
}

/// How much further out another pattern must be before a sideways one waits, score.
const SIDEWAYS_FIRST: f64 = 15.0;

/// Names the patterns of a set seen from a bearing, the one to act on first.
///
/// Forward and inward are one pattern. A sideways pattern (one foot out and the other in, or the
/// load off the middle) comes first unless another is clearly further out; otherwise the one
/// furthest beyond its line.
pub fn find(habits: &Habits, azimuth_deg: Option<f64>) -> Shown {
    let mut patterns = Vec::new();
    let lateral = Side::BOTH.map(|s| Lateral::of(habits, s));
    let off = Off::of(habits);
    let sideways = sideways(habits, &lateral, off.as_ref());
    let taken = sideways.is_some();
    patterns.extend(sideways);
    let forward = forward(habits);
    let inward = (!taken).then(|| same(habits, &lateral, true)).flatten();
    patterns.extend((!taken).then(|| same(habits, &lateral, false)).flatten());
    patterns.extend(match (forward, inward) {
        (Some(f), Some(i)) => Some(f.joined(i)),
        (f, i) => f.or(i),
    });
    let rank = |p: &Pattern| {
        let first = p.kind == FindingKind::Sideways;
        p.score + if first { SIDEWAYS_FIRST } else { 0.0 }
    };
    crate::order::short_list(&mut patterns, |a, b| rank(a).total_cmp(&rank(b)).is_gt());
    let enough = enough(habits, azimuth_deg);
    let confidence = match patterns.first() {
        Some(p) => confidence(habits, p),
        None => confidence_of_none(habits, enough),
    };
    Shown {
        patterns,
        confidence,
        enough,
    }
}

fn forward(habits: &Habits) -> Option<Pattern> {
    let heel = |s: Side| (Channel::of(Check::HeelLift, s), Way::High);
    let mut shown: Vec<(Channel, Way)> = Side::BOTH
        .map(heel)
        .into_iter()
        .chain([(Channel::Forward, Way::High)])
        .filter(|(c, w)| habits.get(*c, *w).shown)
        .gather();
    strongest_first(habits, &mut shown);
    let mut pattern = Pattern::new(habits, FindingKind::Forward, shown)?;
    // One heel is up and the other one hidden: whether it is one or both can't be told.
    if let Some(Foot::One(side)) = pattern.foot
        && habits.carried(Channel::of(Check::HeelLift, side.other())) == Carried::Unseen
    {
        pattern.foot = None;
    }
    Some(pattern)
}

/// Both feet, or one, inward (or outward).
fn same(habits: &Habits, lateral: &[Option<Lateral>; 2], inward: bool) -> Option<Pattern> {
    let mut shown = Vec::new();
    for l in lateral.iter().flatten().filter(|l| l.inward == inward) {
        shown.extend(&l.shown);
    }
    strongest_first(habits, &mut shown);
    let kind = if inward {
        FindingKind::Inward
    } else {
        FindingKind::Outward
    };
    Pattern::new(habits, kind, shown)
}

/// The feet that signs speak of, and the one that probably shows the same: the like check of its
/// own is probably beyond the same line on the same repetitions.
fn feet(habits: &Habits, shown: &[(Channel, Way)]) -> (Option<Foot>, Option<Side>) {
    let sure = Side::BOTH.map(|s| shown.iter().any(|(c, _)| c.side() == Some(s)));
    let likely = Side::BOTH.map(|s| {
        shown.iter().any(|(c, w)| {
            let other = habits.get(Channel::of(c.check(), s), *w);
            c.side().is_some() && other.likely_on(&habits.get(*c, *w).reps)
        })
    });
    match (sure, likely) {
        ([true, false], [_, true]) => (Some(Foot::Both), Some(Side::Right)),
        ([false, true], [true, _]) => (Some(Foot::Both), Some(Side::Left)),
        _ => (Foot::of(sure), None),
    }
}

impl Pattern {
    fn new(habits: &Habits, kind: FindingKind, shown: Vec<(Channel, Way)>) -> Option<Self> {
        let (channel, way) = *shown.first()?;
        let (foot, probable) = feet(habits, &shown);
        Some(Self {
            kind,
            foot,
            reps: union(habits, &shown),
            score: habits.get(channel, way).score,
            shown,
            load: Load::Silent,
            probable,
        })
    }

    /// A forward and an inward pattern as one.
    fn joined(mut self, inward: Self) -> Self {
        let sure = |p: &Self| p.foot == Some(Foot::Both) && p.probable.is_none();
        let surely_both = sure(&self) || sure(&inward);
        self.kind = FindingKind::ForwardInward;
        self.foot = match (self.foot, inward.foot) {
            (Some(a), Some(b)) if a == b => Some(a),
            (Some(_), Some(_)) => Some(Foot::Both),
            (a, b) => a.or(b),
        };
        self.probable = self.probable.or(inward.probable).filter(|_| !surely_both);
        // The stronger sign of each, then the rest.
        if inward.score > self.score {
            self.shown.splice(0..0, inward.shown);
        } else {
            self.shown.splice(1..1, inward.shown);
        }
        self.score = self.score.max(inward.score);
        self.reps.extend(inward.reps);
        crate::order::each_once(&mut self.reps);
        self
    }

    /// The foot that carries, of a sideways pattern that has one.
    pub fn carrying(&self) -> Option<Side> {
        match self.foot {
            Some(Foot::One(side)) if self.kind == FindingKind::Sideways => Some(side),
            _ => None,
        }
    }

    /// The habit that shows the pattern best.
    pub fn leading<'a>(&self, habits: &'a Habits) -> Option<&'a Habit> {
        let (channel, way) = *self.shown.first()?;
        Some(habits.get(channel, way))
    }

    /// Where in the lift it sets in: the earliest of its signs.
    pub fn onset(&self, habits: &Habits) -> Option<f64> {
        self.shown
            .iter()
            .filter_map(|(c, w)| habits.get(*c, *w).onset)
            .min_by(f64::total_cmp)
    }

    /// The trend of the leading sign, or of another one that grows.
    pub fn trend(&self, habits: &Habits) -> Option<Trend> {
        let of = |(c, w): &(Channel, Way)| habits.get(*c, *w).trend;
        let growing = self.shown.iter().filter_map(of).find(|t| t.growing);
        growing.or_else(|| self.shown.first().and_then(of))
    }
}

pub(super) fn strongest_first(habits: &Habits, shown: &mut [(Channel, Way)]) {
    let strength = |(c, w): &(Channel, Way)| {
        let habit = habits.get(*c, *w);
        (habit.score, habit.probability)
    };
    crate::order::short_list(shown, |a, b| {
        let (a, b) = (strength(a), strength(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).is_gt()
    });
}

pub(super) fn union(habits: &Habits, shown: &[(Channel, Way)]) -> Vec<usize> {
    let mut reps: Vec<usize> = shown
        .iter()
        .flat_map(|(c, w)| habits.get(*c, *w).reps.iter().copied())
        .gather();
    crate::order::each_once(&mut reps);
    reps
}
