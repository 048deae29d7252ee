//! What is known before anything is seen: means and spreads of camera and body.
//!
//! Lengths are fractions of stature unless stated. Sources: Drillis & Contini 1966 as in Winter
//! 2009, fig. 4.1 (segments); ANSUR II 2012 (feet and stature, 4082 men and 1986 women); UI-PRMD
//! deep squats (Vakanski et al. 2018; toe-out, knee over foot in standing, ankle ahead of the
//! heel). Spreads are widened where a keypoint stands for a joint centre only roughly, and for
//! shoes. Camera habits are common practice, no source.

use crate::angle::tan;
use crate::keypoints::Setup;

/// Index of each unknown of the standing fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
#[allow(missing_docs)] // named one by one in `TABLE`
pub enum Unknown {
    Azimuth,
    LnDistance,
    CameraHeight,
    Pitch,
    Roll,
    Yaw,
    LnFocal,
    LnStature,
    Shank,
    Thigh,
    Foot,
    AnkleHeight,
    HipWidth,
    ShoulderWidth,
    Trunk,
    Stance,
    Stagger,
    ToeOutLeft,
    ToeOutRight,
    AnkleAhead,
    ToeBreadth,
    BigToeAhead,
    SmallToeAhead,
    HeelHeight,
    ToeHeight,
    ShankLeanLeft,
    ShankLeanRight,
    ShankInLeft,
    ShankInRight,
    PelvisAside,
    ThighLean,
    TrunkLean,
    TrunkAside,
    PelvisTurn,
    ShouldersTurn,
    PelvisTilt,
    ShouldersTilt,
}

impl Unknown {
    /// How many there are.
    pub const COUNT: usize = 37;

    /// Index into the vector of unknowns.
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// Values of the unknowns.
pub type Unknowns = [f64; Unknown::COUNT];

/// Means and standard deviations, by [`Unknown::index`].
#[derive(Clone, Debug, PartialEq)]
pub struct Priors {
    /// Means.
    pub mean: Unknowns,
    /// Standard deviations; infinite where nothing is known.
    pub sd: Unknowns,
    /// The pitch was given; else it follows from aiming at the lifter.
    pub pitch_known: bool,
    /// Height in the picture that a free camera is aimed at, m.
    pub aim: f64,
    /// Spread of the difference between the two feet's toe-out, rad.
    pub toe_out_difference_sd: f64,
}

const fn deg(x: f64) -> f64 {
    x * std::f64::consts::PI / 180.0
}

/// Mean stature and its spread when unknown: ANSUR II men and women together, m.
const STATURE: (f64, f64) = (1.71, 0.09);
/// Field of view of the long side of a phone's picture, degrees (common practice, no source).
const LONG_FOV_DEG: (f64, f64) = (66.0, 5.0);

/// Mean and spread of each unknown.
const TABLE: [(Unknown, f64, f64); Unknown::COUNT] = [
    (Unknown::Azimuth, 0.0, f64::INFINITY),
    (Unknown::LnDistance, 1.1, 0.4),    // about 3 m
    (Unknown::CameraHeight, 0.8, 0.35), // m
    (Unknown::Pitch, 0.0, deg(6.0)),    // about the aim at the lifter
    (Unknown::Roll, 0.0, deg(2.0)),
    (Unknown::Yaw, 0.0, deg(8.0)),
    (Unknown::LnFocal, 0.0, 0.095),   // set from the picture
    (Unknown::LnStature, 0.0, 0.053), // set from the lifter
    (Unknown::Shank, 0.246, 0.246 * 0.04),
    (Unknown::Thigh, 0.245, 0.245 * 0.045),
    (Unknown::Foot, 0.155, 0.155 * 0.045), // ANSUR 0.151 to 0.154 bare; shoes a little longer
    (Unknown::AnkleHeight, 0.045, 0.045 * 0.15),
    (Unknown::HipWidth, 0.112, 0.112 * 0.13),
    (Unknown::ShoulderWidth, 0.21, 0.21 * 0.12),
    (Unknown::Trunk, 0.283, 0.283 * 0.07),
    (Unknown::Stance, 0.42, 0.10),  // m
    (Unknown::Stagger, 0.0, 0.012), // m, left ankle ahead of right
    (Unknown::ToeOutLeft, deg(15.0), deg(9.6)),
    (Unknown::ToeOutRight, deg(15.0), deg(9.6)),
    (Unknown::AnkleAhead, 0.22, 0.04),  // of foot length
    (Unknown::ToeBreadth, 0.23, 0.06),  // of foot length, big to little toe
    (Unknown::BigToeAhead, 0.95, 0.05), // of foot length
    (Unknown::SmallToeAhead, 0.83, 0.05),
    (Unknown::HeelHeight, 0.025, 0.010), // m
    (Unknown::ToeHeight, 0.020, 0.010),  // m
    (Unknown::ShankLeanLeft, deg(4.0), deg(3.5)),
    (Unknown::ShankLeanRight, deg(4.0), deg(3.5)),
    (Unknown::ShankInLeft, 0.0, deg(4.0)),
    (Unknown::ShankInRight, 0.0, deg(4.0)),
    (Unknown::PelvisAside, 0.0, 0.012), // m
    (Unknown::ThighLean, deg(4.0), deg(4.0)),
    (Unknown::TrunkLean, deg(4.0), deg(5.0)),
    (Unknown::TrunkAside, 0.0, deg(1.2)),
    (Unknown::PelvisTurn, 0.0, deg(2.5)),
    (Unknown::ShouldersTurn, 0.0, deg(3.5)),
    (Unknown::PelvisTilt, 0.0, deg(1.5)),
    (Unknown::ShouldersTilt, 0.0, deg(2.0)),
];

impl Priors {
    /// Priors of a set-up: what it states narrows them.
    pub fn new(setup: &Setup) -> Self {
        let (mut mean, mut sd) = ([0.0; Unknown::COUNT], [1.0; Unknown::COUNT]);
        for (u, m, s) in TABLE {
            mean[u.index()] = m;
            sd[u.index()] = s;
        }
        let mut set = |u: Unknown, m: f64, s: f64| {
            mean[u.index()] = m;
            sd[u.index()] = s;
        };
        let (stature, spread) = match setup.lifter.height_m {
            Some(h) if h > 0.5 && h < 3.0 => (h, 0.015),
            _ => STATURE,
        };
        set(Unknown::LnStature, libm::log(stature), spread / stature);
        let (w, h) = (setup.image.width, setup.image.height);
        let focal = |side: f64, fov: f64| side / 2.0 / tan(deg(fov) / 2.0);
        match setup.camera.hfov_deg {
            Some(fov) if fov > 10.0 && fov < 150.0 => {
                set(Unknown::LnFocal, libm::log(focal(w, fov)), 0.015);
            }
            _ => {
                let f = |d: f64| focal(w.max(h), LONG_FOV_DEG.0 + d);
                let spread = libm::log(f(-LONG_FOV_DEG.1) / f(LONG_FOV_DEG.1)) / 2.0;
                set(Unknown::LnFocal, libm::log(f(0.0)), spread);
            }
        }
        let finite = |x: Option<f64>| x.filter(|v| v.is_finite() && v.abs() < 80.0);
        let pitch = finite(setup.camera.pitch_deg);
        if let Some(p) = pitch {
            set(Unknown::Pitch, deg(p), deg(1.0));
        }
        if let Some(r) = finite(setup.camera.roll_deg) {
            set(Unknown::Roll, deg(r), deg(0.7));
        }
        Self {
            mean,
            sd,
            pitch_known: pitch.is_some(),
            aim: 0.85,
            toe_out_difference_sd: deg(5.0),
        }
    }
}
