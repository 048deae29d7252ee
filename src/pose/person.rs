//! One person followed from frame to frame.

use super::jumps::{Jumps, Places};
use super::sides::Sides;
use super::types::Pose;
use crate::keypoints::{Joint, Part, Side};
use glam::DVec2;

/// Somebody is looked for this many body sizes from the last place, and more as time passes.
const REACH: f64 = 0.35;
/// A body's size may change by this factor's logarithm at once.
const GROWTH: f64 = 0.5;
/// Standing still means moving less than this many shank lengths a second.
const STILL: f64 = 0.35;

/// A person's track.
#[derive(Clone, Copy, Debug)]
pub(super) struct Person {
    at: Places,
    jumps: Jumps,
    sides: Sides,
    /// Shank length, px.
    pub scale: f64,
    /// Extent in the picture, px.
    pub size: f64,
    /// Middle of the points, px.
    pub centre: DVec2,
    velocity: DVec2,
    /// Smoothed movement of the feet, px a second.
    walking: DVec2,
    /// When last seen, ms.
    pub t_ms: f64,
    /// Standing still since, ms.
    pub still_since: f64,
    /// Highest the hips stood above the ankles, px.
    tallest: f64,
    /// Not upright now.
    pub down: bool,
    /// Has gone down and come up on the spot.
    pub squatted: bool,
}

impl Person {
    /// Starts with a pose; `None` when it shows too little to follow.
    pub fn new(pose: &Pose) -> Option<Self> {
        let (centre, size) = extent(pose)?;
        let mut person = Self {
            at: [None; Joint::COUNT],
            jumps: Jumps::default(),
            sides: Sides::default(),
            scale: shank(pose).unwrap_or(size / 3.5).max(1.0),
            size,
            centre,
            velocity: DVec2::ZERO,
            walking: DVec2::ZERO,
            down: false,
            t_ms: pose.t_ms,
            still_since: pose.t_ms,
            tallest: 0.0,
            squatted: false,
        };
        person.remember(pose);
        Some(person)
    }

    /// How unlikely it is that this pose is this person; `None` when it cannot be.
    pub fn cost(&self, pose: &Pose) -> Option<f64> {
        let (centre, size) = extent(pose)?;
        let gap_s = ((pose.t_ms - self.t_ms) / 1e3).clamp(0.0, 3.0);
        let lead = self.velocity * gap_s.min(0.4);
        let (mut sum, mut n) = (0.0, 0.0);
        for (&joint, seen) in Joint::ALL.iter().zip(&pose.joints) {
            let Some(seen) = seen else { continue };
            let far = |j: Joint| match self.at[j.index()] {
                Some((place, t_ms)) if self.t_ms - t_ms < 500.0 => {
                    (seen.at - place - lead).length_squared()
                }
                _ => f64::INFINITY,
            };
            // Either side: they may be swapped.
            let d = far(joint).min(far(joint.mirrored()));
            if d < f64::INFINITY {
                sum += d.sqrt();
                n += 1.0;
            }
        }
        let body = (self.scale * 4.0).max(1.0);
        let away = if n >= 3.0 {
            sum / n / body
        } else {
            (centre - self.centre - lead).length() / body + 0.1
        };
        let grown = if n >= 3.0 {
            0.0
        } else {
            (size / self.size.max(1.0)).ln().abs()
        };
        (away <= REACH + 0.5 * gap_s && grown <= GROWTH + gap_s).then_some(away + 0.3 * grown)
    }

    /// Takes the person's next pose and cleans it.
    pub fn follow(&mut self, pose: &mut Pose) {
        self.sides.put_right(pose, &self.at, self.scale, pose.t_ms);
        self.jumps.drop_from(pose, &self.at, self.scale);
        if let Some((centre, size)) = extent(pose) {
            let dt = ((pose.t_ms - self.t_ms) / 1e3).max(1e-3);
            let share = 1.0 - (-dt / 0.15).exp();
            self.velocity += share * ((centre - self.centre) / dt - self.velocity);
            if let (Some(feet), Some(before)) = (feet(pose), self.feet()) {
                let share = 1.0 - (-dt / 0.3).exp();
                self.walking += share * ((feet - before) / dt - self.walking);
            }
            if self.walking.length() > STILL * self.scale {
                self.still_since = pose.t_ms;
            }
            self.centre = centre;
            self.size += share * (size - self.size);
        }
        self.remember(pose);
    }

    fn remember(&mut self, pose: &Pose) {
        for (at, seen) in self.at.iter_mut().zip(&pose.joints) {
            if let Some(seen) = seen {
                *at = Some((seen.at, pose.t_ms));
            }
        }
        if let Some(now) = shank(pose) {
            self.scale = (self.scale + 0.1 * (now - self.scale)).max(1.0);
        }
        self.t_ms = pose.t_ms;
        if let (Some(ankle), Some(hip)) = (pose.middle(Part::Ankle), pose.middle(Part::Hip)) {
            let tall = ankle.y - hip.y;
            if pose.t_ms - self.still_since < 600.0 {
                self.tallest = tall;
            }
            self.tallest = self.tallest.max(tall);
            self.squatted |= tall < 0.72 * self.tallest;
            self.down = tall < 0.93 * self.tallest;
        }
    }

    fn feet(&self) -> Option<DVec2> {
        let side = |s| self.at[Joint::of(Part::Ankle, s).index()].map(|p| p.0);
        match Side::BOTH.map(side) {
            [Some(a), Some(b)] => Some((a + b) / 2.0),
            [a, b] => a.or(b),
        }
    }
}

fn feet(pose: &Pose) -> Option<DVec2> {
    match Side::BOTH.map(|s| pose.of(Part::Ankle, s)) {
        [Some(a), Some(b)] => Some((a + b) / 2.0),
        [a, b] => a.or(b),
    }
}

/// Longer shank in the picture, px.
fn shank(pose: &Pose) -> Option<f64> {
    let of = |s| Some((pose.of(Part::Knee, s)? - pose.of(Part::Ankle, s)?).length());
    match Side::BOTH.map(of) {
        [Some(a), Some(b)] => Some(a.max(b)),
        [a, b] => a.or(b),
    }
}

/// Middle and extent of the seen points, px; `None` with fewer than three.
fn extent(pose: &Pose) -> Option<(DVec2, f64)> {
    let (mut low, mut high, mut sum, mut n) =
        (DVec2::INFINITY, DVec2::NEG_INFINITY, DVec2::ZERO, 0.0);
    for seen in pose.joints.iter().flatten() {
        low = low.min(seen.at);
        high = high.max(seen.at);
        sum += seen.at;
        n += 1.0;
    }
    (n >= 3.0).then(|| (sum / n, (high - low).length().max(1.0)))
}
