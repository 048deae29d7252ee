//! From habits to the one pattern that a coach would name.

use super::habit::{Carried, Habit, Habits, Way};
use crate::keypoints::Side;
use crate::measures::{Channel, Check};
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
    /// Whose; for a sideways shift the carrying foot. `None` for a shift of the whole body.
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
    /// Something main was seen clear and nothing is suspect: an empty `patterns` means none.
    pub enough: bool,
}

/// How much further out another pattern must be before a sideways one waits, score.
const SIDEWAYS_FIRST: f64 = 15.0;

/// Names the patterns of a set, the one to act on first.
///
/// Forward and inward are one pattern. A sideways pattern (one foot out and the other in, or the
/// load off the middle) comes first unless another is clearly further out; otherwise the one
/// furthest beyond its line.
pub fn find(habits: &Habits) -> Shown {
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
    patterns.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
    let enough = enough(habits);
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

/// What a foot does sideways.
struct Lateral {
    inward: bool,
    score: f64,
    shown: Vec<(Channel, Way)>,
}

impl Lateral {
    /// The stronger of rolling or leaning inward and outward; `None` when neither is shown.
    fn of(habits: &Habits, side: Side) -> Option<Self> {
        let way = |way: Way| {
            let mut shown: Vec<(Channel, Way)> = [Check::FootRoll, Check::KneeIn]
                .map(|c| (Channel::of(c, side), way))
                .into_iter()
                .filter(|(c, w)| habits.get(*c, *w).shown)
                .collect();
            strongest_first(habits, &mut shown);
            let score = shown.first().map(|(c, w)| habits.get(*c, *w).score)?;
            Some(Self {
                inward: way == Way::High,
                score,
                shown,
            })
        };
        match (way(Way::High), way(Way::Low)) {
            (Some(i), Some(o)) => Some(if o.score > i.score { o } else { i }),
            (i, o) => i.or(o),
        }
    }
}

/// Load off the middle.
struct Off {
    carrying: Option<Side>,
    score: f64,
    shown: Vec<(Channel, Way)>,
    reps: Vec<usize>,
}

impl Off {
    /// Repetitions to either side count together: a lifter may shift to and fro.
    fn of(habits: &Habits) -> Option<Self> {
        let (low, high) = (
            habits.get(Channel::LoadLeft, Way::Low),
            habits.get(Channel::LoadLeft, Way::High),
        );
        let n = low.reps.len() + high.reps.len();
        let both = n >= 2 && 10 * n >= low.seen && !low.reps.is_empty() && !high.reps.is_empty();
        if !(low.shown || high.shown || both) {
            return None;
        }
        let mut shown = Vec::new();
        for (habit, way) in [(high, Way::High), (low, Way::Low)] {
            if !habit.reps.is_empty() && (habit.shown || both) {
                shown.push((Channel::LoadLeft, way));
            }
        }
        strongest_first(habits, &mut shown);
        let carrying = match high.reps.len().cmp(&low.reps.len()) {
            std::cmp::Ordering::Greater => Some(Side::Left),
            std::cmp::Ordering::Less => Some(Side::Right),
            std::cmp::Ordering::Equal => None,
        };
        Some(Self {
            carrying,
            score: low.score.max(high.score),
            reps: union(habits, &shown),
            shown,
        })
    }
}

fn sideways(habits: &Habits, lateral: &[Option<Lateral>; 2], off: Option<&Off>) -> Option<Pattern> {
    let [left, right] = lateral;
    let opposite = matches!((left, right), (Some(l), Some(r)) if l.inward != r.inward);
    let alike = matches!((left, right), (Some(l), Some(r)) if l.inward == r.inward);
    let strongest = lateral
        .iter()
        .flatten()
        .map(|l| l.score)
        .fold(0.0, f64::max);
    let off = off.filter(|o| opposite || !(alike && strongest > o.score));
    if !opposite && off.is_none() {
        return None;
    }
    // By the feet, the carrying one is rolled out, or across from one that is rolled in.
    let by_feet = match (left, right) {
        _ if alike => None,
        (Some(l), _) if !l.inward => Some(Side::Left),
        (_, Some(r)) if !r.inward => Some(Side::Right),
        (Some(_), _) => Some(Side::Right),
        (_, Some(_)) => Some(Side::Left),
        _ => None,
    };
    // A single inward foot under the heavier share is that foot's own fault when it is further out.
    if let (Some(off), false) = (off, opposite)
        && off.carrying != by_feet
        && by_feet.is_some()
        && strongest > off.score
    {
        return None;
    }
    let by_load = off.map_or(habits.leaning, |o| o.carrying);
    let load = match (by_feet, by_load) {
        (Some(f), Some(l)) if f == l => Load::Agrees,
        (Some(_), Some(_)) => Load::Disagrees,
        (Some(_), None) if habits.carried(Channel::LoadLeft) == Carried::Clear => Load::Even,
        _ => Load::Silent,
    };
    let mut shown: Vec<(Channel, Way)> = Vec::new();
    for foot in lateral.iter().flatten() {
        if !alike {
            shown.extend(&foot.shown);
        }
    }
    strongest_first(habits, &mut shown);
    if let Some(off) = off {
        shown.splice(0..0, off.shown.iter().copied());
    }
    let foot = match by_load.or(by_feet) {
        Some(side) => Foot::One(side),
        None => Foot::Both,
    };
    let mut reps = union(habits, &shown);
    for rep in off.iter().flat_map(|o| &o.reps) {
        if !reps.contains(rep) {
            reps.push(*rep);
        }
    }
    reps.sort_unstable();
    let score = off
        .map_or(0.0, |o| o.score)
        .max(if alike { 0.0 } else { strongest });
    Some(Pattern {
        kind: FindingKind::Sideways,
        foot: Some(foot),
        shown,
        reps,
        score,
        load,
        probable: None,
    })
}

fn forward(habits: &Habits) -> Option<Pattern> {
    let heel = |s: Side| (Channel::of(Check::HeelLift, s), Way::High);
    let mut shown: Vec<(Channel, Way)> = Side::BOTH
        .map(heel)
        .into_iter()
        .chain([(Channel::Forward, Way::High)])
        .filter(|(c, w)| habits.get(*c, *w).shown)
        .collect();
    strongest_first(habits, &mut shown);
    Pattern::new(habits, FindingKind::Forward, shown)
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
        self.reps.sort_unstable();
        self.reps.dedup();
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

fn strongest_first(habits: &Habits, shown: &mut [(Channel, Way)]) {
    let strength = |(c, w): &(Channel, Way)| {
        let habit = habits.get(*c, *w);
        (habit.score, habit.probability)
    };
    shown.sort_by(|a, b| {
        let (a, b) = (strength(a), strength(b));
        b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1))
    });
}

fn union(habits: &Habits, shown: &[(Channel, Way)]) -> Vec<usize> {
    let mut reps: Vec<usize> = shown
        .iter()
        .flat_map(|(c, w)| habits.get(*c, *w).reps.iter().copied())
        .collect();
    reps.sort_unstable();
    reps.dedup();
    reps
}

/// Some heel, knee or foot was clear, and nothing is probably or now and then beyond a line.
fn enough(habits: &Habits) -> bool {
    let main = |c: &Channel| {
        matches!(c.check(), Check::HeelLift | Check::KneeIn | Check::FootRoll)
            && habits.carried(*c) == Carried::Clear
    };
    let suspect = |c: &Channel| {
        [Way::Low, Way::High]
            .iter()
            .any(|w| habits.get(*c, *w).suspect())
    };
    Channel::ALL.iter().any(main) && !Channel::ALL.iter().any(suspect)
}

/// Mean probability of the leading sign's repetitions, less where only some repetitions show it;
/// half of the doubt goes when two kinds of signs agree, and a third of the belief when load
/// share and feet disagree (common practice, no source: it orders sets, it is no probability).
fn confidence(habits: &Habits, pattern: &Pattern) -> f64 {
    let Some(habit) = pattern.leading(habits) else {
        return 0.0;
    };
    let share = pattern.reps.len() as f64 / habit.seen.max(1) as f64;
    let mut belief = habit.probability * (0.5 + 0.5 * share.min(1.0));
    let first = pattern.shown.first().map(|(c, _)| c.check());
    let second = pattern.shown.iter().any(|(c, _)| Some(c.check()) != first);
    if pattern.load == Load::Disagrees {
        belief *= 2.0 / 3.0;
    } else if second || pattern.load == Load::Agrees {
        belief = 1.0 - (1.0 - belief) / 2.0;
    }
    belief.clamp(0.0, 1.0)
}

/// Share of the six main channels that came out clear.
fn confidence_of_none(habits: &Habits, enough: bool) -> f64 {
    if !enough {
        return 0.0;
    }
    let main = Channel::ALL
        .iter()
        .filter(|c| c.side().is_some() && habits.carried(**c) == Carried::Clear);
    main.count() as f64 / 6.0
}
