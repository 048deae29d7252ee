//! Names of the checks and of their channels (check and side).

use crate::keypoints::Side;

/// A check of the contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Check {
    /// Height of the heel point above its standing height, mm.
    HeelLift,
    /// Lean of the shank out of the foot's vertical plane, degrees, + = inside; 0 = the knee over the
    /// second toe, whatever it is in standing.
    KneeIn,
    /// Rotation of the foot about its long axis, degrees, + = inward.
    FootRoll,
    /// Movement of the centre of mass along the feet, % of foot length, + = toward the toes.
    Forward,
    /// Left foot's share of the load, %, 50 = even.
    LoadLeft,
}

impl Check {
    /// All of them.
    pub const ALL: [Check; 5] = [
        Self::HeelLift,
        Self::KneeIn,
        Self::FootRoll,
        Self::Forward,
        Self::LoadLeft,
    ];

    /// The report's field name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::HeelLift => "heel_lift_mm",
            Self::KneeIn => "knee_in_deg",
            Self::FootRoll => "foot_roll_deg",
            Self::Forward => "forward_pct",
            Self::LoadLeft => "load_left_pct",
        }
    }

    /// The check of that field name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.name() == name)
    }
}

/// A check on a side, where it has sides. Discriminants index arrays of [`Channel::COUNT`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Channel {
    HeelLiftLeft,
    HeelLiftRight,
    KneeInLeft,
    KneeInRight,
    FootRollLeft,
    FootRollRight,
    Forward,
    LoadLeft,
}

impl Channel {
    /// How many there are.
    pub const COUNT: usize = 8;

    /// Place of the thighs' inclination in a frame's reading: behind the channels, since no check is
    /// made of it.
    pub(crate) const THIGH: usize = Self::COUNT;
    /// Values in a frame's reading.
    pub(crate) const READ: usize = Self::COUNT + 1;

    /// All of them, in index order.
    pub const ALL: [Channel; Self::COUNT] = [
        Self::HeelLiftLeft,
        Self::HeelLiftRight,
        Self::KneeInLeft,
        Self::KneeInRight,
        Self::FootRollLeft,
        Self::FootRollRight,
        Self::Forward,
        Self::LoadLeft,
    ];

    /// Index into arrays of [`Channel::COUNT`].
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The check it belongs to.
    pub const fn check(self) -> Check {
        match self {
            Self::HeelLiftLeft | Self::HeelLiftRight => Check::HeelLift,
            Self::KneeInLeft | Self::KneeInRight => Check::KneeIn,
            Self::FootRollLeft | Self::FootRollRight => Check::FootRoll,
            Self::Forward => Check::Forward,
            Self::LoadLeft => Check::LoadLeft,
        }
    }

    /// The side it belongs to; `None` for the two that have none.
    pub const fn side(self) -> Option<Side> {
        match self {
            Self::HeelLiftLeft | Self::KneeInLeft | Self::FootRollLeft => Some(Side::Left),
            Self::HeelLiftRight | Self::KneeInRight | Self::FootRollRight => Some(Side::Right),
            Self::Forward | Self::LoadLeft => None,
        }
    }

    /// The channel of a check; `side` is ignored by the two checks that have none.
    pub const fn of(check: Check, side: Side) -> Self {
        let s = side as usize;
        match check {
            Check::HeelLift => Self::ALL[s],
            Check::KneeIn => Self::ALL[2 + s],
            Check::FootRoll => Self::ALL[4 + s],
            Check::Forward => Self::Forward,
            Check::LoadLeft => Self::LoadLeft,
        }
    }
}

/// A value with its standard error, in the check's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error, above 0.
    pub sd: f64,
}

/// What carried a value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Evidence {
    /// Keypoints alone.
    #[default]
    Keypoints,
    /// The foot's tracked picture alone.
    Picture,
    /// Both, weighed by their variances.
    Both,
}

impl Evidence {
    /// The report's word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Keypoints => "keypoints",
            Self::Picture => "picture",
            Self::Both => "both",
        }
    }
}
