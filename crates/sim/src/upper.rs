//! Trunk, head, arms, bar, and the centre of mass of it all.

use crate::anthropometry as table;
use crate::body::{Body, sign};
use crate::leg::bend;
use crate::lifter::Lifter;
use glam::DVec3;
use underfoot::keypoints::{Carry, Joint, Part, Side};

/// How the trunk stands on the pelvis.
#[derive(Clone, Copy, Debug)]
pub struct Trunk {
    /// Mid-hip, m.
    pub pelvis: DVec3,
    /// Forward lean, degrees.
    pub lean: f64,
    /// Bend to the left, degrees.
    pub side: f64,
    /// Facing, horizontal.
    pub forward: DVec3,
    /// Lifter's left, horizontal.
    pub left: DVec3,
    /// Depth reached: 0 standing, 1 bottom.
    pub part: f64,
}

/// Places trunk, head and arms; returns the bar's middle.
pub fn place(lifter: &Lifter, trunk: &Trunk, body: &mut Body) -> DVec3 {
    let (sin, cos) = trunk.lean.to_radians().sin_cos();
    let aside = trunk.side.to_radians().sin();
    let up = (DVec3::Y * cos + trunk.forward * sin + trunk.left * aside).normalize();
    let chest = trunk.forward * cos - DVec3::Y * sin;
    let shoulders = trunk.pelvis + up * lifter.trunk;
    let (ysin, ycos) = (0.7 * lifter.habits.yaw).to_radians().sin_cos();
    let across = trunk.left * ycos - trunk.forward * ysin;
    head(lifter, trunk, shoulders, body);
    let bar = match lifter.carry {
        Carry::Back => shoulders + up * 0.03 - chest * 0.05,
        Carry::Front => shoulders + up * 0.02 + chest * 0.09,
        Carry::Overhead => shoulders + DVec3::Y * 0.95 * (lifter.upper_arm + lifter.forearm + 0.03),
        Carry::Goblet => shoulders - up * 0.14 + chest * 0.20,
        Carry::None => shoulders,
    };
    let arm = lifter.upper_arm + lifter.forearm;
    for side in 0..2 {
        let s = sign(side);
        let shoulder = shoulders + across * (s * lifter.shoulders / 2.0);
        let (wrist, pole) = match lifter.carry {
            Carry::Back => (
                bar + across * (s * (lifter.shoulders / 2.0 + 0.17)) - chest * 0.01,
                -up - chest * 0.6 + across * (0.3 * s),
            ),
            Carry::Front => (
                bar + across * (s * (lifter.shoulders / 2.0 + 0.03)),
                chest - up * 0.2,
            ),
            Carry::Overhead => (bar + across * (s * 0.40), across * s),
            Carry::Goblet => (bar + across * (s * 0.05), -up + across * (0.5 * s)),
            Carry::None => {
                // From hanging to straight ahead.
                let angle = (8.0 + 72.0 * trunk.part.min(1.0)).to_radians();
                let reach = trunk.forward * angle.sin() - DVec3::Y * angle.cos();
                (shoulder + reach * (0.96 * arm), -DVec3::Y + across * s)
            }
        };
        let (elbow, wrist) = bend(shoulder, wrist, lifter.upper_arm, lifter.forearm, pole);
        let mut put = |part, at| body.joints[Joint::of(part, Side::BOTH[side]).index()] = at;
        put(Part::Shoulder, shoulder);
        put(Part::Elbow, elbow);
        put(Part::Wrist, wrist);
    }
    bar
}

fn head(lifter: &Lifter, trunk: &Trunk, shoulders: DVec3, body: &mut Body) {
    // The head follows the trunk halfway.
    let (sin, cos) = (0.4 * trunk.lean).to_radians().sin_cos();
    let up = DVec3::Y * cos + trunk.forward * sin;
    let face = trunk.forward * cos - DVec3::Y * sin;
    let h = lifter.height;
    let ears = shoulders + up * (lifter.neck - 0.006 * h) + face * (0.012 * h);
    let mut put = |joint: Joint, at| body.joints[joint.index()] = at;
    for (s, ear, eye) in [
        (1.0, Joint::LeftEar, Joint::LeftEye),
        (-1.0, Joint::RightEar, Joint::RightEye),
    ] {
        put(ear, ears + trunk.left * (s * 0.045 * h));
        put(
            eye,
            ears + trunk.left * (s * 0.018 * h) + face * (0.050 * h) + up * (0.006 * h),
        );
    }
    put(Joint::Nose, ears + face * (0.066 * h) - up * (0.012 * h));
}

/// Centre of mass of body and bar by segment masses (de Leva 1996, table 4).
pub fn centre_of_mass(lifter: &Lifter, body: &Body, bar: DVec3) -> DVec3 {
    let sex = lifter.sex;
    let (mut sum, mut total) = (DVec3::ZERO, 0.0);
    let mut add = |row: &table::Mass, from: DVec3, to: DVec3| {
        sum += row.mass[sex] * from.lerp(to, row.centre[sex]);
        total += row.mass[sex];
    };
    let at = |part, side: usize| body.at(Joint::of(part, Side::BOTH[side]));
    let mid = |part| 0.5 * (at(part, 0) + at(part, 1));
    let ears = 0.5 * (body.at(Joint::LeftEar) + body.at(Joint::RightEar));
    add(&table::HEAD, ears, ears);
    add(&table::TRUNK, mid(Part::Shoulder), mid(Part::Hip));
    for s in 0..2 {
        let (elbow, wrist) = (at(Part::Elbow, s), at(Part::Wrist, s));
        let fist = wrist + (wrist - elbow).normalize_or_zero() * lifter.hand;
        add(&table::UPPER_ARM, at(Part::Shoulder, s), elbow);
        add(&table::FOREARM, elbow, wrist);
        add(&table::HAND, wrist, fist);
        add(&table::THIGH, at(Part::Hip, s), at(Part::Knee, s));
        add(&table::SHANK, at(Part::Knee, s), at(Part::Ankle, s));
        add(&table::FOOT, at(Part::Heel, s), body.tip[s]);
    }
    let weight = lifter.bar_kg / lifter.body_kg * total;
    (sum + bar * weight) / (total + weight)
}
