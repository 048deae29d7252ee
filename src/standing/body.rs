//! The lifter in quiet standing: where every keypoint is in the world.

use super::priors::{Unknown, Unknowns};
use crate::angle::{sin, sin_cos};
use crate::keypoints::{Joint, Part, Side};
use glam::DVec3;

/// Ball of the foot from the heel point, of foot length (ANSUR II: 0.741 men, 0.739 women).
pub const BALL_AHEAD: f64 = 0.74;

/// One planted foot and its leg in standing. Places in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Unit vector along the foot, horizontal, toward the toes.
    pub along: DVec3,
    /// Unit vector toward the other foot, horizontal, across `along`.
    pub medial: DVec3,
    /// Floor point under the ball of the foot, on the long axis.
    pub ball: DVec3,
    /// Heel point.
    pub heel: DVec3,
    /// Big toe, or the one toe point.
    pub big_toe: DVec3,
    /// Little toe.
    pub small_toe: DVec3,
    /// Ankle joint centre.
    pub ankle: DVec3,
    /// Knee joint centre.
    pub knee: DVec3,
    /// Hip joint centre.
    pub hip: DVec3,
    /// Shank's lean along the foot in standing, rad.
    pub lean: f64,
    /// Shank's lean out of the foot's vertical plane in standing, + = medial, rad.
    pub inward: f64,
}

/// How a foot stands elsewhere on the floor than it did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootMove {
    /// Turn about the vertical at the ball, rad.
    pub turn: f64,
    /// Shift of the ball along the foot, m.
    pub along: f64,
    /// The same toward the other foot, m.
    pub medial: f64,
}

impl FootMove {
    /// Stands where it stood.
    pub const NONE: Self = Self {
        turn: 0.0,
        along: 0.0,
        medial: 0.0,
    };
}

impl Leg {
    /// The foot set elsewhere; the knee and the hip stay.
    pub fn set_elsewhere(&mut self, by: &FootMove) {
        let turn = crate::angle::turn(DVec3::Y, by.turn);
        let from = self.ball;
        let to = from + self.along * by.along + self.medial * by.medial;
        for place in [
            &mut self.ball,
            &mut self.heel,
            &mut self.big_toe,
            &mut self.small_toe,
            &mut self.ankle,
        ] {
            *place = to + turn * (*place - from);
        }
        self.along = turn * self.along;
        self.medial = turn * self.medial;
    }
}

/// The whole lifter in quiet standing. Lengths in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Left, right.
    pub legs: [Leg; 2],
    /// Midpoint of the hips.
    pub pelvis: DVec3,
    /// Midpoint of the shoulders.
    pub chest: DVec3,
    /// Left, right shoulder.
    pub shoulders: [DVec3; 2],
    /// Stature.
    pub stature: f64,
    /// Knee to ankle.
    pub shank: f64,
    /// Hip to knee.
    pub thigh: f64,
    /// Heel point to toe tip.
    pub foot: f64,
    /// Hip to hip.
    pub hip_width: f64,
    /// Shoulder to shoulder.
    pub shoulder_width: f64,
    /// Mid-hip to mid-shoulder.
    pub trunk: f64,
    /// Turn of the pelvis about the vertical and tilt of its left side up, rad.
    pub pelvis_turn: [f64; 2],
    /// The same of the shoulders, rad.
    pub shoulders_turn: [f64; 2],
    /// Lean of the trunk: forward, toward the lifter's left, rad.
    pub trunk_lean: [f64; 2],
}

/// Direction to the lifter's left of a pelvis or chest turned by `turn` and tilted by `tilt`.
#[inline]
pub fn leftward(turn: f64, tilt: f64) -> DVec3 {
    let (st, ct) = sin_cos(turn);
    let (sl, cl) = sin_cos(tilt);
    DVec3::new(ct * cl, sl, -st * cl)
}

/// Unit vector of a trunk that leans forward and toward the left, rad.
#[inline]
pub fn upward(forward: f64, aside: f64) -> DVec3 {
    let (sf, cf) = sin_cos(forward);
    let (sa, ca) = sin_cos(aside);
    DVec3::new(sa, ca * cf, ca * sf)
}

/// Unit vector of a shank that leans along the foot and out of its plane, rad.
#[inline]
pub fn shankward(along: DVec3, medial: DVec3, lean: f64, inward: f64) -> DVec3 {
    let (sl, cl) = sin_cos(lean);
    let (si, ci) = sin_cos(inward);
    medial * si + (along * sl + DVec3::Y * cl) * ci
}

impl Body {
    /// The body of a vector of unknowns. `one_toe` when the layout has a single toe point.
    pub fn new(x: &Unknowns, one_toe: bool) -> Self {
        let get = |u: Unknown| x[u.index()];
        let stature = libm::exp(get(Unknown::LnStature));
        let length = |u: Unknown| get(u).max(0.01) * stature;
        let (shank, thigh, foot) = (
            length(Unknown::Shank),
            length(Unknown::Thigh),
            length(Unknown::Foot),
        );
        let leg = |side: Side| {
            let s = side.sign();
            let (toe_out, lean, inward) = match side {
                Side::Left => (
                    get(Unknown::ToeOutLeft),
                    get(Unknown::ShankLeanLeft),
                    get(Unknown::ShankInLeft),
                ),
                Side::Right => (
                    get(Unknown::ToeOutRight),
                    get(Unknown::ShankLeanRight),
                    get(Unknown::ShankInRight),
                ),
            };
            let (st, ct) = sin_cos(toe_out);
            let along = DVec3::new(s * st, 0.0, ct);
            let medial = DVec3::new(-s * ct, 0.0, st);
            let under = DVec3::new(
                s * get(Unknown::Stance) / 2.0,
                0.0,
                s * get(Unknown::Stagger) / 2.0,
            );
            let back = under - along * (get(Unknown::AnkleAhead) * foot);
            let ankle = under + DVec3::Y * length(Unknown::AnkleHeight);
            let breadth = if one_toe {
                0.0
            } else {
                get(Unknown::ToeBreadth) * foot
            };
            let toe = |ahead: Unknown, medially: f64| {
                back + along * (get(ahead) * foot)
                    + medial * medially
                    + DVec3::Y * get(Unknown::ToeHeight)
            };
            Leg {
                along,
                medial,
                ball: back + along * (BALL_AHEAD * foot),
                heel: back + DVec3::Y * get(Unknown::HeelHeight),
                // The second toe, on the axis, is a third of the way from big to little toe.
                big_toe: toe(Unknown::BigToeAhead, breadth / 3.0),
                small_toe: toe(Unknown::SmallToeAhead, -2.0 * breadth / 3.0),
                ankle,
                knee: ankle + shankward(along, medial, lean, inward) * shank,
                hip: ankle,
                lean,
                inward,
            }
        };
        let mut legs = [leg(Side::Left), leg(Side::Right)];
        let hip_width = length(Unknown::HipWidth);
        let pelvis_turn = [get(Unknown::PelvisTurn), get(Unknown::PelvisTilt)];
        let shoulders_turn = [get(Unknown::ShouldersTurn), get(Unknown::ShouldersTilt)];
        let half = leftward(pelvis_turn[0], pelvis_turn[1]) * (hip_width / 2.0);
        let knees = (legs[0].knee + legs[1].knee) / 2.0;
        let aside = get(Unknown::PelvisAside);
        let back = thigh * sin(get(Unknown::ThighLean));
        // Hips sit a thigh's length from the knees, on the average of both sides.
        let out = 0.5
            * ((aside + half.x - legs[0].knee.x).powi(2)
                + (aside - half.x - legs[1].knee.x).powi(2));
        let rise = (thigh * thigh - back * back - out).max(0.01 * thigh * thigh);
        let pelvis = DVec3::new(aside, knees.y + rise.sqrt(), knees.z - back);
        legs[0].hip = pelvis + half;
        legs[1].hip = pelvis - half;
        let trunk = length(Unknown::Trunk);
        let trunk_lean = [get(Unknown::TrunkLean), get(Unknown::TrunkAside)];
        let chest = pelvis + upward(trunk_lean[0], trunk_lean[1]) * trunk;
        let shoulder_width = length(Unknown::ShoulderWidth);
        let half = leftward(shoulders_turn[0], shoulders_turn[1]) * (shoulder_width / 2.0);
        Self {
            legs,
            pelvis,
            chest,
            shoulders: [chest + half, chest - half],
            stature,
            shank,
            thigh,
            foot,
            hip_width,
            shoulder_width,
            trunk,
            pelvis_turn,
            shoulders_turn,
            trunk_lean,
        }
    }

    /// Place of a joint in standing, m; `None` for the arms, which take no part in the fit.
    ///
    /// Ears and nose stand a fixed way above the shoulders (eye height 0.936 and shoulder height
    /// 0.818 of stature, Drillis & Contini): only rough, and weighed so.
    pub fn joint(&self, joint: Joint) -> Option<DVec3> {
        let head = |x: f64, y: f64, z: f64| Some(self.chest + DVec3::new(x, y, z) * self.stature);
        let side = match joint {
            Joint::Nose => return head(0.0, 0.115, 0.085),
            _ => joint.side()?,
        };
        let leg = &self.legs[side.index()];
        let is = |part: Part| joint == Joint::of(part, side);
        match joint {
            Joint::LeftEar | Joint::RightEar => head(0.042 * side.sign(), 0.12, 0.02),
            _ if is(Part::Shoulder) => Some(self.shoulders[side.index()]),
            _ if is(Part::Hip) => Some(leg.hip),
            _ if is(Part::Knee) => Some(leg.knee),
            _ if is(Part::Ankle) => Some(leg.ankle),
            _ if is(Part::Heel) => Some(leg.heel),
            _ if is(Part::BigToe) => Some(leg.big_toe),
            _ if is(Part::SmallToe) => Some(leg.small_toe),
            _ => None,
        }
    }
}
