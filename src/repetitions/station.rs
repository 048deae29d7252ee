//! Which dips are repetitions, by where they are done.
//!
//! Lifters dip while they take the bar out of the rack and put it back. Such a dip is a very
//! shallow squat; what tells it is that it comes alone and the lifter walks away from where it was
//! done.

use super::phase::Repetition;
use glam::DVec2;

/// Shallow dips that come alone before a walk are dips under the bar, not repetitions.
const DIP: f64 = 0.22;
/// A walk this soon after a dip belongs to it, ms.
const SOON_MS: f64 = 6000.0;
/// Walking is moving by more than this, shank lengths; setting the feet anew is less.
pub(crate) const WALKED: f64 = 0.33;
/// ... and so is a shank that looks longer or shorter by this much.
pub(crate) const GROWN: f64 = 0.06;
/// A dip under the bar is done this far from where the repetitions were done, shank lengths.
const ELSEWHERE: f64 = 0.2;
/// Lengths in the picture are this uncertain.
const LENGTH_NOISE: f64 = 0.025;
/// One of two lengths that has changed by less than this has not.
const ALONE: f64 = 0.015;
/// Distance of the camera, shank lengths: how much a change of size means along the line of sight.
const CAMERA_AWAY: f64 = 7.0;
/// A bend that lowers the hips by this many times as much as the squats is one of them.
const DEEPER: f64 = 1.5;
/// Dips kept for the case that one of them was the whole set.
const DIPS: usize = 4;

/// A repetition no deeper than this, read from the knees alone, may have been shifting about ...
const SMALL: f64 = 0.125;
/// ... when the next is so many times as deep.
const OVERSHADOWS: f64 = 3.0;

/// What speaks for a counted repetition and against it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Candidate {
    /// Pelvis drop.
    pub drop: f64,
    /// Stood quietly for so long before, ms.
    pub stood_ms: f64,
    /// Bent forward rather than down.
    pub bent: bool,
}

impl Candidate {
    /// More for a deeper one after quiet standing; only good for comparing.
    fn likeness(&self) -> f64 {
        self.drop * self.stood_ms.clamp(400.0, 1500.0)
    }
}

/// A lone shallow dip, and where it was done.
#[derive(Clone, Copy, Debug)]
struct Dip {
    rep: Repetition,
    candidate: Candidate,
    place: Place,
    /// At which station, in order.
    at: usize,
}

/// The repetitions done at one station, as far as withdrawing them may be needed.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Station {
    place: Option<Place>,
    only: Option<Dip>,
    count: usize,
    /// The deepest repetition's drop, and where it was done.
    deepest: f64,
    there: Option<Place>,
    /// Where repetitions were counted at an earlier station, and how deep the deepest went.
    before: Option<Place>,
    usual: f64,
    /// How many of the first repetitions here were small, read from the knees, and the largest.
    small: (usize, f64),
    /// How many stations there were before.
    at: usize,
    /// The withdrawn dips, in order.
    dips: [Option<Dip>; DIPS],
    /// Stations of dips too small to be anything else.
    slight: [Option<(usize, Place)>; DIPS],
}

impl Station {
    /// Nothing was counted here yet.
    pub fn fresh(&self) -> bool {
        self.count == 0
    }

    /// Nothing was counted here yet, but elsewhere before.
    pub fn after(&self) -> bool {
        self.fresh() && self.before.is_some()
    }

    /// The lifter walked from here to `place`.
    pub fn left_for(&self, place: &Place) -> bool {
        self.place.is_some_and(|p| p.walked(place))
    }

    /// A repetition was counted here.
    pub fn add(&mut self, rep: Repetition, candidate: Candidate, place: Place) {
        self.count += 1;
        self.place = self.place.or(Some(place));
        let drop = candidate.drop;
        let dip = drop < DIP || self.before.is_some() && drop < 0.55 * self.usual;
        if drop > self.deepest {
            (self.deepest, self.there) = (drop, Some(place));
        }
        let dip = (self.count == 1 && dip).then_some(Dip {
            rep,
            candidate,
            place,
            at: self.at,
        });
        self.only = dip;
    }

    /// A dip too small to be a repetition was done here.
    pub fn dipped(&mut self, place: Place) {
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
        let elsewhere = |d: &Dip| self.before.is_none_or(|b| b.moved(&d.place) > ELSEWHERE);
        self.only
            .filter(|d| t_ms - d.rep.end_ms < SOON_MS && elsewhere(d))
    }

    /// The lifter walked away at `t_ms`. Whether the only repetition here was none.
    pub fn leave(&mut self, t_ms: f64) -> bool {
        let dip = self.dip(t_ms);
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
        dip.is_some()
    }

    /// The recording ends at `t_ms`. Whether the last repetition was none, and what has to be
    /// counted instead: when it holds nothing but dips, the likeliest of them was the set.
    pub fn close(&self, t_ms: f64) -> (bool, Option<Repetition>) {
        if self.before.is_some() {
            return (self.dip(t_ms).is_some(), None);
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
        match (best, self.only) {
            (Some((_, b)), Some(only)) if b.rep == only.rep => (false, None),
            (Some((_, b)), only) => (only.is_some(), Some(b.rep)),
            (None, _) => (false, None),
        }
    }
}

/// Where the lifter stands in the picture, and how large.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    /// Places of the feet, px.
    pub feet: [Option<DVec2>; 2],
    /// Pelvis height, px.
    pub height: f64,
    /// Shank length, px.
    pub shank: f64,
}

impl Place {
    /// Mean movement of the feet to `other`, shank lengths.
    pub fn way(&self, other: &Self) -> DVec2 {
        let (mut sum, mut n) = (DVec2::ZERO, 0.0);
        for (a, b) in self.feet.iter().zip(other.feet) {
            if let (Some(a), Some(b)) = (a, b) {
                sum += b - *a;
                n += 1.0;
            }
        }
        if n == 0.0 {
            return DVec2::ZERO;
        }
        sum / n / (self.shank * other.shank).max(1.0).sqrt()
    }

    /// Its length.
    pub fn across(&self, other: &Self) -> f64 {
        self.way(other).length()
    }

    /// Whether getting from here to `other` takes walking.
    pub fn walked(&self, other: &Self) -> bool {
        self.moved(other) > WALKED
    }

    /// How far it is from here to `other`, shank lengths.
    pub fn moved(&self, other: &Self) -> f64 {
        // Pelvis and shank tell alike; one of them alone is an error.
        let (a, b) = (
            ratio(self.height, other.height),
            ratio(self.shank, other.shank),
        );
        let size = (2.0 * a + b).abs() / 3.0;
        let toward = if (a * b).signum() * a.abs().min(b.abs()) > ALONE && size > LENGTH_NOISE {
            CAMERA_AWAY * size
        } else {
            0.0
        };
        crate::angle::hypot(self.across(other), toward)
    }
}

/// Change of a length in the picture, as a logarithm without its sign.
pub(crate) fn grown(from: f64, to: f64) -> f64 {
    ratio(from, to).abs()
}

fn ratio(from: f64, to: f64) -> f64 {
    libm::log(from.max(1.0) / to.max(1.0))
}
