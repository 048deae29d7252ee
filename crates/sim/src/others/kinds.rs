//! What people do in front of a phone that is no squat, and what a film can be that shows one badly.

use super::figure::{Figure, Posture, turned};
use crate::body::Body;
use crate::profile::minimum_jerk;
use crate::rng::Draw;
use glam::{DMat3, DVec3};
use std::f64::consts::{PI, TAU};
use underfoot::keypoints::Joint;

/// A movement, or what became of the points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // named below
pub enum Kind {
    Jumps,
    Lunges,
    SideLunges,
    SplitSquats,
    Kneeling,
    HipSway,
    PushUps,
    JumpingJacks,
    Deadlifts,
    Chair,
    GoodMornings,
    CalfRaises,
    Marching,
    Walking,
    StepUps,
    PistolSquats,
    ArmRaises,
    Swings,
    RandomWalk,
    Shuffled,
    Cloud,
    UpsideDown,
    Turned,
    Squeezed,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 24] = [
        Self::Jumps,
        Self::Lunges,
        Self::SideLunges,
        Self::SplitSquats,
        Self::Kneeling,
        Self::HipSway,
        Self::PushUps,
        Self::JumpingJacks,
        Self::Deadlifts,
        Self::Chair,
        Self::GoodMornings,
        Self::CalfRaises,
        Self::Marching,
        Self::Walking,
        Self::StepUps,
        Self::PistolSquats,
        Self::ArmRaises,
        Self::Swings,
        Self::RandomWalk,
        Self::Shuffled,
        Self::Cloud,
        Self::UpsideDown,
        Self::Turned,
        Self::Squeezed,
    ];

    /// In tables.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Jumps => "jumps",
            Self::Lunges => "lunges",
            Self::SideLunges => "side lunges",
            Self::SplitSquats => "split squats",
            Self::Kneeling => "kneeling down",
            Self::HipSway => "hip sway",
            Self::PushUps => "push-ups",
            Self::JumpingJacks => "jumping jacks",
            Self::Deadlifts => "deadlifts",
            Self::Chair => "sitting on a chair",
            Self::GoodMornings => "good mornings",
            Self::CalfRaises => "calf raises",
            Self::Marching => "marching on the spot",
            Self::Walking => "walking to and fro",
            Self::StepUps => "step-ups",
            Self::PistolSquats => "squats on one leg",
            Self::ArmRaises => "arm raises",
            Self::Swings => "swings",
            Self::RandomWalk => "points that wander",
            Self::Shuffled => "squats with shuffled joints",
            Self::Cloud => "breathing cloud of points",
            Self::UpsideDown => "squats upside down",
            Self::Turned => "squats turned by a quarter",
            Self::Squeezed => "squats squeezed to 45 to 65 %",
        }
    }

    /// The film shows squats, which may be read where that is put right.
    pub const fn squats(self) -> bool {
        matches!(self, Self::UpsideDown | Self::Turned | Self::Squeezed)
    }
}

/// One performance: how large and quick it is, and the figure.
#[derive(Clone, Copy, Debug)]
pub struct Play {
    /// What.
    pub kind: Kind,
    /// Who.
    pub figure: Figure,
    /// Seconds of one repetition.
    period: f64,
    /// 0.8 to 1.2.
    size: f64,
    stance: f64,
    out: f64,
    side: usize,
}

/// Quiet standing first, s.
pub const BEFORE_S: f64 = 2.5;
/// How often.
pub const TIMES: usize = 4;

impl Play {
    /// A random one of this kind.
    pub fn random(kind: Kind, draw: &mut Draw) -> Self {
        let period = match kind {
            Kind::Jumps => draw.uniform(1.3, 2.0),
            Kind::JumpingJacks | Kind::Marching => draw.uniform(0.9, 1.4),
            Kind::Swings => draw.uniform(1.3, 1.8),
            Kind::CalfRaises | Kind::HipSway | Kind::ArmRaises => draw.uniform(1.5, 3.0),
            Kind::Kneeling | Kind::Chair | Kind::Walking => draw.uniform(4.0, 6.0),
            _ => draw.uniform(2.4, 4.0),
        };
        Self {
            kind,
            figure: Figure::random(draw),
            period,
            size: draw.uniform(0.8, 1.2),
            stance: draw.uniform(0.25, 0.45),
            out: draw.uniform(5.0, 22.0),
            side: draw.below(2),
        }
    }

    /// Seconds it takes.
    pub fn seconds(&self) -> f64 {
        BEFORE_S + TIMES as f64 * (self.period + 0.6) + 1.5
    }

    /// The body at `t` seconds.
    pub fn at(&self, t: f64) -> Body {
        let into = t - BEFORE_S;
        let each = self.period + 0.6;
        let n = (into / each).floor();
        let u = if into < 0.0 || n >= TIMES as f64 {
            0.0
        } else {
            ((into - n * each) / self.period).clamp(0.0, 1.0)
        };
        let side = (self.side + n.max(0.0) as usize) % 2;
        self.posture(u, side, into)
    }

    /// `u` goes from 0 to 1 over one repetition; `side` alternates.
    fn posture(&self, u: f64, side: usize, into: f64) -> Body {
        let f = &self.figure;
        let mut p = f.standing(self.stance, self.out);
        let k = self.size;
        // Down and up once.
        let hump = minimum_jerk(1.0 - (2.0 * u - 1.0).abs());
        // There, a stay, and back.
        let stay = minimum_jerk(3.5 * u.min(1.0 - u));
        let s = if side == 0 { 1.0 } else { -1.0 };
        match self.kind {
            Kind::Jumps => {
                let dip =
                    |a: f64, b: f64| minimum_jerk(1.0 - (2.0 * (u - a) / (b - a) - 1.0).abs());
                p.pelvis.y -= 0.28 * k * (dip(0.0, 0.5) + 0.6 * dip(0.66, 1.0));
                let up = ((u - 0.42) / 0.28).clamp(0.0, 1.0);
                let rise = 0.3 * k * 4.0 * up * (1.0 - up);
                p.pelvis.y += rise;
                p.lean += 25.0 * dip(0.0, 0.5);
                for foot in &mut p.feet {
                    foot.at.y += (rise - 0.03).max(0.0);
                    foot.tiptoe = 50.0 * minimum_jerk(4.0 * up.min(1.0 - up));
                }
                p.hands = [(DVec3::new(0.1, -1.0 + 1.6 * up.min(1.0), 0.5), 0.9); 2];
            }
            Kind::Lunges | Kind::SplitSquats => {
                // Split squats keep their feet where the first step put them.
                let apart = if self.kind == Kind::Lunges {
                    stay
                } else {
                    minimum_jerk((into + 1.6) / 0.8)
                };
                let front = if self.kind == Kind::Lunges {
                    side
                } else {
                    self.side
                };
                let down = if self.kind == Kind::Lunges {
                    stay
                } else {
                    hump
                };
                p.feet[front].at.z += 0.42 * k * apart;
                p.feet[front].out = 3.0;
                p.feet[1 - front].at.z -= 0.36 * k * apart;
                p.feet[1 - front].out = 3.0;
                p.feet[1 - front].tiptoe = 45.0 * apart;
                p.pelvis.y -= 0.1 * k * apart + 0.26 * k * down;
                p.lean += 4.0 * down;
                p.along = 0.3;
            }
            Kind::SideLunges => {
                p.feet[side].at.x += s * 0.5 * k * stay;
                p.pelvis.x += s * 0.42 * k * stay;
                p.pelvis.y -= 0.3 * k * stay;
                p.pelvis.z -= 0.15 * stay;
                p.lean += 30.0 * stay;
            }
            Kind::Kneeling => {
                // One knee, then both, and back.
                let one = minimum_jerk(4.0 * u.min(1.0 - u));
                let two = minimum_jerk(4.0 * (u - 0.22).min(0.78 - u));
                let low = f.shank() * 0.98;
                p.pelvis.y -= low * (0.55 * one + 0.40 * two);
                p.pelvis.z += 0.15 * two;
                for (i, part) in [(side, one), (1 - side, two)] {
                    p.feet[i].at.z -= 0.33 * part;
                    p.feet[i].tiptoe = 70.0 * part;
                }
                p.along = 0.3;
            }
            Kind::HipSway => {
                p.pelvis.x += 0.14 * k * (TAU * u).sin();
                p.pelvis.y -= 0.02 * (TAU * u).sin().abs();
                p.side -= 8.0 * (TAU * u).sin();
            }
            Kind::PushUps => return self.push_up(hump),
            Kind::JumpingJacks => {
                for (i, foot) in p.feet.iter_mut().enumerate() {
                    let out = if i == 0 { 1.0 } else { -1.0 };
                    foot.at.x += out * 0.28 * k * stay;
                    foot.at.y += 0.06 * (2.0 * TAU * u).sin().max(0.0);
                }
                p.pelvis.y += 0.06 * (2.0 * TAU * u).sin() - 0.09 * stay;
                let up = PI * 0.95 * stay;
                p.hands = [(DVec3::new(up.sin() + 0.05, -up.cos(), 0.0), 0.97); 2];
            }
            Kind::Deadlifts | Kind::GoodMornings | Kind::Swings => {
                let (lean, drop, back) = match self.kind {
                    Kind::Deadlifts => (62.0, 0.22, 0.20),
                    Kind::GoodMornings => (75.0, 0.05, 0.20),
                    _ => (58.0, 0.12, 0.16),
                };
                p.lean += lean * k.min(1.1) * hump;
                p.pelvis.y -= drop * k * hump;
                p.pelvis.z -= back * hump;
                if self.kind == Kind::Swings {
                    let up = -0.5 + 1.6 * (1.0 - hump) * f64::from(u8::from(u > 0.5));
                    p.hands = [(DVec3::new(-0.1, up, 0.7), 0.97); 2];
                } else if self.kind == Kind::GoodMornings {
                    p.hands = [(DVec3::new(0.8, 0.2, -0.3), 0.6); 2];
                } else {
                    p.hands = [(DVec3::new(0.0, -1.0, 0.05), 0.98); 2];
                }
            }
            Kind::Chair => {
                // Down on a seat, back upright, and up again.
                p.pelvis.y += (0.46 + 0.08 - p.pelvis.y) * stay;
                p.pelvis.z -= (0.38 + 0.04 * k) * stay;
                let moving = minimum_jerk(7.0 * u.min(1.0 - u))
                    - minimum_jerk(4.0 * (u.min(1.0 - u) - 0.22));
                p.lean += 38.0 * moving;
            }
            Kind::CalfRaises => {
                p.feet
                    .iter_mut()
                    .for_each(|foot| foot.tiptoe = 30.0 * k * hump);
                p.pelvis.y += 0.075 * k * hump;
                p.pelvis.z += 0.04 * hump;
            }
            Kind::Marching => {
                p.feet[side].at.y += 0.35 * k * hump;
                p.feet[side].at.z += 0.15 * hump;
                p.pelvis.x -= s * 0.05 * hump;
            }
            Kind::Walking => {
                let way = 0.9 * k * (TAU * u).sin();
                p.pelvis.z += way;
                let step = (into * TAU / 1.1).sin();
                let on = if into > 0.0 {
                    hump.clamp(0.0, 1.0)
                } else {
                    0.0
                };
                for (i, foot) in p.feet.iter_mut().enumerate() {
                    let phase = if i == 0 { step } else { -step };
                    foot.at.z += way + 0.25 * phase * on;
                    foot.at.y += 0.06 * phase.max(0.0) * on;
                }
                p.pelvis.y -= 0.03 * on * step.abs();
            }
            Kind::StepUps => {
                let on = stay;
                p.feet[side].at.z += 0.35 * minimum_jerk(5.0 * u.min(1.0 - u));
                p.feet[side].at.y += 0.3 * minimum_jerk(6.0 * u.min(1.0 - u));
                p.feet[1 - side].at.z += 0.35 * minimum_jerk(4.0 * (u - 0.2).min(0.8 - u));
                p.feet[1 - side].at.y += 0.3 * minimum_jerk(4.0 * (u - 0.2).min(0.8 - u));
                p.pelvis.y += 0.3 * minimum_jerk(4.0 * (u - 0.15).min(0.85 - u));
                p.pelvis.z += 0.3 * on;
                p.lean += 12.0 * on;
            }
            Kind::PistolSquats => {
                let free = 1 - side;
                p.feet[free].at.z += 0.55 * hump;
                p.feet[free].at.y += 0.18 * minimum_jerk(6.0 * u.min(1.0 - u));
                p.pelvis.x += s * (self.stance / 2.0 - 0.05) * minimum_jerk(6.0 * u.min(1.0 - u));
                p.pelvis.y -= 0.4 * k * hump;
                p.pelvis.z -= 0.12 * hump;
                p.lean += 32.0 * hump;
            }
            Kind::ArmRaises => {
                let up = PI * 0.95 * hump;
                p.hands = [(DVec3::new(up.sin(), -up.cos(), 0.1), 0.97); 2];
            }
            // Squats, or no figure at all: see `film`.
            _ => {
                p.pelvis.y -= 0.42 * k.min(1.05) * hump;
                p.pelvis.z -= 0.10 * hump;
                p.lean += 36.0 * hump;
                p.hands = [(DVec3::new(0.1, -1.0 + hump, 0.1 + hump), 0.95); 2];
            }
        }
        f.body(&p)
    }

    /// Straight from shoulders to heels, on hands and toes: lies down over the standing time's first second.
    fn push_up(&self, hump: f64) -> Body {
        let f = &self.figure;
        let p: Posture = f.standing(0.2, 0.0);
        let arm = 0.55 * (1.0 - 0.6 * hump * self.size.min(1.1));
        let mut body = f.body(&Posture {
            hands: [(DVec3::new(0.2, 0.0, 1.0), 0.95 - 0.5 * hump); 2],
            ..p
        });
        let long = f.leg() + f.trunk();
        let tilt = 90.0 - (arm / long).asin().to_degrees();
        let turn = DMat3::from_rotation_x(tilt.to_radians());
        let lift = DVec3::new(0.0, 0.08, -0.6);
        body = turned(body, |at| turn * at + lift);
        // Hands stay on the floor.
        for (joint, x) in [(Joint::LeftWrist, 0.25), (Joint::RightWrist, -0.25)] {
            let shoulder = if x > 0.0 {
                Joint::LeftShoulder
            } else {
                Joint::RightShoulder
            };
            let at = body.at(shoulder);
            body.joints[joint.index()] = DVec3::new(x, 0.03, at.z);
        }
        body
    }
}
