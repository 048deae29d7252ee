//! Evidence for and against a lift being a squat: lifters also bend down to the camera, which takes the
//! shoulders much farther than the hips and leaves the knees behind.

use super::drop_estimator::Reading;
use std::fmt;

/// A smaller drop is no repetition: half of a quarter squat's (about 60 degrees of knee flexion
/// lower the pelvis by 0.14 of its height; common practice, no source).
/// tuned: `reps`
const LEAST: f64 = 0.085;
/// The same read from the knees, whose travel in the picture may be half of what is thought.
/// tuned: `reps`
const LEAST_KNEES: f64 = 0.06;
/// A smaller drop of the hips is a bow, however far the shoulders go down.
/// tuned: `reps`
const BOWED: f64 = 0.07;
/// A smaller drop with a bend is looking down, or a shrug.
/// tuned: `reps`
pub(crate) const NOD: f64 = 0.115;
/// Lifters stand for so long before they squat, ms.
/// tuned: `reps`
pub(crate) const STOOD_MS: f64 = 450.0;
/// A repetition takes at least this long, ms: 0.5 s down and not much less up, read with noise.
/// tuned: `reps`
const SHORTEST_MS: f64 = 550.0;
/// Knees alone also go forward for a moment when somebody shifts about: what takes no longer than
/// this and goes no deeper is not counted, ms and drop.
/// tuned: `reps`
const FIDGET: (f64, f64) = (1050.0, 0.22);
/// Feet that move by this much, shank lengths, while the knees go no farther than this, step.
/// tuned: `reps`
const STEPPED: (f64, f64) = (0.07, 0.2);
/// Shoulders that have dropped so many times as far as the hips tell of a leaning trunk.
/// tuned: `reps`
const LEANT: f64 = 1.5;
/// A repetition of a smaller pelvis drop is shallow: halfway between a quarter squat (knees bent by up
/// to 70 degrees, which lowers the pelvis by about 0.20) and a half squat (80 to 100 degrees, 0.26 to
/// 0.40). The deepest of noisy samples reads about 0.015 more.
/// tuned: `reps`
pub(crate) const SHALLOW: f64 = 0.25;

/// Hips in sight go down by this share of a drop of at least so much; those seen in standing alone, or
/// in a bend, do not.
/// tuned: `reps`
const LOWERED: (f64, f64) = (0.3, 0.05);

/// The least drop of a repetition, by whether it was read from the body or from the knees.
pub(crate) fn least(body: bool) -> f64 {
    if body { LEAST } else { LEAST_KNEES }
}

/// How long a repetition of this depth takes at least, ms.
pub(crate) fn shortest_ms(body: bool, depth: f64) -> f64 {
    if !body && depth < FIDGET.1 {
        FIDGET.0
    } else {
        SHORTEST_MS
    }
}

/// What was seen during one dip.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct LiftEvidence {
    /// Drop of the hips and of the shoulders when the shoulders were lowest with both in sight, and
    /// the shoulders' largest.
    hips: f64,
    shoulders: f64,
    most: f64,
    /// Largest movement of the knees, shank lengths.
    knees: f64,
    knees_seen: u32,
    hips_seen: bool,
    /// Frames near the bottom with a hand below the knees, and all of them.
    low_hands: u32,
    deep_frames: u32,
    frames: u32,
    feet_seen: u32,
    /// Frames that show the feet but nothing to read a drop from.
    unread: u32,
    /// Farthest that the feet were from their place, shank lengths.
    away: f64,
}

impl LiftEvidence {
    /// Takes one frame of the dip.
    pub fn add(&mut self, reading: &Reading, deep: bool, feet_seen: bool, away: f64) {
        self.frames += 1;
        self.away = self.away.max(away);
        self.feet_seen += u32::from(feet_seen);
        if let Some([h, s]) = reading.both
            && s > self.shoulders
        {
            (self.shoulders, self.hips) = (s, h);
        }
        if let (Some(hips), Some((drop, _))) = (reading.hips, reading.drop) {
            self.hips_seen |= drop > LOWERED.1 && hips > LOWERED.0 * drop;
        }
        self.most = self.most.max(reading.shoulders.unwrap_or(0.0));
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
        self.knees_seen * 2 > self.frames && self.knees < 0.02
    }

    /// The shoulders stayed up, which they do not when the hips go down: one has gone astray.
    pub fn apart(&self) -> bool {
        self.shoulders + 0.01 < 0.6 * self.hips
    }

    /// The body bent forward rather than down: squats lower the shoulders by 1.2 to 1.7 times the
    /// hips' drop, shallow ones with an early lean by up to 2.6.
    pub fn bent(&self) -> bool {
        let hips = self.hips.max(0.0);
        let reach = self.reached() && self.shoulders > 2.0 * hips;
        self.shoulders > 2.7 * hips + 0.06 || reach && hips < 0.25
    }

    /// Went down far enough to be a repetition and leant on the way, which walking does not.
    pub fn leant(&self, deepest: f64) -> bool {
        deepest >= LEAST && self.shoulders > LEANT * self.hips
    }

    /// The feet were in the picture for long enough to say that they were planted.
    pub fn feet(&self) -> bool {
        self.feet_seen * 3 >= self.frames
    }

    /// The hips were seen to go down.
    pub fn hips_seen(&self) -> bool {
        self.hips_seen
    }

    /// A frame without a reading.
    pub fn miss(&mut self) {
        self.unread += 1;
    }

    /// Drop of the hips at the bottom; where plates hid them on the way, as much as the shoulders
    /// went on from there.
    pub fn hips(&self) -> Option<f64> {
        let on = self.most / self.shoulders.max(1e-3);
        (self.bent() || self.hips > 0.0).then_some(self.hips * on.max(1.0))
    }

    /// The hips went down less than in any repetition: only what is above them did.
    pub fn bowed(&self) -> bool {
        self.hips().is_some_and(|hips| hips < BOWED)
    }

    /// The feet moved as much as the knees say.
    pub fn stepped(&self, deepest: f64) -> bool {
        self.away > STEPPED.0 && deepest < STEPPED.1
    }

    /// A third was guessed rather than read.
    pub fn guessed(&self) -> bool {
        self.unread * 2 > self.frames
    }

    /// The hands reached for the floor.
    fn reached(&self) -> bool {
        self.low_hands * 2 > self.deep_frames
    }
}

impl fmt::Display for LiftEvidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "hips {:.2} with shoulders {:.2}, knees {:.2}",
            self.hips, self.shoulders, self.knees
        )
    }
}
