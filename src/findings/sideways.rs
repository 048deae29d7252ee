//! Sideways: what each foot does, where the load goes, and which foot carries.

use super::habit::{Carried, Habits};
use super::pattern::{Foot, Load, Pattern, strongest_first, union};
use crate::gather::Gather;
use crate::keypoints::Side;
use crate::measures::{Channel, Check, Way};
use crate::report::FindingKind;

/// What a foot does sideways.
pub(super) struct Lateral {
    pub inward: bool,
    pub score: f64,
    pub shown: Vec<(Channel, Way)>,
}

impl Lateral {
    /// The stronger of rolling or leaning inward and outward; `None` when neither is shown.
    #[inline(never)]
    pub fn of(habits: &Habits, side: Side) -> Option<Self> {
        let way = |way: Way| {
            let mut shown: Vec<(Channel, Way)> = [Check::FootRoll, Check::KneeIn]
                .map(|c| (Channel::of(c, side), way))
                .into_iter()
                .filter(|(c, w)| habits.get(*c, *w).shown)
                .gather();
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
pub(super) struct Off {
    carrying: Option<Side>,
    score: f64,
    shown: Vec<(Channel, Way)>,
    reps: Vec<usize>,
}

impl Off {
    /// Repetitions to either side count together: a lifter may shift to and fro.
    pub fn of(habits: &Habits) -> Option<Self> {
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

/// One foot out and the other in, or the load off the middle: one pattern, with the foot that
/// carries, by load share where that tells and by the feet otherwise.
pub(super) fn sideways(
    habits: &Habits,
    lateral: &[Option<Lateral>; 2],
    off: Option<&Off>,
) -> Option<Pattern> {
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
    reps.extend(off.iter().flat_map(|o| &o.reps));
    crate::order::each_once(&mut reps);
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
