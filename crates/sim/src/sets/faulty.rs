//! What the lifter of a set does wrong: the same in every repetition, or another thing in each.
//!
//! Invented sizes, about those of the incorrect squats of UI-PRMD (Data 3(1):2, 2018): shanks that tilt
//! by up to 20 to 40 degrees to either side, other in each repetition, and heels that leave the floor.

use super::plan::Plan;
use crate::fault::{Fault, Kind, Shape};
use crate::rng::Draw;

/// Sets apart the draws of faults from those of the set.
const APART: u64 = 0xf417;

/// The plan of a seed's set with faults: they are drawn apart, so that all else is as without.
pub fn with_faults(mut plan: Plan, seed: u64) -> Plan {
    let mut draw = Draw::new(seed ^ APART << 32);
    let varies = draw.chance(0.5);
    let mut steady = faults(&mut draw);
    for lift in &mut plan.lifts {
        if varies {
            steady = faults(&mut draw);
        }
        lift.faults.clone_from(&steady);
    }
    plan
}

/// What goes wrong in one repetition: one thing, or a few.
fn faults(draw: &mut Draw) -> Vec<Fault> {
    let mut list = vec![];
    let mut add = |kind: Kind, draw: &mut Draw| {
        let shape = draw.pick(&[Shape::Bottom, Shape::From(0.3), Shape::Throughout]);
        list.push(Fault::steady(kind).shaped(shape));
    };
    if draw.chance(0.5) {
        let [a, b] = [0, 1].map(|_| draw.uniform(-18.0, 18.0));
        let sides = draw.pick(&[[a, a], [a, b], [a, 0.0], [0.0, b]]);
        add(Kind::KneeIn(sides), draw);
    }
    if draw.chance(0.4) {
        let mm = draw.uniform(10.0, 60.0);
        let sides = draw.pick(&[[mm, mm], [mm, 0.0], [0.0, mm]]);
        add(Kind::HeelLift(sides), draw);
    }
    if draw.chance(0.3) {
        let [a, b] = [0, 1].map(|_| draw.uniform(-12.0, 12.0));
        add(Kind::Roll(draw.pick(&[[a, a], [a, b], [a, -a]])), draw);
    }
    if draw.chance(0.3) {
        add(Kind::Shift(draw.uniform(-60.0, 60.0)), draw);
    }
    if draw.chance(0.3) {
        add(Kind::Forward(draw.uniform(-10.0, 20.0)), draw);
    }
    list
}
