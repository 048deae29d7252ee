//! What the lifter does, one action after another.

use crate::body::Stance;
use crate::fault::Fault;
use crate::foot::FootState;
use crate::lifter::Lifter;
use crate::profile::{Depth, minimum_jerk};
use glam::DVec2;

/// One thing that the lifter does.
#[derive(Clone, Debug)]
pub enum Action {
    /// Stands quietly for so many seconds.
    Stand(f64),
    /// Stands but is not quiet: shifts about, small dips, talks.
    Chatter(f64),
    /// A repetition with faults at these sizes.
    Rep {
        /// Depth over time.
        depth: Depth,
        /// Faults with their size in this repetition.
        faults: Vec<(Fault, f64)>,
    },
    /// A dip that is no repetition (unracking): pelvis down and up.
    Dip {
        /// How far down, mm.
        mm: f64,
        /// How long, s.
        seconds: f64,
    },
    /// Sets one foot somewhere else.
    Step {
        /// 0 left, 1 right.
        side: usize,
        /// New place of the resting ankle, m: x, z.
        to: DVec2,
        /// New bearing, degrees.
        bearing: f64,
        /// How long, s.
        seconds: f64,
    },
    /// Bends toward a camera on the floor and comes up.
    Bend {
        /// Trunk lean at the lowest, degrees.
        lean: f64,
        /// How long, s.
        seconds: f64,
    },
}

impl Action {
    /// Seconds it takes.
    pub fn seconds(&self) -> f64 {
        match self {
            Self::Stand(s) | Self::Chatter(s) => *s,
            Self::Rep { depth, .. } => depth.seconds(),
            Self::Dip { seconds, .. } | Self::Step { seconds, .. } | Self::Bend { seconds, .. } => {
                *seconds
            }
        }
    }
}

/// A whole performance.
#[derive(Clone, Debug)]
pub struct Script {
    /// Feet at the start.
    pub feet: [FootState; 2],
    /// What follows.
    pub actions: Vec<Action>,
}

/// What goes on at a moment.
#[derive(Clone, Copy, Debug)]
pub struct Now {
    /// What the body is asked to do, without sway.
    pub stance: Stance,
    /// Index of the action.
    pub action: usize,
    /// Restlessness: 0 quiet, 1 fidgeting.
    pub restless: f64,
}

/// Feet as the lifter stands, `ahead` of the origin, m.
pub fn own_stance(lifter: &Lifter, ahead: f64) -> [FootState; 2] {
    [0, 1].map(|s| {
        let sign = crate::body::sign(s);
        FootState {
            at: DVec2::new(sign * lifter.stance / 2.0, ahead),
            bearing: sign * lifter.feet[s].toe_out,
            ..FootState::default()
        }
    })
}

impl Script {
    /// Starts in the lifter's own stance at the origin.
    pub fn new(lifter: &Lifter, actions: Vec<Action>) -> Self {
        Self {
            feet: own_stance(lifter, 0.0),
            actions,
        }
    }

    /// Walks `from` metres behind (-) or ahead (+) into the own stance, one foot after the other;
    /// a script made of these steps must start with [`own_stance`] at `from`.
    pub fn walk(lifter: &Lifter, from: f64, steps: usize, seconds: f64) -> Vec<Action> {
        let steps = steps.max(2);
        (0..steps)
            .map(|i| {
                let side = i % 2;
                let sign = crate::body::sign(side);
                // The last step of each foot ends at home.
                let left = (steps - 1 - i) / 2;
                let all = (steps - 1 - side) / 2 + 1;
                let z = from * left as f64 / all as f64;
                Action::Step {
                    side,
                    to: DVec2::new(sign * lifter.stance / 2.0, z),
                    bearing: sign * lifter.feet[side].toe_out,
                    seconds,
                }
            })
            .collect()
    }

    /// Seconds it takes.
    pub fn seconds(&self) -> f64 {
        self.actions.iter().map(Action::seconds).sum()
    }

    /// Start times of the actions.
    pub fn starts(&self) -> Vec<f64> {
        self.actions
            .iter()
            .scan(0.0, |t, a| {
                let start = *t;
                *t += a.seconds();
                Some(start)
            })
            .collect()
    }

    /// What goes on at `t` seconds. `full` is the full drop of the pelvis, m.
    pub fn at(&self, t: f64, full: f64) -> Now {
        let mut feet = self.feet;
        let mut start = 0.0;
        for (i, action) in self.actions.iter().enumerate() {
            let s = t - start;
            if s < action.seconds() || i + 1 == self.actions.len() {
                return now(action, i, feet, s.clamp(0.0, action.seconds()), full);
            }
            if let Action::Step {
                side, to, bearing, ..
            } = action
            {
                feet[*side].at = *to;
                feet[*side].bearing = *bearing;
            }
            start += action.seconds();
        }
        now(&Action::Stand(0.0), 0, feet, 0.0, full)
    }
}

fn now(action: &Action, index: usize, feet: [FootState; 2], s: f64, full: f64) -> Now {
    let mut stance = Stance {
        feet,
        ..Stance::default()
    };
    let mut restless = 0.0;
    // Up and down once over the whole time.
    let hump = |seconds: f64| {
        let u = 2.0 * s / seconds.max(1e-9);
        minimum_jerk(if u > 1.0 { 2.0 - u } else { u })
    };
    match action {
        Action::Stand(_) => {}
        Action::Chatter(seconds) => {
            // Fades in and out within a third of a second.
            restless = minimum_jerk(3.0 * s) * minimum_jerk(3.0 * (seconds - s));
        }
        Action::Rep { depth, faults } => {
            let d = depth.at(s);
            stance.drop = d * full;
            let part = d / depth.deepest().max(1e-9);
            for (fault, size) in faults {
                fault.apply(&mut stance, *size, depth.phase(s), part);
            }
        }
        Action::Dip { mm, seconds } => stance.drop = mm / 1e3 * hump(*seconds),
        Action::Step {
            side,
            to,
            bearing,
            seconds,
        } => {
            let u = minimum_jerk(s / seconds.max(1e-9));
            let foot = &mut stance.feet[*side];
            foot.at = foot.at.lerp(*to, u);
            foot.bearing += (bearing - foot.bearing) * u;
            foot.raised = 0.07 * hump(*seconds);
            // Weight over the foot that stands.
            stance.shift_mm = -crate::body::sign(*side) * 70.0 * hump(*seconds);
        }
        Action::Bend { lean, seconds } => {
            let u = hump(*seconds);
            stance.drop = 0.25 * full * u;
            stance.bend = (u > 0.02).then_some(5.0 + (lean - 5.0) * u);
        }
    }
    Now {
        stance,
        action: index,
        restless,
    }
}
