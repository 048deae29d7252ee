//! How far the lifter has gone down, from whatever is seen.
//!
//! Every joint is compared with its own place in standing, so that one that comes or goes
//! (a hidden leg, a plate before the hip) does not move the signal. The camera stands still and
//! the feet are planted, so no ground point is needed and none adds its noise.

use super::feet::gain;
use crate::keypoints::{Joint, Part, Side};
use crate::pose::Pose;
use glam::DVec2;

/// What the drop was read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The hips.
    Hips,
    /// The shoulders.
    Shoulders,
    /// Eyes, ears and nose.
    Head,
    /// The knees (feet and shins only).
    Knees,
}

/// One frame's reading; lengths are fractions of the pelvis' standing height above the ankles.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// Drop of the hips' middle.
    pub hips: Option<f64>,
    /// Drop of the shoulders' middle.
    pub shoulders: Option<f64>,
    /// Drop of the head.
    pub head: Option<f64>,
    /// How far the knees have moved in the picture, shank lengths.
    pub knees: Option<f64>,
    /// How far they have gone forward over the feet, shank lengths.
    pub travel: Option<f64>,
    /// A hand is below the knees.
    pub hands_low: bool,
}

/// Places of the joints in standing, and how the sources compare.
#[derive(Clone, Debug)]
pub(crate) struct Signal {
    at: [Option<DVec2>; Joint::COUNT],
    /// Pelvis height above the ankles, px.
    height: f64,
    /// Shank length, px.
    shank: f64,
    /// Drop of the hips for a drop of 1 of the shoulders, of the head, and for the knees' square.
    gains: [f64; 3],
    learnt: [f64; 3],
    /// What a movement by one shank length along each foot shows sideways, shank lengths.
    along: [Option<f64>; 2],
}

/// Hips drop this part of what the shoulders do (trunk lean of a squat about 40 degrees).
const SHOULDER_GAIN: f64 = 0.82;
/// The same for the head.
const HEAD_GAIN: f64 = 0.78;
/// Drop of a full squat that the knees' movement is scaled to (pelvis drop in open data 0.535).
const FULL: f64 = 0.53;
/// Pelvis height above the ankles over shank length, 2.05 from segment lengths 0.285 and 0.246 of
/// stature for knee and shank (Drillis & Contini 1966).
const PELVIS_PER_SHANK: f64 = 2.0;
/// Heel to big toe over shank length (0.74 of a foot of 0.152 against 0.246 of stature, same).
const FOOT_PER_SHANK: f64 = 0.5;
/// A foot that shows less than this of its length sideways says nothing about the knee's way.
const SHOWS: f64 = 0.12;
/// Forward travel of the knees in a full squat, shank lengths (shank's lean 30 to 35 degrees).
const TRAVEL: f64 = 0.55;

impl Default for Signal {
    fn default() -> Self {
        Self {
            at: [None; Joint::COUNT],
            height: 0.0,
            shank: 0.0,
            gains: [SHOULDER_GAIN, HEAD_GAIN, FULL],
            learnt: [0.0; 3],
            along: [None; 2],
        }
    }
}

impl Signal {
    /// Takes `pose` as standing, whatever came before.
    pub fn anchor(&mut self, pose: &Pose) {
        self.at = [None; Joint::COUNT];
        for joint in Joint::ALL {
            self.at[joint.index()] = pose.at(joint);
        }
        self.measure(pose, 1.0);
    }

    /// Lets the places in standing follow `pose` with the time constant `tau` ms.
    pub fn follow(&mut self, pose: &Pose, dt: f64, tau: f64) {
        let share = gain(dt, tau);
        for joint in Joint::ALL {
            let at = &mut self.at[joint.index()];
            match (&at, pose.at(joint)) {
                (Some(p), Some(q)) => *at = Some(*p + share * (q - *p)),
                (None, Some(q)) => *at = Some(q),
                _ => {}
            }
        }
        self.measure(pose, share);
    }

    fn measure(&mut self, pose: &Pose, share: f64) {
        if let Some(shank) = shank(pose) {
            self.shank = if self.shank > 0.0 && share < 1.0 {
                self.shank + share * (shank - self.shank)
            } else {
                shank
            };
        }
        let ankle = self.mean_y(Part::Ankle);
        let height = match (ankle, self.mean_y(Part::Hip), self.mean_y(Part::Shoulder)) {
            (Some(a), Some(h), _) if a > h => a - h,
            // Shoulders stand about 1.6 pelvis heights above the ankles.
            (Some(a), None, Some(s)) if a > s => (a - s) / 1.6,
            _ => PELVIS_PER_SHANK * self.shank,
        };
        // A pose in the middle of a bend is no measure of a body.
        self.height = crate::order::within(height, 1.3 * self.shank, 3.2 * self.shank).max(1.0);
        self.along = Side::BOTH.map(|side| {
            let toe = self
                .of(Part::BigToe, side)
                .or(self.of(Part::SmallToe, side))?;
            let heel = self.of(Part::Heel, side)?;
            Some((toe.x - heel.x) / (FOOT_PER_SHANK * self.shank.max(1.0)))
        });
    }

    /// Forward travel of the knees, from their sideways movement in the picture and where the feet
    /// point: what both have in common from the front is sway, and drops out.
    fn travel(&self, knees: [Option<DVec2>; 2]) -> Option<f64> {
        let (mut with, mut square, mut n) = (0.0, 0.0, 0.0);
        let (mut length, mut m) = (0.0, 0.0);
        for (moved, along) in knees.into_iter().zip(self.along) {
            let Some(moved) = moved else { continue };
            length += moved.length();
            m += 1.0;
            if let Some(along) = along {
                with += moved.x * along;
                square += along * along;
                n += 1.0;
            }
        }
        if n > 0.0 && n == m && square / n > SHOWS * SHOWS {
            Some(with / (square + 0.02 * n))
        } else {
            // The feet point at the camera, or are not in the layout.
            (m > 0.0).then(|| length / m / 0.5)
        }
        .filter(|t| t.is_finite())
    }

    fn of(&self, part: Part, side: Side) -> Option<DVec2> {
        self.at[Joint::of(part, side).index()]
    }

    fn mean_y(&self, part: Part) -> Option<f64> {
        match Side::BOTH.map(|s| self.of(part, s).map(|p| p.y)) {
            [Some(a), Some(b)] => Some((a + b) / 2.0),
            [a, b] => a.or(b),
        }
    }

    /// Shank length in standing, px.
    pub fn shank(&self) -> f64 {
        self.shank
    }

    /// Pelvis height above the ankles in standing, px: how large the lifter is in the picture.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Reads a pose against standing.
    pub fn read(&self, pose: &Pose) -> Reading {
        let drop = |parts: &[Joint]| -> Option<f64> {
            let (mut sum, mut n) = (0.0, 0.0);
            for &joint in parts {
                if let (Some(p), Some(q)) = (self.at[joint.index()], pose.at(joint)) {
                    sum += q.y - p.y;
                    n += 1.0;
                }
            }
            (n > 0.0).then(|| sum / n / self.height)
        };
        let pair = |part| Side::BOTH.map(|s| Joint::of(part, s));
        let knee = |side| {
            let joint = Joint::of(Part::Knee, side);
            Some((pose.at(joint)? - self.at[joint.index()]?) / self.shank)
        };
        let knees = Side::BOTH.map(knee);
        let far = |d: Option<DVec2>| d.map(DVec2::length).filter(|k| k.is_finite());
        Reading {
            hips: agreed(pair(Part::Hip).map(|j| drop(&[j]))),
            shoulders: agreed(pair(Part::Shoulder).map(|j| drop(&[j]))),
            head: drop(&Joint::ALL[..5]),
            knees: match knees.map(far) {
                [Some(a), Some(b)] => Some((a + b) / 2.0),
                [a, b] => a.or(b),
            },
            travel: self.travel(knees),
            hands_low: hands_low(pose),
        }
    }

    /// The drop as of the best source.
    pub fn drop(&self, reading: &Reading) -> Option<(f64, Source)> {
        if let Some(d) = reading.hips {
            Some((d, Source::Hips))
        } else if let Some(d) = reading.shoulders {
            Some((d * self.gains[0], Source::Shoulders))
        } else if let Some(d) = reading.head {
            Some((d * self.gains[1], Source::Head))
        } else {
            reading
                .travel
                .map(|k| (bent(k) * self.gains[2], Source::Knees))
        }
    }

    /// Learns how the other sources compare with the hips.
    pub fn learn(&mut self, reading: &Reading) {
        let Some(hips) = reading.hips.filter(|d| *d > 0.28) else {
            return;
        };
        let others = [reading.shoulders, reading.head, reading.travel.map(bent)];
        for (k, other) in others.into_iter().enumerate() {
            let Some(other) = other.filter(|d| *d > 0.01) else {
                continue;
            };
            let ratio = hips / other;
            if ratio.is_finite() && ratio < 60.0 {
                self.learnt[k] = (self.learnt[k] + 1.0).min(60.0);
                self.gains[k] += (ratio - self.gains[k]) / self.learnt[k];
            }
        }
    }
}

/// The drop goes with the knees' movement to this power: at a tenth of the drop the knees have
/// made 0.25 to 0.53 of their way in UI-PRMD, which is a power between 1.7 and 3.6; with noise a
/// smaller one does better.
fn bent(knees: f64) -> f64 {
    // As a power, without the code of the general one: 0 stays 0.
    (1.3 * (knees.max(0.0) / TRAVEL).ln()).exp()
}

/// A pair's mean; where the two disagree beyond what a tilt of the body explains, one has gone
/// astray: the one that says less is taken.
fn agreed(pair: [Option<f64>; 2]) -> Option<f64> {
    match pair {
        [Some(a), Some(b)] if (a - b).abs() > 0.16 => Some(if a.abs() < b.abs() { a } else { b }),
        [Some(a), Some(b)] => Some((a + b) / 2.0),
        [a, b] => a.or(b),
    }
}

/// Longer shank in the picture, px.
pub(crate) fn shank(pose: &Pose) -> Option<f64> {
    let of = |s| Some((pose.of(Part::Knee, s)? - pose.of(Part::Ankle, s)?).length());
    match Side::BOTH.map(of) {
        [Some(a), Some(b)] => Some(a.max(b)),
        [a, b] => a.or(b),
    }
    .filter(|&px| px > 3.0)
}

/// A hand is below the knees: reaching for something on the floor.
fn hands_low(pose: &Pose) -> bool {
    let low =
        |part, pick: fn(f64, f64) -> f64| match Side::BOTH.map(|s| pose.of(part, s).map(|p| p.y)) {
            [Some(a), Some(b)] => Some(pick(a, b)),
            [a, b] => a.or(b),
        };
    matches!((low(Part::Wrist, f64::max), low(Part::Knee, f64::max)), (Some(w), Some(k)) if w > k)
}
