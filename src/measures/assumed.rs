//! What a frame's geometry assumes beyond the pixels: means that the error budget moves one by
//! one, and their spreads.

/// An assumption about the lifter in a squat. Those of a leg come twice, left first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub(crate) enum Leg {
    /// Foot's pitch about the ball, rad.
    Pitch,
    /// Foot's roll, rad.
    Roll,
    /// Foot's turn about the vertical, rad.
    Turn,
    /// Slip along, across and above the floor, m.
    SlipAlong,
    SlipAcross,
    Rise,
    /// Shank's lean about the expected one, rad.
    Lean,
    /// Shank's inward lean about standing, rad.
    Inward,
    /// Logarithm of the shank's apparent length against standing.
    Shank,
    /// The same of the thigh.
    Thigh,
}

pub(crate) const LEG: usize = 10;

/// Assumptions about pelvis and trunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub(crate) enum Upper {
    PelvisTurn,
    PelvisTilt,
    /// Lean of the trunk forward and aside, rad.
    Lean,
    Aside,
    /// Logarithm of the trunk's length against standing: the spine bends.
    Trunk,
    ShouldersTurn,
    ShouldersTilt,
    /// Left shank's lean less the right one's, against standing, rad.
    LeanApart,
    /// The same of the logarithms of the shanks' apparent lengths.
    SlideApart,
    /// Logarithm of the odds of markers that slide.
    SlideOdds,
    /// How high on the shoulders a bar lies, m: high and low carries.
    Bar,
    /// Logarithm of the shoulders' apparent width against standing: raised arms draw them together.
    ShoulderWidth,
    /// Logarithm of the arms' length against the one they show in standing.
    Arms,
}

pub(crate) const UPPER: usize = 13;
/// All assumptions: left leg, right leg, upper body.
pub(crate) const COUNT: usize = 2 * LEG + UPPER;

/// Means less the nominal ones; zero but while the error budget moves one.
pub(crate) type Shifts = [f64; COUNT];

const fn deg(x: f64) -> f64 {
    x * std::f64::consts::PI / 180.0
}

/// A way in which the shank's apparent length changes with depth.
pub(crate) struct Slide {
    /// Mean of the logarithm of its length against standing, at a deep bottom.
    pub mean: f64,
    /// Its spread.
    pub sd: f64,
    /// The same of the thigh's.
    pub thigh: f64,
    /// Its spread.
    pub thigh_sd: f64,
    /// Logarithm of how much likelier it is than the first, before anything is seen.
    pub log_odds: f64,
}

/// Points of a pose estimator hardly slide (on rendered clips the shank grew by 4 %). Optical
/// markers on the skin of the knee do: the shank shortens by 0.14 (0.04) at a drop of half the
/// pelvis' height (UI-PRMD, 156 legs). Which of the two holds is told by the lean that each implies.
pub(crate) const SLIDES: [Slide; 2] = [
    Slide {
        mean: 0.0,
        sd: 0.03,
        thigh: 0.0,
        thigh_sd: 0.0,
        log_odds: 0.0,
    },
    Slide {
        mean: -0.13,
        sd: 0.045,
        thigh: -0.10,
        thigh_sd: 0.06,
        log_odds: 0.0,
    },
];

/// Spreads of a leg's assumptions, by [`Leg`].
///
/// Lean: 29.6 (4.9) degrees at the bottom of deep squats (UI-PRMD), widened for other people.
/// Shank and thigh: here in standing; see [`SLIDES`]. The rest is common practice, no source.
pub(crate) const LEG_SD: [f64; LEG] = [
    deg(8.0),
    deg(8.0),
    deg(1.0),
    0.003,
    0.003,
    0.002,
    deg(7.5),
    deg(20.0),
    0.04,
    0.03,
];

/// Spreads of the upper body's assumptions, by [`Upper`].
pub(crate) const UPPER_SD: [f64; UPPER] = [
    deg(4.0),
    deg(3.0),
    deg(17.0),
    deg(6.0),
    0.04,
    deg(5.0),
    deg(4.0),
    deg(3.0),
    0.03,
    1.5,
    0.02,
    0.08,
    0.10,
];

/// Spread of assumption `i`.
pub(crate) fn sd(i: usize) -> f64 {
    if i < 2 * LEG {
        LEG_SD[i % LEG]
    } else {
        UPPER_SD[i - 2 * LEG]
    }
}

/// Spread of the centre of mass' movement along the feet, % of foot length, by which a frame's forward
/// shift is weighed against what is seen: lifters with a bar keep it over their feet (common practice,
/// no source; UI-PRMD lifters had it 78 (21) mm ahead of the heel in standing and 74 (23) mm at the bottom).
pub(crate) const BALANCE: f64 = 12.0;

/// How far it may be in truth, for the error that is told of the forward shift: the largest departures of
/// UI-PRMD's repetitions, arms overhead, are 13 (10.5) %.
pub(crate) const SWING: f64 = 6.0;
