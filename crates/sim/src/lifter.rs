//! A random body and the way it squats.

use crate::anthropometry::{BALL, length};
use crate::foot::{Foot, Pivot, RollAxis};
use crate::rng::Draw;
use underfoot::keypoints::Carry;

/// A body, its stance and its habits. Lengths in metres, angles in degrees.
#[derive(Clone, Debug)]
pub struct Lifter {
    /// Stature.
    pub height: f64,
    /// 0 man, 1 woman: column of the mass table.
    pub sex: usize,
    /// Body mass, kg.
    pub body_kg: f64,
    /// Bar mass, kg; 0 without one.
    pub bar_kg: f64,
    /// How the bar, or the arms, are carried.
    pub carry: Carry,
    /// Knee to ankle.
    pub shank: f64,
    /// Hip to knee.
    pub thigh: f64,
    /// Mid-hip to mid-shoulder.
    pub trunk: f64,
    /// Shoulder to elbow.
    pub upper_arm: f64,
    /// Elbow to wrist.
    pub forearm: f64,
    /// Wrist to third knuckle.
    pub hand: f64,
    /// Between hip joints.
    pub hips: f64,
    /// Between shoulder joints.
    pub shoulders: f64,
    /// Shoulders to eyes.
    pub neck: f64,
    /// Between the ankles in standing.
    pub stance: f64,
    /// The feet.
    pub feet: [Foot; 2],
    /// How it moves without any fault.
    pub habits: Habits,
}

/// How a lifter moves without any fault: the spread that correct squats have.
#[derive(Clone, Copy, Debug)]
pub struct Habits {
    /// Reach of the legs in standing, fraction of shank + thigh (straight is 1).
    pub reach: f64,
    /// Shank's forward lean in standing.
    pub lean_standing: f64,
    /// Shank's forward lean at the bottom (facts of UI-PRMD correct squats: 29.6, SD 4.9).
    pub lean_bottom: f64,
    /// How far the knees run ahead of the hips: the lean goes with the drop to this power
    /// (UI-PRMD correct squats: at a fifth of the drop the knees have made 0.35 to 0.6 of their
    /// way, powers 0.3 to 0.65).
    pub lead: f64,
    /// Pelvis drop at the bottom as a fraction of its standing height (same: 0.535, SD 0.080).
    pub depth: f64,
    /// Lean of the shank inside (+) the foot's line at the bottom by side (UI-PRMD correct squats: 1.3 degrees
    /// in the lowest third, after 7.1 in standing; these lifters vary less than its 6.2).
    pub knee: [f64; 2],
    /// Rise of the heel point at the bottom by side, mm (correct squats: marker up 7, SD 3.5;
    /// part of that is skin and shoe, so less here).
    pub heel_mm: [f64; 2],
    /// Centre of mass ahead of the ankles in standing, fraction of foot length.
    pub com_ahead: f64,
    /// Its drift at the bottom, % of foot length.
    pub com_drift: f64,
    /// Sideways shift of the pelvis at the bottom, + = left, mm.
    pub shift_mm: f64,
    /// Turn of pelvis and shoulders against the feet, + = to the left.
    pub yaw: f64,
    /// Sideways bend of the trunk, + = to the left.
    pub side_bend: f64,
}

impl Lifter {
    /// A random lifter.
    pub fn random(draw: &mut Draw) -> Self {
        let height = draw.trimmed(1.73, 0.09, 2.3);
        let part = |draw: &mut Draw, fraction: f64, sd: f64| {
            height * fraction * (1.0 + draw.trimmed(0.0, sd, 2.5))
        };
        let shank = part(draw, length::SHANK, 0.035);
        let thigh = part(draw, length::THIGH, 0.035);
        let stance = draw.uniform(0.30, 0.52);
        let toe_out = draw.uniform(6.0, 28.0);
        let skew = draw.trimmed(0.0, 1.5, 2.0);
        let foot_length = part(draw, length::FOOT, 0.035);
        let ankle = part(draw, length::ANKLE_HEIGHT, 0.08);
        let along = draw.uniform(0.17, 0.25);
        let pivot = draw.pick(&[Pivot::Ball, Pivot::ToeTip]);
        let axis = draw.pick(&[RollAxis::Edge, RollAxis::Midline]);
        let first = Foot::random(draw, foot_length, ankle, along, pivot, axis);
        let mut feet = [first.clone(), first];
        for (foot, sign) in feet.iter_mut().zip([1.0, -1.0]) {
            foot.toe_out = (toe_out + sign * skew).clamp(6.0, 28.0);
        }
        let carry = draw.pick(&[Carry::None, Carry::Back, Carry::Back, Carry::Front]);
        let body_kg = draw.trimmed(24.5, 2.5, 2.0) * height * height;
        let bar_kg = if carry == Carry::None {
            0.0
        } else {
            draw.uniform(20.0, 1.2 * body_kg)
        };
        let knee = draw.trimmed(1.0, 2.0, 2.0);
        let heel = draw.uniform(0.0, 4.0);
        Self {
            height,
            sex: draw.below(2),
            body_kg,
            bar_kg,
            carry,
            shank,
            thigh,
            trunk: part(draw, length::TRUNK, 0.035),
            upper_arm: part(draw, length::UPPER_ARM, 0.035),
            forearm: part(draw, length::FOREARM, 0.035),
            hand: 0.5 * part(draw, length::HAND, 0.03),
            hips: part(draw, length::HIPS, 0.08),
            shoulders: part(draw, length::SHOULDERS, 0.06),
            neck: part(draw, length::NECK, 0.05),
            stance,
            feet,
            habits: Habits {
                reach: draw.uniform(0.992, 0.999),
                lean_standing: draw.trimmed(3.0, 1.2, 2.0),
                lean_bottom: draw.trimmed(29.0, 4.0, 2.0),
                lead: 1.0,
                depth: draw.trimmed(0.52, 0.05, 2.0),
                knee: [
                    knee + draw.trimmed(0.0, 0.7, 2.0),
                    knee + draw.trimmed(0.0, 0.7, 2.0),
                ],
                heel_mm: [heel, heel],
                com_ahead: draw.uniform(0.08, 0.22),
                com_drift: draw.trimmed(0.0, 2.0, 2.0),
                shift_mm: draw.trimmed(0.0, 4.0, 2.0),
                yaw: draw.trimmed(0.0, 1.0, 2.0),
                side_bend: draw.trimmed(0.0, 0.5, 2.0),
            },
        }
    }

    /// The same body with a foot that behaves in the given way.
    pub fn with_feet(mut self, pivot: Pivot, axis: RollAxis) -> Self {
        for foot in &mut self.feet {
            foot.pivot = pivot;
            foot.axis = axis;
        }
        self
    }

    /// Heel to ball, m.
    pub fn ball(&self, side: usize) -> f64 {
        BALL * self.feet[side].length
    }
}
