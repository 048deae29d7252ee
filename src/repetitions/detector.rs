//! Counts repetitions as they happen.

use super::curve::Curve;
use super::dips::Dips;
use super::feet::{Feet, Stance, gain};
use super::home::Home;
use super::lift::Lift;
use super::phase::{Phase, Progress, Repetition};
use super::posture::shank;
use super::refine::SHAPE;
use super::shins::Watch;
use super::signal::Signal;
use super::station::Station;
use crate::pose::Pose;

/// Nothing seen for so long ends whatever was going on, ms.
const GAP_MS: f64 = 1500.0;

/// A causal detector: poses in, repetitions out. No allocation per frame.
///
/// A repetition goes from standing to standing. Coming half up and going down again is part of it
/// and makes it incomplete. One that the end of the recording cuts off before the lifter stands is
/// dropped, unless it had already come half up and failed: then it is reported as incomplete.
#[derive(Clone, Debug)]
pub struct Detector {
    pub(super) feet: Feet,
    pub(super) signal: Signal,
    pub(super) station: Station,
    pub(super) home: Home,
    /// When the lifter stepped away from where the last repetition was done, ms.
    pub(super) left_ms: Option<f64>,
    /// Standing here since, ms.
    pub(super) stood_since: f64,
    pub(super) curve: Curve,
    pub(super) state: State,
    pub(super) phase: Phase,
    pub(super) t_ms: Option<f64>,
    pub(super) scale: f64,
    /// What is known of how the lifter moves, see [`refine`](super::refine).
    pub(super) shape: (f64, f64),
    pub(super) dips: Dips,
    watch: Watch,
}

#[derive(Clone, Copy, Debug, Default)]
#[allow(clippy::large_enum_variant)] // there is one, never in a list
pub(super) enum State {
    #[default]
    Searching,
    Standing,
    Lifting(Lift),
}

/// One frame on its way through the detector.
pub(super) struct Now<'a> {
    pub pose: &'a Pose,
    pub stance: Stance,
    /// Since the last frame with the lifter, ms.
    pub dt: f64,
}

impl Default for Detector {
    fn default() -> Self {
        Self::new()
    }
}

impl Detector {
    /// A detector that has seen nothing.
    pub fn new() -> Self {
        Self {
            feet: Feet::default(),
            signal: Signal::default(),
            station: Station::default(),
            home: Home::default(),
            left_ms: None,
            stood_since: 0.0,
            curve: Curve::default(),
            state: State::default(),
            phase: Phase::default(),
            t_ms: None,
            scale: 0.0,
            shape: SHAPE,
            dips: Dips::default(),
            watch: Watch::default(),
        }
    }

    /// The phase after the last frame.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// All repetitions, once the recording has ended: `reps` became final during it, from `poses`.
    pub fn recount(mut self, reps: &mut Vec<Repetition>, poses: &[Pose]) {
        if super::shins::only(poses) {
            *reps = super::shins::recount(poses);
            return;
        }
        self.finish().bring(reps);
        self.dips.put_back(reps);
        self.dips.drop_from(reps);
        self.dips.refine(reps, &mut self.curve);
    }

    /// Takes the last of `poses`, the ones before having been taken, and brings `reps` up to date;
    /// gives the number (from 1) of the repetition that became final.
    pub fn count(&mut self, poses: &[Pose], reps: &mut Vec<Repetition>) -> Option<usize> {
        let progress = self.push(poses.last()?);
        let finished = self.watch.look(poses, reps);
        if self.watch.only {
            return finished;
        }
        progress.bring(reps);
        progress.finished.map(|_| reps.len())
    }

    /// Takes one frame.
    #[inline(never)]
    pub fn push(&mut self, pose: &Pose) -> Progress {
        let mut out = Progress::default();
        let dt = self.t_ms.map_or(0.0, |t| pose.t_ms - t);
        let lifting = matches!(self.state, State::Lifting(_));
        if !lifting && let Some(px) = shank(pose) {
            let tau = match self.state {
                State::Searching => 100.0,
                _ => 250.0,
            };
            self.scale = if self.scale > 0.0 {
                self.scale + gain(dt, tau) * (px - self.scale)
            } else {
                px
            };
        }
        if self.scale <= 0.0 {
            return out;
        }
        // Frames without the lifter change nothing until they become too many.
        let depth = match self.state {
            State::Lifting(lift) => lift.deepest,
            _ => 0.0,
        };
        let stance = self.feet.push(pose, self.scale, depth);
        if stance.seen {
            self.t_ms = Some(pose.t_ms);
            self.signal.see(pose);
        }
        if dt > GAP_MS {
            self.abandon(stance, pose.t_ms, &mut out);
        }
        let now = Now { pose, stance, dt };
        match self.state {
            State::Searching => self.search(&now),
            State::Standing => self.stand(&now, &mut out),
            State::Lifting(lift) => self.lift(&now, lift, &mut out),
        }
        out.phase = self.phase;
        out
    }
}
