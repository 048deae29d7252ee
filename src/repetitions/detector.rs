//! Counts repetitions as they happen.

use super::signal::Height;
use crate::keypoints::{Part, Side};
use crate::pose::Pose;
use glam::DVec2;

/// One repetition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repetition {
    /// Leaves standing, ms.
    pub start_ms: f64,
    /// Lowest point reached, ms.
    pub bottom_ms: f64,
    /// Begins to come up, ms; later than `bottom_ms` when there is a pause.
    pub bottom_end_ms: f64,
    /// Stands again, ms.
    pub end_ms: f64,
    /// Pelvis drop as a fraction of its standing height above the ankles; `None` without hips.
    pub depth: Option<f64>,
    /// Clearly above the usual depth.
    pub shallow: bool,
}

/// Where in the lift.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Phase {
    /// No standing seen yet, or walking.
    #[default]
    Searching,
    /// Standing.
    Standing,
    /// Going down.
    Down,
    /// At the bottom.
    Bottom,
    /// Coming up.
    Up,
}

/// The drop that starts a possible repetition, as a fraction of standing height.
const LEAVE: f64 = 0.10;
/// Back in standing below this share of the repetition's drop.
const BACK: f64 = 0.22;
/// A drop under this is no repetition.
const LEAST: f64 = 0.13;
/// Above this pelvis drop a repetition is shallow (deep squats in open data drop 0.535, SD 0.08).
const SHALLOW: f64 = 0.33;
/// The ends are where a line through these shares of the drop meets standing.
const EDGE: (f64, f64) = (0.10, 0.30);

/// A causal detector: frames in, repetitions out.
#[derive(Clone, Debug, Default)]
pub struct Detector {
    /// Recent drops, oldest first: time, drop.
    curve: Vec<(f64, f64)>,
    standing: Option<f64>,
    smooth: Option<f64>,
    lowest: Option<(f64, f64)>,
    feet: Option<[Option<DVec2>; 2]>,
    phase: Phase,
}

impl Detector {
    /// A detector that has seen nothing.
    pub fn new() -> Self {
        Self::default()
    }

    /// The phase after the last frame.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// Height of quiet standing has been measured: drops are read against it from now on.
    pub fn standing(&mut self, ratio: f64) {
        if self.lowest.is_none() {
            self.standing = Some(ratio);
        }
    }

    /// Takes one frame; gives a repetition once it is over.
    pub fn push(&mut self, pose: &Pose) -> Option<Repetition> {
        let raw = ratio(pose)?;
        let value = match self.smooth {
            Some(s) => s + 0.5 * (raw - s),
            None => raw,
        };
        self.smooth = Some(value);
        let top = self
            .standing
            .map_or(value, |s| if value > s { s + 0.2 * (value - s) } else { s });
        self.standing = Some(top);
        let drop = 1.0 - raw / top;
        self.curve.push((pose.t_ms, drop));
        if self.curve.len() > 6000 {
            self.curve.drain(..2000);
        }
        let drop = 1.0 - value / top;
        match self.lowest {
            None => {
                self.phase = Phase::Standing;
                if drop > LEAVE {
                    self.lowest = Some((pose.t_ms, drop));
                    self.feet = Some(ankles(pose));
                    self.phase = Phase::Down;
                }
                None
            }
            Some((_, deepest)) => {
                if drop >= deepest {
                    self.lowest = Some((pose.t_ms, drop));
                    self.phase = Phase::Down;
                } else if drop > 0.93 * deepest {
                    self.phase = Phase::Bottom;
                } else {
                    self.phase = Phase::Up;
                }
                if drop > (BACK * deepest).max(0.03) {
                    return None;
                }
                self.lowest = None;
                self.phase = Phase::Standing;
                let planted = self
                    .feet
                    .take()
                    .is_none_or(|f| planted(f, ankles(pose), shank(pose)));
                if deepest < LEAST || !planted {
                    self.curve.clear();
                    return None;
                }
                let rep = self.measure(deepest, pose);
                self.curve.clear();
                rep
            }
        }
    }

    fn measure(&self, _deepest: f64, pose: &Pose) -> Option<Repetition> {
        let c = &self.curve;
        let low = c.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
        let i_low = c.iter().position(|p| p.1 >= low)?;
        let near = 0.97 * low;
        let first = c.iter().position(|p| p.1 >= near).unwrap_or(i_low);
        let last = c.iter().rposition(|p| p.1 >= near).unwrap_or(i_low);
        let cross = |share: f64, down: bool| -> Option<f64> {
            let level = share * low;
            let hit = |a: (f64, f64), b: (f64, f64)| {
                let d = b.1 - a.1;
                if d.abs() < 1e-9 {
                    b.0
                } else {
                    a.0 + (level - a.1) / d * (b.0 - a.0)
                }
            };
            if down {
                let i = (1..=first)
                    .rev()
                    .find(|&i| c[i - 1].1 < level && c[i].1 >= level)?;
                Some(hit(c[i - 1], c[i]))
            } else {
                let i = (last..c.len() - 1).find(|&i| c[i].1 >= level && c[i + 1].1 < level)?;
                Some(hit(c[i], c[i + 1]))
            }
        };
        let edge = |down: bool, fallback: f64| match (cross(EDGE.0, down), cross(EDGE.1, down)) {
            // A smooth start is slower than the line: it begins about half as much again earlier.
            (Some(a), Some(b)) => a + (a - b) * 0.75,
            (a, b) => a.or(b).unwrap_or(fallback),
        };
        let start_ms = edge(true, c.first()?.0);
        let end_ms = edge(false, pose.t_ms);
        let hips = matches!(Height::of(pose), Some(Height::Hips(_)));
        Some(Repetition {
            start_ms,
            bottom_ms: c[first].0,
            bottom_end_ms: c[last].0,
            end_ms,
            depth: hips.then_some(low),
            shallow: low < SHALLOW,
        })
    }
}

/// Height over shank length: the same at any distance from the camera.
pub(crate) fn ratio(pose: &Pose) -> Option<f64> {
    let height = Height::of(pose)?.px();
    let shank = shank(pose)?;
    (shank > 3.0).then(|| height / shank)
}

fn shank(pose: &Pose) -> Option<f64> {
    let of = |s| Some((pose.of(Part::Knee, s)? - pose.of(Part::Ankle, s)?).length());
    match (of(Side::Left), of(Side::Right)) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    }
}

fn ankles(pose: &Pose) -> [Option<DVec2>; 2] {
    Side::BOTH.map(|s| pose.of(Part::Ankle, s))
}

fn planted(before: [Option<DVec2>; 2], after: [Option<DVec2>; 2], shank: Option<f64>) -> bool {
    let limit = shank.unwrap_or(f64::INFINITY) * 0.35;
    before.iter().zip(after).all(|(a, b)| match (a, b) {
        (Some(a), Some(b)) => (*a - b).length() < limit,
        _ => true,
    })
}
