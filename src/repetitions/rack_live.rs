//! Rack dips while the set goes on, told from repetitions by where they are done.
//!
//! Lifters dip while they take the bar out of the rack and put it back. Such a dip is a very shallow squat;
//! it comes alone, and the lifter walks away from where it was done.

use super::evidence::STOOD_MS;
use super::phase::Repetition;
use super::position::Position;

/// Dips that come alone before a walk are dips under the bar, not repetitions, when they are no deeper
/// than a bar has to sink to leave the hooks (about 12 cm, common practice, no source), read with
/// errors ...
/// tuned: `reps`
const HOOKS: f64 = 0.18;
/// ... and after the set, done elsewhere, when they are no deeper than this, or than this share of
/// the set's deepest.
/// tuned: `reps`
const DIP: f64 = 0.22;
const SHARE: f64 = 0.55;
/// A first one this small is told only when it is clear that it was none: quarter squats bend the
/// knees by 40 to 70 degrees (facts: bands of included knee angles, and of flexion), and the pelvis
/// sinks by this at 52, with the shank leaning by 23 and the thigh by 29.
/// tuned: `reps`
const SMALLEST: f64 = 0.10;
/// Nobody dips under a bar for so long, ms.
/// tuned: `reps`
pub(super) const LONGEST_MS: f64 = 4000.0;
/// A walk this soon after a dip belongs to it, ms.
/// tuned: `reps`
const SOON_MS: f64 = 6000.0;
/// A dip under the bar is done this far from where the repetitions were done, shank lengths.
/// tuned: `reps`
const ELSEWHERE: f64 = 0.2;
/// A bend that lowers the hips by this many times as much as the squats is one of them.
/// tuned: `reps`
const DEEPER: f64 = 1.5;
/// Dips kept for the case that one of them was the whole set.
/// tuned: `reps`
const DIPS: usize = 4;

/// A repetition no deeper than this, read from the knees alone, may have been shifting about ...
/// tuned: `reps`
const SMALL: f64 = 0.125;
/// ... when the next is so many times as deep.
/// tuned: `reps`
const OVERSHADOWS: f64 = 3.0;

/// What speaks for a counted repetition and against it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DipEvidence {
    /// Pelvis drop.
    pub drop: f64,
    /// Stood quietly for so long before, ms.
    pub stood_ms: f64,
    /// Bent forward rather than down.
    pub bent: bool,
}

impl DipEvidence {
    /// More for a deeper one after quiet standing; only good for comparing.
    fn likeness(&self) -> f64 {
        self.drop * self.stood_ms.clamp(400.0, 1500.0)
    }
}

/// A lone shallow dip, and where it was done.
#[derive(Clone, Copy, Debug)]
struct Dip {
    rep: Repetition,
    candidate: DipEvidence,
    place: Position,
    /// At which station, in order.
    at: usize,
    /// Not told yet.
    held: bool,
}

/// The repetitions done at one station, as far as withdrawing them may be needed.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct RackWatch {
    place: Option<Position>,
    only: Option<Dip>,
    count: usize,
    /// The deepest repetition's drop, and where it was done.
    deepest: f64,
    there: Option<Position>,
    /// Where repetitions were counted at an earlier station, and how deep the deepest went.
    before: Option<Position>,
    usual: f64,
    /// How many of the first repetitions here were small, read from the knees, and the largest.
    small: (usize, f64),
    /// How many stations there were before.
    at: usize,
    /// The withdrawn dips, in order.
    dips: [Option<Dip>; DIPS],
    /// Stations of dips too small to be anything else.
    slight: [Option<(usize, Position)>; DIPS],
}

impl RackWatch {
    /// Nothing was counted here yet.
    pub fn fresh(&self) -> bool {
        self.count == 0
    }

    /// Nothing was counted here yet, but elsewhere before.
    pub fn after(&self) -> bool {
        self.fresh() && self.before.is_some()
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

    /// A repetition was counted here. Gives the one that was held back until now, and this one
    /// unless it is held back itself: it looks like the dip with which the bar goes back.
    pub fn add(
        &mut self,
        rep: Repetition,
        candidate: DipEvidence,
        place: Position,
    ) -> [Option<Repetition>; 2] {
        let before = self.held();
        self.count += 1;
        self.place = self.place.or(Some(place));
        let drop = candidate.drop;
        if drop > self.deepest {
            (self.deepest, self.there) = (drop, Some(place));
        }
        let dip = match self.before {
            Some(_) => drop < DIP || drop < SHARE * self.usual,
            // Whoever squats at once and walks away bent down to the camera.
            None => drop < HOOKS || candidate.stood_ms < STOOD_MS,
        };
        let mut one = Dip {
            rep,
            candidate,
            place,
            at: self.at,
            held: false,
        };
        let alone = self.count == 1 && dip && rep.end_ms - rep.start_ms < LONGEST_MS;
        one.held = alone
            && rep.depth.is_some()
            && (drop < SMALLEST || self.before.is_some())
            && self.elsewhere(&one);
        self.only = alone.then_some(one);
        [before, Some(rep).filter(|_| !one.held)]
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

    /// A dip too small to be a repetition was done here.
    pub fn dipped(&mut self, place: Position) {
        self.place = self.place.or(Some(place));
        if let Some(slot) = self.slight.iter_mut().find(|s| s.is_none()) {
            *slot = Some((self.at, place));
        }
    }

    /// The next repetition here goes down to `depth`: how many of the last ones were no more than
    /// shifting about, of which the knees alone tell little.
    pub fn overshadowed(&mut self, depth: f64, body: bool) -> usize {
        let none = if body || depth < OVERSHADOWS * self.small.1 || self.small.0 < self.count {
            0
        } else {
            self.small.0
        };
        self.count -= none;
        let (n, most) = if none > 0 { (0, 0.0) } else { self.small };
        self.small = if !body && depth < SMALL && n == self.count {
            (n + 1, most.max(depth))
        } else {
            (n, most)
        };
        none
    }

    /// The only repetition here, as far as it may have been a dip under the bar: the lifter walks
    /// away soon, and repetitions before it were done elsewhere.
    fn dip(&self, t_ms: f64) -> Option<Dip> {
        self.only
            .filter(|d| t_ms - d.rep.end_ms < SOON_MS && self.elsewhere(d))
    }

    fn elsewhere(&self, dip: &Dip) -> bool {
        self.before.is_none_or(|b| b.moved(&dip.place) > ELSEWHERE)
    }

    /// The lifter walked away at `t_ms`, to `place`. Whether the only repetition here, which had been
    /// told, was none.
    pub fn leave(&mut self, t_ms: f64, place: &Position) -> bool {
        let dip = self.dip(t_ms).filter(|d| !self.back(d, place));
        let reps = self.count > usize::from(dip.is_some());
        let mut dips = self.dips;
        if let (Some(dip), Some(slot)) = (dip, dips.iter_mut().find(|d| d.is_none())) {
            *slot = Some(dip);
        }
        let (deepest, place) = if reps {
            (self.deepest, self.there)
        } else {
            (0.0, None)
        };
        *self = Self {
            before: place.or(self.before),
            usual: self.usual.max(deepest),
            at: self.at + 1,
            dips,
            slight: self.slight,
            ..Self::default()
        };
        dip.is_some_and(|d| !d.held)
    }

    /// The lifter has gone from `dip` to `place`, back to where a smaller dip was done before: the bar
    /// is put back where it was taken from, and the set lies between.
    fn back(&self, dip: &Dip, place: &Position) -> bool {
        let dips = self.dips.iter().flatten();
        let smaller = dips.filter(|d| d.candidate.likeness() < dip.candidate.likeness());
        let mut racks = smaller
            .map(|d| d.place)
            .chain(self.slight.iter().flatten().map(|s| s.1));
        self.before.is_none() && racks.any(|rack| rack.walked(&dip.place) && !rack.walked(place))
    }

    /// The recording ends at `t_ms`. Whether the last repetition that was told was none, and what has
    /// to be counted instead: when it holds nothing but dips, the likeliest of them was the set.
    pub fn close(&self, t_ms: f64) -> (bool, Option<Repetition>) {
        if self.before.is_some() {
            let dip = self.dip(t_ms);
            let none = dip.is_some_and(|d| !d.held);
            return (none, self.held().filter(|_| dip.is_none()));
        }
        if self.count > 0 && self.only.is_none() {
            return (false, None);
        }
        let mut best: Option<(f64, Dip)> = None;
        let all = || self.dips.iter().flatten().chain(&self.only);
        let squat = all().filter(|d| !d.candidate.bent);
        let deepest = squat.map(|d| d.candidate.drop).fold(0.0, f64::max);
        // Next to squats a bend has to go much deeper.
        let enough = |d: &Dip| !d.candidate.bent || d.candidate.drop > DEEPER * deepest;
        for (i, dip) in all().enumerate().filter(|(_, d)| enough(d)) {
            // The bar is put back where it was taken from, and the set lies between.
            let others = all().map(|d| (d.at, d.place));
            let again = others
                .chain(self.slight.iter().flatten().copied())
                .filter(|(at, place)| at.abs_diff(dip.at) > 1 && !place.walked(&dip.place));
            let likeness = dip.candidate.likeness()
                * if again.count() > 0 { 0.3 } else { 1.0 }
                * 1.6_f64.powi(i.min(DIPS) as i32);
            if best.is_none_or(|(b, _)| likeness > b) {
                best = Some((likeness, *dip));
            }
        }
        let told = self.only.filter(|d| !d.held);
        match (best, told) {
            (Some((_, b)), Some(only)) if b.rep == only.rep => (false, None),
            (Some((_, b)), told) => (told.is_some(), Some(b.rep)),
            (None, _) => (false, None),
        }
    }
}
