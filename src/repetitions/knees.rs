//! Travel of the knees over the feet, when nothing above them is seen.
//!
//! Both knees' displacements in the picture are read together. The direction in which a squat takes them
//! follows from where the feet point and stand, and is learned better from the lifts themselves. What both
//! knees do sideways alike, seen from the front, is sway.

use super::feet::gain;
use crate::keypoints::{Part, Side};
use crate::pose::Pose;
use glam::DVec2;

type Pair = [Option<DVec2>; 2];

/// The knees' movement against standing.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct KneeTravel {
    /// Smoothed movement by side, shank lengths.
    moved: Pair,
    t_ms: Option<f64>,
    /// Expected displacement for a travel of one shank length, by side: from the feet, and learned.
    expected: [DVec2; 2],
    learned: [DVec2; 2],
    lifts: f64,
    /// Nobody knows which way forward is.
    unknown: bool,
    /// Movement that sideways sway of one shank length shows.
    sway: f64,
    /// Sums over the lift under way: movement times travel, and travel squared.
    sum: [DVec2; 2],
    travel: f64,
}

/// Time constant of the movement, ms.
/// tuned: `reps`
const SMOOTH_MS: f64 = 50.0;
/// Ankles that stand apart by this many shank lengths are seen straight from the front or rear
/// (stances of 0.7 to 1.2).
/// tuned: `reps`
const STANCE: f64 = 0.95;
/// Toe-out where the layout has no feet: sine of 12 degrees, rather too little than too much.
/// tuned: `reps`
const TOE_OUT: f64 = 0.2;
/// Knees that come toward a camera some three shank lengths away move apart in the picture, and
/// away from its horizon; parts of the travel.
/// tuned: `reps`
const WIDER: f64 = 0.14;
const HORIZON: f64 = 0.12;
/// The leaning shank lowers the knee by half the square of the travel; about this part of it.
/// tuned: `reps`
const LOWER: f64 = 0.17;
/// Errors of a knee's place, of sway and of travel, SD, shank lengths.
/// tuned: `reps`
const NOISE: f64 = 0.012;
const SWAY: f64 = 0.03;
const RANGE: f64 = 0.4;
/// Travel from which on a lift tells its way.
/// tuned: `reps`
const TELLING: f64 = 0.22;

/// Pelvis drop of a full squat in open data (0.535), and the knees' travel in it (shank's lean 27
/// to 30 degrees beyond standing).
/// measured: UI-PRMD squats, tests/data/ui-prmd
const FULL: (f64, f64) = (0.535, 0.45);
/// The drop goes with the knees' travel to this power: at a fifth of the drop the knees have made
/// 0.35 to 0.6 of their way in UI-PRMD, which is a power between 1.5 and 3.2; with noise a smaller
/// one does better.
/// tuned: `reps`, below the range measured in UI-PRMD
const POWER: f64 = 1.4;

impl KneeTravel {
    /// Sets what standing tells: ankles and feet's directions in the picture, px, and the shank's
    /// length.
    pub fn stand(&mut self, ankles: Pair, feet: [Option<f64>; 2], shank: f64) {
        // Left ankle to the right in the picture: the lifter faces the camera.
        let apart = match ankles {
            [Some(a), Some(b)] => ((a.x - b.x) / shank.max(1.0) / STANCE).clamp(-1.0, 1.0),
            _ => 0.0,
        };
        self.sway = apart.abs();
        self.unknown = feet == [None, None] && self.sway < 0.5;
        let across = (1.0 - apart * apart).sqrt();
        for (k, expected) in self.expected.iter_mut().enumerate() {
            let outward = if k == 0 { 1.0 } else { -1.0 };
            let point = feet[k].unwrap_or(outward * apart.signum() * TOE_OUT);
            // Facing the camera, forward is nearer.
            let x = point + outward * apart * apart.abs() * WIDER;
            let y = LOWER - apart * HORIZON + 0.3 * LOWER * across;
            *expected = DVec2::new(x, y);
        }
    }

    /// Expected displacement for a travel of one shank length, by side; `None` when nothing determines
    /// it.
    pub fn expected(&self) -> Option<[DVec2; 2]> {
        (!self.unknown).then_some(self.expected)
    }

    /// Forgets what was learned: the lifter has gone elsewhere.
    pub fn forget(&mut self) {
        *self = Self::default();
    }

    /// Takes the knees' movement of one frame, shank lengths; gives their travel.
    pub fn push(&mut self, moved: Pair, t_ms: f64) -> Option<f64> {
        let dt = self.t_ms.map_or(0.0, |t| t_ms - t);
        self.t_ms = Some(t_ms);
        let share = gain(dt, SMOOTH_MS);
        for (at, now) in self.moved.iter_mut().zip(moved) {
            *at = match (*at, now) {
                (Some(p), Some(q)) => Some(p + share * (q - p)),
                (None, q) => q,
                (p, None) => p,
            };
        }
        moved
            .iter()
            .any(Option::is_some)
            .then(|| self.read())
            .flatten()
    }

    /// Least squares for travel and sway, with what is known of both beforehand.
    #[inline(never)]
    fn read(&self) -> Option<f64> {
        let learned_share = self.lifts / (self.lifts + 0.5);
        let direction = [0, 1].map(|k| self.expected[k].lerp(self.learned[k], learned_share));
        let (mut with, mut square, mut sway, mut both, mut n) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (moved, direction) in self.moved.iter().zip(direction) {
            if let Some(moved) = moved {
                with += moved.dot(direction);
                square += direction.length_squared();
                sway += moved.x * self.sway;
                both += direction.x * self.sway;
                n += self.sway * self.sway;
            }
        }
        if self.unknown && self.lifts == 0.0 {
            // From the side, and nobody knows which: any movement counts.
            let far = self.moved.iter().flatten().map(|m| m.length());
            return far.reduce(f64::max);
        }
        let off = SWAY * SWAY / (NOISE * NOISE + SWAY * SWAY * n);
        let square = square - off * both * both + (NOISE / RANGE).powi(2);
        (square > 1e-6).then(|| (with - off * both * sway) / square)
    }

    /// A lift begins.
    pub fn begin(&mut self) {
        (self.sum, self.travel) = ([DVec2::ZERO; 2], 0.0);
    }

    /// A frame near the bottom.
    pub fn deep(&mut self, travel: f64) {
        if let [Some(a), Some(b)] = self.moved {
            self.sum[0] += a * travel;
            self.sum[1] += b * travel;
            self.travel += travel * travel;
        }
    }

    /// The lift counts: its way is the next one's when it went far enough to tell.
    pub fn end(&mut self, travel: f64) {
        if self.travel <= 0.0 || travel < TELLING {
            return;
        }
        self.lifts = (self.lifts + 1.0).min(6.0);
        for (direction, sum) in self.learned.iter_mut().zip(self.sum) {
            *direction += (sum / self.travel - *direction) / self.lifts;
        }
    }
}

/// Both knees', or ankles', places.
pub(super) fn pair(pose: &Pose, part: Part) -> Pair {
    Side::BOTH.map(|side| pose.of(part, side))
}

/// The drop for a travel of the knees.
pub(super) fn drop_of_travel(travel: f64) -> f64 {
    FULL.0 * power(travel.abs() / FULL.1, POWER).copysign(travel)
}

/// The knees' travel for a drop.
pub(super) fn travel(drop: f64) -> f64 {
    FULL.1 * power(drop.abs() / FULL.0, 1.0 / POWER).copysign(drop)
}

/// `x` to a power, without the code of the general one: 0 stays 0.
fn power(x: f64, exponent: f64) -> f64 {
    libm::exp(exponent * libm::log(x))
}
