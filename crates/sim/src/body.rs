//! The whole body from where the feet are and how far the pelvis has dropped.

use crate::foot::{FootPoints, FootState};
use crate::leg;
use crate::lifter::Lifter;
use crate::upper::{self, Trunk};
use glam::{DVec2, DVec3};
use underfoot::keypoints::{Joint, Part, Side};

/// What the body is asked to do at one moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stance {
    /// The feet.
    pub feet: [FootState; 2],
    /// Bearing that the lifter faces, degrees, + = toward its left (world +x from +z).
    pub facing: f64,
    /// Pelvis below its standing height, m.
    pub drop: f64,
    /// Change of the knees' line beyond the habit, degrees, + = in.
    pub knee: [f64; 2],
    /// Centre of mass ahead of where the habit has it, % of foot length.
    pub forward_pct: f64,
    /// Pelvis to the left of the middle, mm.
    pub shift_mm: f64,
    /// Postural sway of the pelvis: left, forward, m.
    pub sway: DVec2,
    /// Trunk lean that overrides balance (bending to the camera), degrees.
    pub bend: Option<f64>,
}

/// Every point of the body, m.
#[derive(Clone, Copy, Debug)]
pub struct Body {
    /// By [`Joint`] index.
    pub joints: [DVec3; Joint::COUNT],
    /// Toe tips.
    pub tip: [DVec3; 2],
    /// Centre of mass, the bar included.
    pub com: DVec3,
    /// Roll of the feet, degrees, + = in, rest included.
    pub roll: [f64; 2],
    /// Pelvis below standing, fraction of the height it stands at.
    pub drop: f64,
}

impl Body {
    /// A joint's place.
    pub fn at(&self, joint: Joint) -> DVec3 {
        self.joints[joint.index()]
    }

    /// Puts a joint.
    pub fn set(&mut self, part: Part, side: usize, at: DVec3) {
        self.joints[Joint::of(part, Side::BOTH[side]).index()] = at;
    }
}

/// +1 for left, -1 for right.
pub fn sign(side: usize) -> f64 {
    if side == 0 { 1.0 } else { -1.0 }
}

struct Legs<'a> {
    lifter: &'a Lifter,
    feet: [FootPoints; 2],
    forward: DVec3,
    left: DVec3,
    /// Floor point midway between the resting ankles.
    middle: DVec3,
}

impl Legs<'_> {
    fn hips(&self, pelvis: DVec3) -> [DVec3; 2] {
        let (sin, cos) = self.lifter.habits.yaw.to_radians().sin_cos();
        // Turned to the left: the left hip goes back.
        let across = self.left * cos - self.forward * sin;
        [0, 1].map(|s| pelvis + across * (sign(s) * self.lifter.hips / 2.0))
    }

    fn knees(&self, pelvis: DVec3, target: Option<[f64; 2]>) -> [DVec3; 2] {
        let hips = self.hips(pelvis);
        [0, 1].map(|s| {
            let foot = &self.feet[s];
            let (shank, thigh) = (self.lifter.shank, self.lifter.thigh);
            let aim = target.map(|t| t[s]);
            leg::knee(
                foot.ankle,
                hips[s],
                shank,
                thigh,
                foot.long,
                foot.medial,
                aim,
            )
        })
    }

    /// Pelvis at height `y` and `aside` so that the shanks lean forward by `lean` degrees on average.
    fn pelvis(&self, y: f64, aside: f64, lean: f64, target: Option<[f64; 2]>) -> DVec3 {
        let want = lean.to_radians().sin() * self.lifter.shank;
        let at = |z: f64| self.middle + self.left * aside + self.forward * z + DVec3::Y * y;
        let (mut low, mut high) = (-0.75, 0.45);
        for _ in 0..34 {
            let z = 0.5 * (low + high);
            let knees = self.knees(at(z), target);
            let lean = 0.5
                * ((knees[0] - self.feet[0].ankle) + (knees[1] - self.feet[1].ankle))
                    .dot(self.forward);
            if lean < want {
                low = z;
            } else {
                high = z;
            }
        }
        at(0.5 * (low + high))
    }
}

/// Pelvis height with the legs as straight as the lifter stands.
fn standing_height(lifter: &Lifter, rest: &[FootPoints; 2], legs: &Legs) -> f64 {
    let reach = lifter.habits.reach * (lifter.shank + lifter.thigh);
    let hips = legs.hips(legs.middle + legs.forward * 0.02);
    [0, 1]
        .map(|s| {
            let flat = hips[s] - rest[s].ankle;
            let flat = flat.x * flat.x + flat.z * flat.z;
            rest[s].ankle.y + (reach * reach - flat).max(0.01).sqrt()
        })
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

/// The body in this stance.
pub fn solve(lifter: &Lifter, stance: &Stance) -> Body {
    let (sin, cos) = stance.facing.to_radians().sin_cos();
    let forward = DVec3::new(sin, 0.0, cos);
    let left = DVec3::new(cos, 0.0, -sin);
    let rest = [0, 1].map(|s| {
        let state = FootState {
            heel_mm: 0.0,
            roll: 0.0,
            ..stance.feet[s]
        };
        lifter.feet[s].place(&state, sign(s))
    });
    let feet = [0, 1].map(|s| lifter.feet[s].place(&stance.feet[s], sign(s)));
    let ground = 0.5 * (stance.feet[0].at + stance.feet[1].at);
    let mut legs = Legs {
        lifter,
        feet: rest,
        forward,
        left,
        middle: DVec3::new(ground.x, 0.0, ground.y),
    };
    let h = &lifter.habits;
    let stands_at = standing_height(lifter, &rest, &legs);
    // The knees' line in standing: straight ahead along the feet.
    let standing = legs.pelvis(stands_at, 0.0, h.lean_standing, None);
    let line = |legs: &Legs, knees: [DVec3; 2]| {
        [0, 1].map(|s| {
            let d = (knees[s] - legs.feet[s].ankle).dot(legs.feet[s].medial);
            (d / lifter.shank).clamp(-1.0, 1.0).asin().to_degrees()
        })
    };
    let rest_line = line(&legs, legs.knees(standing, None));
    let full = h.depth * stands_at;
    let part = (stance.drop / full).clamp(0.0, 1.3);
    legs.feet = feet;
    // The knees come out early: at a quarter of the way down correct squats of UI-PRMD are half way.
    let out = part.clamp(0.0, 1.0).sqrt();
    let target = [0, 1].map(|s| rest_line[s] + (h.knee[s] - rest_line[s]) * out + stance.knee[s]);
    let lean = h.lean_standing + (h.lean_bottom - h.lean_standing) * part.min(1.1).powf(h.lead);
    let length = 0.5 * (lifter.feet[0].length + lifter.feet[1].length);
    let shift = (stance.shift_mm + h.shift_mm * part) / 1e3;
    let mut pelvis = legs.pelvis(
        stands_at - stance.drop,
        shift + stance.sway.x,
        lean,
        Some(target),
    ) + forward * (stance.sway.y + 0.5 * stance.forward_pct / 100.0 * length);
    let com_at = length * (h.com_ahead + (h.com_drift * part + stance.forward_pct) / 100.0);
    let build = |pelvis: DVec3, lean: f64| {
        let trunk = Trunk {
            pelvis,
            lean,
            // The trunk leans back over the feet by part of the shift: 3 degrees for 100 mm.
            side: h.side_bend - 30.0 * shift,
            forward,
            left,
            part,
        };
        let mut body = Body::blank();
        for (s, (hip, knee)) in legs
            .hips(pelvis)
            .into_iter()
            .zip(legs.knees(pelvis, Some(target)))
            .enumerate()
        {
            body.set(Part::Hip, s, hip);
            body.set(Part::Knee, s, knee);
            body.set(Part::Ankle, s, feet[s].ankle);
            body.set(Part::Heel, s, feet[s].heel);
            body.set(Part::BigToe, s, feet[s].big_toe);
            body.set(Part::SmallToe, s, feet[s].small_toe);
            body.tip[s] = feet[s].tip;
            body.roll[s] = lifter.feet[s].rest_roll + stance.feet[s].roll;
        }
        let bar = upper::place(lifter, &trunk, &mut body);
        body.com = upper::centre_of_mass(lifter, &body, bar);
        body.drop = stance.drop / stands_at;
        body
    };
    if let Some(lean) = stance.bend {
        return build(pelvis, lean);
    }
    // The trunk leans until the centre of mass is where it should be; when it cannot lean that
    // far the pelvis gives way.
    for _ in 0..6 {
        let (mut low, mut high) = (-12.0, 75.0);
        for _ in 0..24 {
            let lean = 0.5 * (low + high);
            if (build(pelvis, lean).com - legs.middle).dot(forward) < com_at {
                low = lean;
            } else {
                high = lean;
            }
        }
        let body = build(pelvis, 0.5 * (low + high));
        let missing = com_at - (body.com - legs.middle).dot(forward);
        if missing.abs() < 1e-4 {
            return body;
        }
        pelvis += forward * missing;
    }
    build(pelvis, if stance.forward_pct > 0.0 { 60.0 } else { 20.0 })
}

impl Body {
    /// Every point at the origin.
    pub fn blank() -> Self {
        Self {
            joints: [DVec3::ZERO; Joint::COUNT],
            tip: [DVec3::ZERO; 2],
            com: DVec3::ZERO,
            roll: [0.0; 2],
            drop: 0.0,
        }
    }
}
