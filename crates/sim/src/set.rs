//! A usual set: quiet standing, repetitions with faults, standing.

use crate::fault::Fault;
use crate::lifter::Lifter;
use crate::profile::{Depth, Ease};
use crate::rng::Draw;
use crate::scene::Scene;
use crate::script::{Action, Script};

/// A set to be made.
#[derive(Clone, Debug)]
pub struct SetSpec {
    /// How many repetitions.
    pub reps: usize,
    /// Seconds of quiet standing first.
    pub before_s: f64,
    /// Seconds of standing between repetitions and at the end.
    pub between_s: f64,
    /// Seconds down, held, up; each repetition varies by a tenth.
    pub tempo: [f64; 3],
    /// What goes wrong.
    pub faults: Vec<Fault>,
}

impl Default for SetSpec {
    fn default() -> Self {
        Self {
            reps: 3,
            before_s: 2.0,
            between_s: 1.0,
            tempo: [1.5, 0.3, 1.3],
            faults: Vec::new(),
        }
    }
}

impl SetSpec {
    /// With these faults.
    pub fn with(faults: Vec<Fault>) -> Self {
        Self {
            faults,
            ..Self::default()
        }
    }

    /// A random usual tempo (UI-PRMD correct squats: down 1.42, SD 0.32; up 1.28, SD 0.20 s).
    pub fn random_tempo(mut self, draw: &mut Draw) -> Self {
        self.tempo = [
            draw.trimmed(1.45, 0.30, 2.0),
            draw.uniform(0.0, 0.6),
            draw.trimmed(1.30, 0.20, 2.0),
        ];
        self
    }

    /// The actions of the set.
    pub fn actions(&self, draw: &mut Draw) -> Vec<Action> {
        let ease = draw.pick(&[Ease::MinimumJerk, Ease::Cosine]);
        let mut actions = vec![Action::Stand(self.before_s)];
        for rep in 0..self.reps {
            let [down, pause, up] = self.tempo.map(|s| s * draw.trimmed(1.0, 0.06, 2.0));
            let depth = draw.trimmed(1.0, 0.03, 2.0);
            actions.push(Action::Rep {
                depth: Depth::plain(down, pause, up, depth, ease),
                faults: self
                    .faults
                    .iter()
                    .map(|f| (f.clone(), f.size(rep, self.reps)))
                    .collect(),
            });
            actions.push(Action::Stand(self.between_s * draw.uniform(0.8, 1.3)));
        }
        actions
    }

    /// The set performed by this lifter.
    pub fn scene(&self, lifter: Lifter, draw: &mut Draw) -> Scene {
        let script = Script::new(&lifter, self.actions(draw));
        Scene::new(lifter, script, draw)
    }
}
