//! A figure that can take any posture: a pelvis somewhere, a trunk on it, legs to two feet and arms to
//! two hands. Nothing in it knows what a squat is.

use crate::anthropometry::length;
use crate::body::{Body, sign};
use crate::leg::bend;
use crate::rng::Draw;
use glam::DVec3;
use underfoot::keypoints::{Joint, Part, Side};

/// A body, lengths in metres.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Stature.
    pub height: f64,
    shank: f64,
    thigh: f64,
    trunk: f64,
    upper_arm: f64,
    forearm: f64,
    hips: f64,
    shoulders: f64,
    neck: f64,
    foot: f64,
    ankle: f64,
}

/// Where a foot is.
#[derive(Clone, Copy, Debug)]
pub struct FootPlace {
    /// Under the ankle of the flat foot: left, up, forward, m.
    pub at: DVec3,
    /// Turned out, degrees.
    pub out: f64,
    /// Heel up about the ball, degrees.
    pub tiptoe: f64,
}

/// What the figure does at one moment. Angles in degrees.
#[derive(Clone, Copy, Debug)]
pub struct Posture {
    /// Middle of the hips: left, up, forward, m.
    pub pelvis: DVec3,
    /// Trunk's lean forward.
    pub lean: f64,
    /// Trunk's lean to the left.
    pub side: f64,
    /// Left foot, right foot.
    pub feet: [FootPlace; 2],
    /// Knees point this way between straight ahead (0) and along the feet (1).
    pub along: f64,
    /// Hands from their shoulders: forward and up, as directions in the world, with the arms this much
    /// stretched (0 to 1).
    pub hands: [(DVec3, f64); 2],
}

impl Figure {
    /// A random one.
    pub fn random(draw: &mut Draw) -> Self {
        let height = draw.trimmed(1.73, 0.09, 2.3);
        let mut part =
            |fraction: f64, sd: f64| height * fraction * (1.0 + draw.trimmed(0.0, sd, 2.5));
        Self {
            shank: part(length::SHANK, 0.035),
            thigh: part(length::THIGH, 0.035),
            trunk: part(length::TRUNK, 0.035),
            upper_arm: part(length::UPPER_ARM, 0.035),
            forearm: part(length::FOREARM, 0.035),
            hips: part(length::HIPS, 0.08),
            shoulders: part(length::SHOULDERS, 0.06),
            neck: part(length::NECK, 0.05),
            foot: part(length::FOOT, 0.035),
            ankle: part(length::ANKLE_HEIGHT, 0.08),
            height,
        }
    }

    /// Length of the leg with the ankle, m: how high the hips stand.
    pub fn leg(&self) -> f64 {
        self.shank + self.thigh + self.ankle
    }

    /// Knee to ankle, m.
    pub fn shank(&self) -> f64 {
        self.shank
    }

    /// Mid-hip to mid-shoulder, m.
    pub fn trunk(&self) -> f64 {
        self.trunk
    }

    /// The ankle's height over a flat foot, m.
    pub fn ankle(&self) -> f64 {
        self.ankle
    }

    /// Standing with the ankles this far apart, arms hanging.
    pub fn standing(&self, apart: f64, out: f64) -> Posture {
        let reach = 0.995 * (self.shank + self.thigh);
        let aside = (apart - self.hips) / 2.0;
        let up = (reach * reach - aside * aside).max(0.01).sqrt() + self.ankle;
        Posture {
            pelvis: DVec3::new(0.0, up, 0.03),
            lean: 4.0,
            side: 0.0,
            feet: [0, 1].map(|s| FootPlace {
                at: DVec3::new(sign(s) * apart / 2.0, 0.0, 0.0),
                out,
                tiptoe: 0.0,
            }),
            along: 1.0,
            hands: [(DVec3::new(0.0, -1.0, 0.1), 0.95); 2],
        }
    }

    /// Every point of the body.
    pub fn body(&self, posture: &Posture) -> Body {
        let mut body = Body::blank();
        let (left, forward) = (DVec3::X, DVec3::Z);
        let (sin, cos) = posture.lean.to_radians().sin_cos();
        let aside = posture.side.to_radians().sin();
        let up = (DVec3::Y * cos + forward * sin + left * aside).normalize();
        let chest = forward * cos - DVec3::Y * sin;
        let shoulders = posture.pelvis + up * self.trunk;
        for s in 0..2 {
            let place = posture.feet[s];
            let (out_sin, out_cos) = place.out.to_radians().sin_cos();
            let long = forward * out_cos + left * (sign(s) * out_sin);
            let medial = -left * (sign(s) * out_cos) + forward * out_sin;
            let l = self.foot;
            let ankle = place.at + DVec3::Y * self.ankle;
            let ball = place.at + long * (0.52 * l);
            let (ts, tc) = place.tiptoe.to_radians().sin_cos();
            let pitched = |p: DVec3| {
                let arm = p - ball;
                let (a, u) = (arm.dot(long), arm.y);
                let rest = arm - long * a - DVec3::Y * u;
                ball + rest + long * (a * tc + u * ts) + DVec3::Y * (u * tc - a * ts)
            };
            let hip = posture.pelvis + left * (sign(s) * self.hips / 2.0);
            let ankle = pitched(ankle);
            let pole = forward.lerp(long, posture.along) + DVec3::Y * 0.05;
            let (knee, reached) = bend(hip, ankle, self.thigh, self.shank, pole);
            // Feet that are out of reach hang from the leg.
            let slip = reached - ankle;
            let slip = if slip.length() < 0.02 {
                DVec3::ZERO
            } else {
                slip
            };
            body.set(Part::Hip, s, hip);
            body.set(Part::Knee, s, knee);
            body.set(Part::Ankle, s, ankle + slip);
            let heel = place.at - long * (0.22 * l) + DVec3::Y * 0.02;
            body.set(Part::Heel, s, pitched(heel) + slip);
            let tip = place.at + long * (0.78 * l) + DVec3::Y * 0.02;
            body.set(Part::BigToe, s, tip + medial * 0.03 * l + slip);
            body.set(
                Part::SmallToe,
                s,
                tip - long * (0.13 * l) - medial * (0.27 * l) + slip,
            );
            body.tip[s] = tip + slip;
            let shoulder = shoulders + left * (sign(s) * self.shoulders / 2.0);
            let (way, stretched) = posture.hands[s];
            let arm = (self.upper_arm + self.forearm) * stretched;
            let way = DVec3::new(way.x * sign(s), way.y, way.z).normalize_or_zero();
            let (elbow, wrist) = bend(
                shoulder,
                shoulder + way * arm,
                self.upper_arm,
                self.forearm,
                -chest - DVec3::Y * 0.3 + left * (0.5 * sign(s)),
            );
            body.set(Part::Shoulder, s, shoulder);
            body.set(Part::Elbow, s, elbow);
            body.set(Part::Wrist, s, wrist);
        }
        self.head(posture, shoulders, &mut body);
        body
    }

    fn head(&self, posture: &Posture, shoulders: DVec3, body: &mut Body) {
        let (sin, cos) = (0.5 * posture.lean).to_radians().sin_cos();
        let up = DVec3::Y * cos + DVec3::Z * sin;
        let face = DVec3::Z * cos - DVec3::Y * sin;
        let h = self.height;
        let ears = shoulders + up * self.neck;
        for (side, ear, eye) in [
            (1.0, Joint::LeftEar, Joint::LeftEye),
            (-1.0, Joint::RightEar, Joint::RightEye),
        ] {
            body.joints[ear.index()] = ears + DVec3::X * (side * 0.045 * h);
            body.joints[eye.index()] = ears + DVec3::X * (side * 0.018 * h) + face * (0.05 * h);
        }
        body.joints[Joint::Nose.index()] = ears + face * (0.066 * h);
    }
}

/// Turns a body about the origin: left joints stay the lifter's left.
pub fn turned(mut body: Body, turn: impl Fn(DVec3) -> DVec3) -> Body {
    for at in body.joints.iter_mut().chain(&mut body.tip) {
        *at = turn(*at);
    }
    body
}

/// The middle of a pair.
pub fn middle(body: &Body, part: Part) -> DVec3 {
    0.5 * (body.at(Joint::of(part, Side::Left)) + body.at(Joint::of(part, Side::Right)))
}
