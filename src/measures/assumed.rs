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
}

pub(crate) const UPPER: usize = 9;
/// All assumptions: left leg, right leg, upper body.
pub(crate) const COUNT: usize = 2 * LEG + UPPER;

/// Means less the nominal ones; zero but while the error budget moves one.
pub(crate) type Shifts = [f64; COUNT];

const fn deg(x: f64) -> f64 {
    x * std::f64::consts::PI / 180.0
}

/// Spread of the logarithm of the shank's apparent length at the bottom of a deep squat: markers on
/// the knee slide by 20 to 80 mm (UI-PRMD, shorter), a pose estimator's points on rendered clips
/// moved by 4 % (longer). Grows with depth.
pub(crate) const SLIDE: f64 = 0.10;
/// Its mean: between the two.
pub(crate) const SLIDE_MEAN: f64 = -0.05;

/// Spreads of a leg's assumptions, by [`Leg`].
///
/// Lean: 29.6 (4.9) degrees at the bottom of deep squats (UI-PRMD), widened for other people.
/// Shank and thigh: here in standing; see [`SLIDE`]. The rest is common practice, no source.
pub(crate) const LEG_SD: [f64; LEG] = [
    deg(8.0),
    deg(8.0),
    deg(1.0),
    0.003,
    0.003,
    0.002,
    deg(6.5),
    deg(14.0),
    SLIDE,
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
];

/// Spread of assumption `i`.
pub(crate) fn sd(i: usize) -> f64 {
    if i < 2 * LEG {
        LEG_SD[i % LEG]
    } else {
        UPPER_SD[i - 2 * LEG]
    }
}

/// Spread of the centre of mass' movement along the feet, % of foot length. A lifter who stays on
/// the feet keeps it over them: UI-PRMD lifters had it 78 (21) mm ahead of the heel in standing
/// and 74 (23) mm at the bottom. Wide enough for one who tips forward by a tenth of a foot.
pub(crate) const BALANCE: f64 = 10.0;
