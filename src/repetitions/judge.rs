//! Which dips are repetitions.
//!
//! Lifters dip while they take the bar out of the rack and put it back, and bend down to the
//! camera. Geometry tells most of these: a bend takes the shoulders much farther than the hips and
//! leaves the knees behind. A dip under the bar is a very shallow squat; what tells it is that it
//! comes alone and the lifter walks away from where it was done.

use super::phase::Repetition;
use super::signal::Reading;
use glam::DVec2;
use std::fmt;

/// A smaller drop is no repetition: half of a quarter squat's (about 60 degrees of knee flexion
/// lower the pelvis by 0.14 of its height; common practice, no source).
pub(crate) const LEAST: f64 = 0.085;
/// Shallow dips that come alone before a walk are dips under the bar, not repetitions.
const DIP: f64 = 0.17;
/// The same after repetitions were done elsewhere, and for bends.
const LATE_DIP: f64 = 0.22;
const BEND: f64 = 0.22;
/// A walk this soon after a dip belongs to it, ms.
const SOON_MS: f64 = 6000.0;
/// Lifters stand for so long before they squat, ms.
pub(crate) const STOOD_MS: f64 = 450.0;
/// A repetition takes at least this long, ms: 0.5 s down and not much less up, read with noise.
pub(crate) const SHORTEST_MS: f64 = 550.0;
/// Walking is moving by more than this, shank lengths; setting the feet anew is less.
const WALKED: f64 = 0.3;
/// Distance of the camera, shank lengths: how much a change of size means along the line of sight.
const CAMERA_AWAY: f64 = 7.0;
/// Above this pelvis drop a repetition is shallow: between the flexion bands of a quarter squat
/// (up to 70 degrees, drop about 0.2) and a half squat (80 to 100 degrees, about 0.25 to 0.35).
pub(crate) const SHALLOW: f64 = 0.27;

/// What was seen during one dip.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Evidence {
    /// Largest drop of the hips, and of the shoulders.
    hips: f64,
    shoulders: f64,
    /// Largest movement of the knees, shank lengths.
    knees: f64,
    knees_seen: u32,
    /// Frames near the bottom with a hand below the knees, and all of them.
    low_hands: u32,
    deep_frames: u32,
    frames: u32,
    feet_seen: u32,
}

impl Evidence {
    /// Takes one frame of the dip.
    pub fn add(&mut self, reading: &Reading, deep: bool, feet_seen: bool) {
        self.frames += 1;
        self.feet_seen += u32::from(feet_seen);
        if let (Some(h), Some(s)) = (reading.hips, reading.shoulders)
            && s > self.shoulders
        {
            self.shoulders = s;
            self.hips = h;
        }
        if let Some(k) = reading.knees {
            self.knees_seen += 1;
            self.knees = self.knees.max(k);
        }
        if deep {
            self.deep_frames += 1;
            self.low_hands += u32::from(reading.hands_low);
        }
    }

    /// The knees did not bend.
    pub fn stiff(&self) -> bool {
        self.knees_seen * 2 > self.frames && self.knees < 0.03
    }

    /// The body bent forward rather than down: squats lower the shoulders by 1.2 to 1.7 times the
    /// hips' drop, very bent ones by up to 3.
    pub fn bent(&self) -> bool {
        let hips = self.hips.max(0.0);
        let reach = self.reached() && self.shoulders > 2.0 * hips;
        self.shoulders > 2.1 * hips + 0.06 || reach && hips < 0.25
    }

    /// The feet were in the picture for long enough to say that they were planted.
    pub fn feet(&self) -> bool {
        self.feet_seen * 3 >= self.frames
    }

    /// The hands reached for the floor.
    fn reached(&self) -> bool {
        self.low_hands * 2 > self.deep_frames
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "hips {:.2} with shoulders {:.2}, knees {:.2}",
            self.hips, self.shoulders, self.knees
        )
    }
}

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
        self.drop * self.stood_ms.clamp(200.0, 1500.0)
    }
}

/// The repetitions done at one station, as far as withdrawing them may be needed.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Station {
    place: Option<Place>,
    only: Option<(Repetition, Candidate)>,
    count: usize,
    deepest: f64,
    /// Repetitions were counted at an earlier station, and how deep the deepest went.
    reps_before: bool,
    usual: f64,
    /// The withdrawn dip that looks most like a repetition.
    dip: Option<(Repetition, Candidate)>,
}

impl Station {
    /// Nothing was counted here yet.
    pub fn fresh(&self) -> bool {
        self.count == 0
    }

    /// The lifter walked from here to `place`.
    pub fn left_for(&self, place: &Place) -> bool {
        self.place.is_some_and(|p| p.walked(place))
    }

    /// A repetition was counted here.
    pub fn add(&mut self, rep: Repetition, candidate: Candidate, place: Option<Place>) {
        self.count += 1;
        self.place = self.place.or(place);
        let drop = candidate.drop;
        let late = LATE_DIP.max(0.55 * self.usual);
        let dip = drop < DIP || self.reps_before && drop < late || candidate.bent && drop < BEND;
        self.deepest = self.deepest.max(drop);
        self.only = (self.count == 1 && dip).then_some((rep, candidate));
    }

    /// The lifter walked away at `t_ms`, or (not `walked`) the recording ends. Whether the only
    /// repetition here was none.
    pub fn leave(&mut self, t_ms: f64, walked: bool) -> bool {
        let dip = self
            .only
            .filter(|(r, _)| t_ms - r.end_ms < SOON_MS && (walked || self.reps_before));
        let rather = |a: (Repetition, Candidate), b: (Repetition, Candidate)| {
            if b.1.likeness() > a.1.likeness() {
                b
            } else {
                a
            }
        };
        let reps = self.count > usize::from(dip.is_some());
        *self = Self {
            reps_before: self.reps_before || reps,
            usual: if reps {
                self.usual.max(self.deepest)
            } else {
                self.usual
            },
            dip: dip.into_iter().chain(self.dip).reduce(rather),
            ..Self::default()
        };
        dip.is_some()
    }

    /// The recording is over and holds nothing but dips: the likeliest was the set. Whether the
    /// last one counted was not it, and the one that was if it had been withdrawn.
    pub fn spare(&mut self) -> (bool, Option<Repetition>) {
        let Some((rep, dip)) = self.dip.take().filter(|_| !self.reps_before) else {
            return (false, None);
        };
        match self.only {
            Some((_, c)) if c.likeness() < dip.likeness() && !dip.bent => (true, Some(rep)),
            None if self.count == 0 && !dip.bent => (false, Some(rep)),
            _ => (false, None),
        }
    }
}

/// Where the lifter stands in the picture, and how large.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    /// Middle between the feet, px.
    pub middle: DVec2,
    /// Pelvis height, px.
    pub height: f64,
    /// Shank length, px.
    pub shank: f64,
}

impl Place {
    /// Whether getting from here to `other` takes walking.
    pub fn walked(&self, other: &Self) -> bool {
        let shank = (self.shank * other.shank).max(1.0).sqrt();
        let across = (self.middle - other.middle).length() / shank;
        let toward = CAMERA_AWAY * (self.height / other.height.max(1.0)).max(1e-3).ln().abs();
        across.hypot(toward) > WALKED
    }
}
