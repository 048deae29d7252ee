//! A lifter performing a script: the body at any time, in 3D.

use crate::body::{self, Body};
use crate::lifter::Lifter;
use crate::rng::Draw;
use crate::script::{Action, Now, Script};
use glam::DVec2;
use std::f64::consts::TAU;

/// A lifter, what it does, and how it sways.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Who.
    pub lifter: Lifter,
    /// What.
    pub script: Script,
    /// Full drop of the pelvis at the habit's depth, m.
    pub full: f64,
    sway: [Vec<Wave>; 2],
}

#[derive(Clone, Copy, Debug)]
struct Wave {
    size: f64,
    hertz: f64,
    start: f64,
}

/// The body at a moment.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// Every point.
    pub body: Body,
    /// What it was asked to do.
    pub now: Now,
}

impl Scene {
    /// A performance; the draw gives the sway.
    pub fn new(lifter: Lifter, script: Script, draw: &mut Draw) -> Self {
        let flat = body::solve(
            &lifter,
            &body::Stance {
                feet: script.feet,
                ..body::Stance::default()
            },
        );
        use underfoot::keypoints::Joint::{LeftHip, RightHip};
        let hips = 0.5 * (flat.at(LeftHip).y + flat.at(RightHip).y);
        let mut waves = || -> Vec<Wave> {
            (0..6)
                .map(|_| Wave {
                    size: draw.uniform(0.4, 1.0) / 6f64.sqrt(),
                    hertz: draw.uniform(0.08, 0.7),
                    start: draw.uniform(0.0, TAU),
                })
                .collect()
        };
        Self {
            full: lifter.habits.depth * hips,
            sway: [waves(), waves()],
            lifter,
            script,
        }
    }

    /// The body at `t` seconds.
    pub fn at(&self, t: f64) -> Moment {
        let mut now = self.script.at(t, self.full);
        let wave = |axis: usize, speed: f64| -> f64 {
            self.sway[axis]
                .iter()
                .map(|w| w.size * (TAU * (w.hertz * speed * t) + w.start).sin())
                .sum()
        };
        // Postural sway of a few millimetres; fidgeting is some ten times that, and faster.
        let quiet = DVec2::new(wave(0, 1.0), wave(1, 1.0)) * 0.004;
        let fidget = DVec2::new(wave(0, 1.6), wave(1, 1.3)) * (0.035 * now.restless);
        now.stance.sway = quiet + fidget;
        now.stance.drop += 0.03 * now.restless * wave(1, 2.1).max(0.0);
        let part = (now.stance.drop / self.full).clamp(0.0, 1.0);
        for (foot, mm) in now.stance.feet.iter_mut().zip(self.lifter.habits.heel_mm) {
            foot.heel_mm += mm * part * part;
        }
        Moment {
            body: body::solve(&self.lifter, &now.stance),
            now,
        }
    }

    /// Start and end of the repetitions' actions with their index, s.
    pub fn reps(&self) -> Vec<(usize, f64, f64)> {
        self.spans(|a| matches!(a, Action::Rep { .. }))
    }

    /// Start and end of quiet standing, s.
    pub fn standing(&self) -> Vec<(usize, f64, f64)> {
        self.spans(|a| matches!(a, Action::Stand(_)))
    }

    /// Start and end of the steps, s.
    pub fn steps(&self) -> Vec<(usize, f64, f64)> {
        self.spans(|a| matches!(a, Action::Step { .. }))
    }

    fn spans(&self, want: impl Fn(&Action) -> bool) -> Vec<(usize, f64, f64)> {
        self.script
            .starts()
            .into_iter()
            .zip(&self.script.actions)
            .enumerate()
            .filter(|(_, (_, a))| want(a))
            .map(|(i, (t, a))| (i, t, t + a.seconds()))
            .collect()
    }
}
