//! Rack dips at either end of a set, told from repetitions once the set is over.
//!
//! A short walk toward the camera or away may go unnoticed while it happens. In the end a lone shallow dip
//! stands out from the repetitions, and was done elsewhere.

use super::drop_signal::DropSignal;
use super::phase::Repetition;
use super::position::Position;
use super::rack_live::LONGEST_MS;
use super::set_fit::{RepFit, fit_set};
use crate::gather::Gather;

/// Lifts kept; a day has fewer.
/// tuned: to common practice, no source
const KEPT: usize = 4096;
/// A dip is no deeper than this, and than this share of the usual drop.
/// tuned: `reps`
const DIP: f64 = 0.22;
const SHARE: f64 = 0.5;
/// A smaller drop that takes less time is looking down or a shrug, ms.
/// tuned: `reps`
const NOD: f64 = 0.115;
const NOD_MS: f64 = 1050.0;
/// It was done this far from its neighbour, shank lengths; feet are set anew within less.
/// tuned: `reps`
const ELSEWHERE: f64 = 0.2;
/// One of less than this share of the usual drop is told by less of a walk, if there was any.
/// tuned: `reps`
const SLIGHT: f64 = 0.22;
const SLIGHTLY: f64 = 0.04;
/// Next to quarter squats it is no deeper than a bar has to sink to leave the hooks, about 12 cm,
/// and than most of them, and was done farther away.
/// tuned: `reps`
const HOOKS: f64 = 0.15;
const MOST: f64 = 0.9;
const FAR: f64 = 0.3;
/// What was done at more than this share of the way to the rack was done there.
/// tuned: `reps`
const HALF: f64 = 0.5;
/// Standing is looked for as far as this from a repetition, ms.
/// tuned: `reps`
const AROUND_MS: f64 = 3000.0;
/// A walk and standing after it take longer than this, ms.
/// tuned: `reps`
const WALK_MS: f64 = 1200.0;

#[derive(Clone, Copy, Debug)]
struct CountedLift {
    rep: Repetition,
    drop: f64,
    place: Position,
    /// Baseline drift by then, see [`DropSignal`].
    drift: [f64; 2],
}

impl CountedLift {
    /// A dip under the bar by what was done `beside` it and in the set's `usual` repetition; the bar was
    /// taken from the `rack`.
    #[inline(never)]
    fn dip(&self, beside: &Self, rack: Option<Position>, usual: f64) -> bool {
        let between =
            (self.rep.start_ms - beside.rep.end_ms).max(beside.rep.start_ms - self.rep.end_ms);
        // Somebody who talks before the set, or after it, shrugs.
        let ms = self.rep.end_ms - self.rep.start_ms;
        if ms > LONGEST_MS {
            return false;
        }
        if self.drop < NOD.min(SLIGHT * usual) && ms < NOD_MS {
            return true;
        }
        // The bar goes back where it came from.
        let back = rack.map(|rack| {
            let far = beside.place.displacement(&rack);
            beside.place.displacement(&self.place).dot(far) > HALF * far.length_squared()
        });
        let least = if self.drop < SLIGHT * usual {
            SLIGHTLY
        } else if self.drop < DIP.min(SHARE * usual) {
            match back {
                Some(true) => 0.0,
                Some(false) => FAR,
                None => ELSEWHERE,
            }
        } else if self.drop < HOOKS.min(MOST * usual) && back != Some(false) {
            FAR
        } else {
            return false;
        };
        self.place.moved(&beside.place) > least && between > WALK_MS
    }
}

/// The lifts that were counted, with their places.
#[derive(Clone, Debug, Default)]
pub(super) struct CountedLifts(Vec<CountedLift>);

impl CountedLifts {
    /// A lift was counted.
    pub fn add(&mut self, rep: &Repetition, drop: f64, place: Position, drift: [f64; 2]) {
        if self.0.len() < KEPT {
            self.0.push(CountedLift {
                rep: *rep,
                drop,
                place,
                drift,
            });
        }
    }

    fn find(&self, rep: &Repetition) -> Option<&CountedLift> {
        self.0.iter().find(|d| d.rep.start_ms == rep.start_ms)
    }

    /// Finds the instants of `reps` anew, now that what came after each has been seen, and how the
    /// lifter moves.
    pub fn fit_instants(&self, reps: &mut [Repetition], signal: &mut DropSignal) {
        let mut parts = Vec::with_capacity(reps.len());
        let mut before = f64::NEG_INFINITY;
        for i in 0..reps.len() {
            let next = reps.get(i + 1).map_or(f64::INFINITY, |r| r.bottom_ms);
            let Some(rep) = reps.get(i) else { return };
            let from_ms = (rep.start_ms - AROUND_MS).max(before);
            let to_ms = (rep.end_ms + AROUND_MS).min(next);
            before = rep.bottom_end_ms;
            let Some(done) = self.find(rep) else {
                continue;
            };
            parts.push(RepFit::new(
                i,
                rep,
                signal.between(from_ms, to_ms, done.drift),
            ));
        }
        fit_set(&mut parts);
        for part in parts {
            if let (Some(rep), Some(times)) = (reps.get_mut(part.which), part.times) {
                rep.start_ms = times.start_ms;
                rep.bottom_ms = times.bottom_ms;
                rep.bottom_end_ms = times.bottom_end_ms;
                rep.end_ms = times.end_ms;
            }
        }
    }

    /// Where the bar was taken from: the first of `reps`, where it goes down by less than `most` (by
    /// less than `slight`, after less of a walk), or what was taken back before it.
    fn rack(&self, reps: &[CountedLift], most: f64, slight: f64) -> Option<Position> {
        let [first, second, ..] = reps else {
            return None;
        };
        let least = if first.drop < slight {
            SLIGHTLY
        } else {
            ELSEWHERE
        };
        if first.drop < most && first.place.moved(&second.place) > least {
            return Some(first.place);
        }
        let before = self.0.iter().rfind(|d| d.rep.end_ms < first.rep.start_ms);
        let rack = before.map(|d| d.place);
        rack.filter(|rack| rack.moved(&first.place) > ELSEWHERE)
    }

    /// Drops the dips from both ends of `reps`.
    pub fn drop_from(&self, reps: &mut Vec<Repetition>) {
        let mut done = reps.iter().filter_map(|r| self.find(r).copied()).gather();
        if done.len() != reps.len() {
            return;
        }
        let mut drops = done.iter().map(|d| d.drop).gather();
        // Dips at both ends may be more than the repetitions between them.
        let usual = crate::statistics::quantile(&mut drops, 0.75).unwrap_or(0.0);
        let rack = self.rack(&done, DIP.min(SHARE * usual), SLIGHT * usual);
        while let [.., beside, last] = done.as_slice()
            && last.dip(beside, rack, usual)
        {
            done.pop();
            reps.pop();
        }
        while let [first, beside, ..] = done.as_slice()
            && first.dip(beside, None, usual)
        {
            done.remove(0);
            reps.remove(0);
        }
    }
}
