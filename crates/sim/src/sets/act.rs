//! The choreography of a planned set.

use super::plan::Plan;
use crate::body::sign;
use crate::lifter::Lifter;
use crate::rng::Draw;
use crate::script::{Action, Script, own_stance};
use glam::DVec2;

/// Where the camera is reached by walking ahead, m.
const TO_CAMERA: f64 = 1.2;
/// Length of one step back from the rack, m.
const STEP: f64 = 0.22;

/// The script of a plan; the lift is done at the origin.
pub fn script(plan: &Plan, lifter: &Lifter, draw: &mut Draw) -> Script {
    let mut actions = vec![];
    let mut at = 0.0;
    let rack = STEP * plan.walk_out.1 as f64 / 2.0;
    let pace = draw.uniform(0.4, 0.65);
    let walk = |actions: &mut Vec<Action>, from: f64, to: f64, steps: usize| {
        actions.extend(steps_to(lifter, from, to, steps, pace));
    };
    if plan.walk_out.1 > 0 {
        at = rack;
    }
    let feet = own_stance(
        lifter,
        if plan.camera_by_hand[0] {
            TO_CAMERA
        } else {
            at
        },
    );
    if plan.camera_by_hand[0] {
        actions.push(Action::Bend {
            lean: draw.uniform(60.0, 90.0),
            seconds: draw.uniform(1.2, 2.5),
        });
        walk(&mut actions, TO_CAMERA, at, 4);
    }
    if plan.walk_out.1 > 0 {
        actions.push(Action::Stand(plan.at_rack_s));
        actions.push(Action::Dip {
            mm: plan.walk_out.0,
            seconds: draw.uniform(0.8, 1.8),
        });
        actions.push(Action::Stand(draw.uniform(0.1, 1.5)));
        walk(&mut actions, rack, 0.0, plan.walk_out.1);
    }
    if plan.chatter_s > 0.0 {
        actions.push(Action::Chatter(plan.chatter_s));
    }
    actions.push(Action::Stand(plan.before_s));
    for lift in &plan.lifts {
        actions.push(Action::Rep {
            depth: lift.depth.clone(),
            faults: lift.faults.iter().map(|f| (f.clone(), 1.0)).collect(),
        });
        if lift.rest_s > 0.0 {
            actions.push(Action::Stand(lift.rest_s));
        }
        if lift.reset {
            actions.extend(reset(lifter, draw));
            actions.push(Action::Stand(draw.uniform(0.5, 1.5)));
        }
    }
    actions.push(Action::Stand(draw.uniform(0.5, 2.0)));
    at = 0.0;
    if let Some(mm) = plan.walk_in {
        walk(&mut actions, 0.0, rack, plan.walk_out.1);
        at = rack;
        actions.push(Action::Stand(draw.uniform(0.1, 0.8)));
        actions.push(Action::Dip {
            mm,
            seconds: draw.uniform(0.8, 1.8),
        });
        actions.push(Action::Stand(draw.uniform(0.3, 1.0)));
    }
    if plan.camera_by_hand[1] {
        walk(&mut actions, at, TO_CAMERA, 4);
        actions.push(Action::Bend {
            lean: draw.uniform(60.0, 90.0),
            seconds: draw.uniform(1.2, 2.5),
        });
        actions.push(Action::Stand(0.3));
    }
    Script { feet, actions }
}

fn steps_to(lifter: &Lifter, from: f64, to: f64, steps: usize, pace: f64) -> Vec<Action> {
    let steps = steps.max(2);
    let mut out = vec![];
    for i in 0..steps {
        let side = i % 2;
        let all = (steps - side).div_ceil(2);
        let done = i / 2 + 1;
        let z = from + (to - from) * done as f64 / all as f64;
        out.push(Action::Step {
            side,
            to: DVec2::new(sign(side) * lifter.stance / 2.0, z),
            bearing: sign(side) * lifter.feet[side].toe_out,
            seconds: pace,
        });
    }
    out
}

/// Both feet a few centimetres elsewhere.
fn reset(lifter: &Lifter, draw: &mut Draw) -> Vec<Action> {
    [0, 1]
        .map(|side| Action::Step {
            side,
            to: DVec2::new(
                sign(side) * lifter.stance / 2.0 + draw.uniform(-0.05, 0.05),
                draw.uniform(-0.06, 0.06),
            ),
            bearing: sign(side) * lifter.feet[side].toe_out + draw.uniform(-4.0, 4.0),
            seconds: draw.uniform(0.35, 0.6),
        })
        .to_vec()
}
