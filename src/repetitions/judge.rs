//! Which dips are repetitions.
//!
//! Lifters dip while they take the bar out of the rack and put it back, and bend down to the
//! camera. Geometry tells most of these: a bend takes the shoulders much farther than the hips and
//! leaves the knees behind. A dip under the bar is a very shallow squat; what tells it is that it
//! comes alone and the lifter walks away from where it was done.

use super::signal::Reading;
use glam::DVec2;

/// A smaller drop is no repetition: half of a quarter squat's (about 60 degrees of knee flexion
/// lower the pelvis by 0.14 of its height; common practice, no source).
pub(crate) const LEAST: f64 = 0.085;
/// Shallow dips that come alone before a walk are dips under the bar, not repetitions.
const DIP: f64 = 0.17;
/// A walk this soon after a dip belongs to it, ms.
const SOON_MS: f64 = 4000.0;
/// Lifters stand for so long before they squat, ms.
const STOOD_MS: f64 = 450.0;
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

    /// The body bent forward rather than down. `stood_ms`: stood quietly for so long before.
    pub fn bent(&self, stood_ms: f64) -> bool {
        let hips = self.hips.max(0.0);
        // Squats lower the shoulders by 1.2 to 1.7 times the hips' drop, very bent ones by up to 3;
        // bending to the camera follows on the last step, a squat on a moment of standing.
        let steep = if stood_ms < STOOD_MS { 2.1 } else { 3.2 };
        let trunk = self.shoulders > steep * hips + 0.06;
        let stiff = self.knees_seen * 2 > self.frames && self.knees < 0.03;
        let reach = hips < 0.25 && self.reached() && self.shoulders > 2.0 * hips;
        trunk || stiff || reach && stood_ms < STOOD_MS
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

/// The repetitions done at one station, as far as withdrawing them may be needed.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Station {
    count: usize,
    deepest: f64,
    last_end_ms: f64,
    dips_before: bool,
    reps_before: bool,
}

impl Station {
    /// A repetition was counted here.
    pub fn add(&mut self, drop: f64, end_ms: f64) {
        self.count += 1;
        self.deepest = self.deepest.max(drop);
        self.last_end_ms = end_ms;
    }

    /// The lifter walks away at `t_ms`, or (not `walked`) the recording ends: how many of the
    /// repetitions here were none.
    pub fn leave(&mut self, t_ms: f64, walked: bool) -> usize {
        let alone = self.count > 0 && self.count <= 2 && self.deepest < DIP;
        let soon = t_ms - self.last_end_ms < SOON_MS;
        // Dips were already seen and repetitions not yet: this is the set, however shallow.
        let the_set = self.dips_before && !self.reps_before;
        let dips = alone && soon && !the_set && (walked || self.reps_before);
        let none = if dips { self.count } else { 0 };
        *self = Self {
            dips_before: self.dips_before || none > 0,
            reps_before: self.reps_before || self.count > none,
            ..Self::default()
        };
        none
    }

    /// Nothing was counted here yet.
    pub fn fresh(&self) -> bool {
        self.count == 0
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
