//! Rack dips while the set goes on, told from repetitions by where they are done.
//!
//! Lifters dip while they take the bar out of the rack and put it back. Such a dip is a very shallow squat;
//! it comes alone, and the lifter walks away from where it was done.

use super::evidence::STOOD_MS;
use super::phase::Repetition;
use super::position::Position;
use crate::order::within;

/// Dips that come alone before a walk are dips under the bar, not repetitions, when they are no deeper
/// than a bar has to sink to leave the hooks (about 12 cm, common practice, no source), read with
/// errors ...
/// tuned: `reps`
const HOOKS: f64 = 0.18;
/// ... and after the set, done elsewhere, when they are no deeper than this.
/// tuned: `reps`
const DIP: f64 = 0.22;
/// A first one this small is told only when it is clear that it was none: quarter squats bend the
/// knees by 40 to 70 degrees (facts: bands of included knee angles, and of flexion), and the pelvis
/// sinks by this at 52, with the shank leaning by 23 and the thigh by 29.
/// tuned: `reps`
const SMALLEST: f64 = 0.10;
/// Nobody dips under a bar for so long, ms.
/// tuned: `reps`
pub(super) const LONGEST_MS: f64 = 4000.0;
/// One that may have been a dip is told when no walk follows for so long, ms.
/// tuned: `reps`
const SOON_MS: f64 = 6000.0;
/// A dip under the bar is done this far from where the repetitions were done, shank lengths.
/// tuned: `reps`
const ELSEWHERE: f64 = 0.2;

/// How long somebody stood before tells between these, ms.
/// tuned: `reps`
const TELLS_MS: [f64; 2] = [400.0, 1500.0];

/// A lone shallow dip, and where it was done.
#[derive(Clone, Copy, Debug)]
struct Dip {
    rep: Repetition,
    /// How much it is like a squat: more for a deeper one after quiet standing; only good for comparing.
    likeness: f64,
    place: Position,
    /// Not told yet.
    held: bool,
}

/// The repetitions done at one station, as far as withdrawing them may be needed.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct RackWatch {
    place: Option<Position>,
    /// The only repetition here, as far as it may have been a dip.
    only: Option<Dip>,
    count: usize,
    /// The deepest repetition's drop, and where it was done.
    deepest: f64,
    there: Option<Position>,
    /// Where repetitions were counted at an earlier station.
    before: Option<Position>,
    /// The likeliest squat of the withdrawn dips.
    dip: Option<Dip>,
}

impl RackWatch {
    /// Nothing was counted here yet.
    pub fn fresh(&self) -> bool {
        self.count == 0
    }

    /// The lifter walked from here to `place`.
    pub fn left_for(&self, place: &Position) -> bool {
        self.place.is_some_and(|p| p.walked(place))
    }

    /// How far it is from here to `place`, or from where the last repetitions were counted, shank
    /// lengths.
    pub fn from(&self, place: &Position) -> Option<f64> {
        Some(self.place.or(self.before)?.moved(place))
    }

    /// A repetition of this pelvis `drop` was counted here, after standing for `stood_ms`. Gives the one that
    /// was held back until now, and this one unless it is held back itself: it looks like the dip with which
    /// the bar goes back.
    pub fn add(
        &mut self,
        rep: Repetition,
        drop: f64,
        stood_ms: f64,
        place: Position,
    ) -> [Option<Repetition>; 2] {
        let before = self.held();
        self.count += 1;
        self.place = self.place.or(Some(place));
        if drop > self.deepest {
            (self.deepest, self.there) = (drop, Some(place));
        }
        let dip = match self.before {
            Some(_) => drop < DIP,
            // Whoever squats at once and walks away bent down to the camera.
            None => drop < HOOKS || stood_ms < STOOD_MS,
        };
        let alone = self.count == 1 && dip && rep.end_ms - rep.start_ms < LONGEST_MS;
        let [least, most] = TELLS_MS;
        let mut dip = Dip {
            rep,
            likeness: drop * within(stood_ms, least, most),
            place,
            held: false,
        };
        dip.held = alone && (drop < SMALLEST || self.before.is_some()) && self.elsewhere(&dip);
        self.only = alone.then_some(dip);
        [before, Some(rep).filter(|_| !dip.held)]
    }

    /// The one that is held back.
    fn held(&self) -> Option<Repetition> {
        self.only.filter(|d| d.held).map(|d| d.rep)
    }

    /// Whoever puts the bar back, or takes it out, has walked by now: the one that was held back was
    /// a repetition.
    pub fn overdue(&mut self, t_ms: f64) -> Option<Repetition> {
        let rep = self.held().filter(|rep| t_ms - rep.end_ms > SOON_MS)?;
        self.only = None;
        Some(rep)
    }

    /// The only repetition here, as far as it may have been a dip under the bar: repetitions before it
    /// were done elsewhere.
    fn dip(&self) -> Option<Dip> {
        self.only.filter(|d| self.elsewhere(d))
    }

    fn elsewhere(&self, dip: &Dip) -> bool {
        self.before.is_none_or(|b| b.moved(&dip.place) > ELSEWHERE)
    }

    /// The lifter walked away. Whether the only repetition here, which had been told, was none.
    pub fn leave(&mut self) -> bool {
        let dip = self.dip();
        let reps = self.count > usize::from(dip.is_some());
        *self = Self {
            before: self.there.filter(|_| reps).or(self.before),
            dip: likelier(self.dip, dip),
            ..Self::default()
        };
        dip.is_some_and(|d| !d.held)
    }

    /// The recording ends. Whether the last repetition that was told was none, and what has to be counted
    /// instead: when it holds nothing but dips, the likeliest of them was the set.
    pub fn close(&self) -> (bool, Option<Repetition>) {
        if self.before.is_some() {
            let dip = self.dip();
            let none = dip.is_some_and(|d| !d.held);
            return (none, self.held().filter(|_| dip.is_none()));
        }
        if self.count > 0 && self.only.is_none() {
            return (false, None);
        }
        let told = self.only.filter(|d| !d.held);
        match (likelier(self.dip, self.only), told) {
            (Some(best), Some(only)) if best.rep == only.rep => (false, None),
            (Some(best), told) => (told.is_some(), Some(best.rep)),
            (None, _) => (false, None),
        }
    }
}

/// The likelier squat of two; of equal ones the first.
fn likelier(first: Option<Dip>, second: Option<Dip>) -> Option<Dip> {
    match (first, second) {
        (Some(a), Some(b)) => Some(if b.likeness > a.likeness { b } else { a }),
        _ => first.or(second),
    }
}
