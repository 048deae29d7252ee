//! The 23 points of the body that the core knows by name.

/// The lifter's own left or right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The lifter's left (world +x).
    Left,
    /// The lifter's right (world -x).
    Right,
}

impl Side {
    /// Left first, everywhere.
    pub const BOTH: [Side; 2] = [Side::Left, Side::Right];

    /// 0 for left, 1 for right.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The other side.
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// +1 for left, -1 for right: the sign of world x on this side.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }

    /// `"left"` or `"right"`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// A paired point of the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Shoulder joint centre.
    Shoulder,
    /// Elbow joint centre.
    Elbow,
    /// Wrist joint centre.
    Wrist,
    /// Hip joint centre.
    Hip,
    /// Knee joint centre.
    Knee,
    /// Ankle joint centre.
    Ankle,
    /// Back of the heel.
    Heel,
    /// Big toe; the only toe point where a layout has one.
    BigToe,
    /// Little toe.
    SmallToe,
}

impl Part {
    /// Shoulders to big toes, without the arms: what every estimator of a whole body has on both sides.
    pub(crate) const TRUNK_AND_LEGS: [Self; 6] = [
        Self::Shoulder,
        Self::Hip,
        Self::Knee,
        Self::Ankle,
        Self::Heel,
        Self::BigToe,
    ];
}

/// A named point of the body. Discriminants are stable indices into arrays of [`Joint::COUNT`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[repr(u8)]
#[allow(missing_docs)]
pub enum Joint {
    Nose,
    LeftEye,
    RightEye,
    LeftEar,
    RightEar,
    LeftShoulder,
    RightShoulder,
    LeftElbow,
    RightElbow,
    LeftWrist,
    RightWrist,
    LeftHip,
    RightHip,
    LeftKnee,
    RightKnee,
    LeftAnkle,
    RightAnkle,
    LeftHeel,
    RightHeel,
    LeftBigToe,
    RightBigToe,
    LeftSmallToe,
    RightSmallToe,
}

impl Joint {
    /// How many there are.
    pub const COUNT: usize = 23;

    /// All of them, in index order.
    pub const ALL: [Joint; Self::COUNT] = [
        Self::Nose,
        Self::LeftEye,
        Self::RightEye,
        Self::LeftEar,
        Self::RightEar,
        Self::LeftShoulder,
        Self::RightShoulder,
        Self::LeftElbow,
        Self::RightElbow,
        Self::LeftWrist,
        Self::RightWrist,
        Self::LeftHip,
        Self::RightHip,
        Self::LeftKnee,
        Self::RightKnee,
        Self::LeftAnkle,
        Self::RightAnkle,
        Self::LeftHeel,
        Self::RightHeel,
        Self::LeftBigToe,
        Self::RightBigToe,
        Self::LeftSmallToe,
        Self::RightSmallToe,
    ];

    const NAMES: [&'static str; Self::COUNT] = [
        "nose",
        "left_eye",
        "right_eye",
        "left_ear",
        "right_ear",
        "left_shoulder",
        "right_shoulder",
        "left_elbow",
        "right_elbow",
        "left_wrist",
        "right_wrist",
        "left_hip",
        "right_hip",
        "left_knee",
        "right_knee",
        "left_ankle",
        "right_ankle",
        "left_heel",
        "right_heel",
        "left_big_toe",
        "right_big_toe",
        "left_small_toe",
        "right_small_toe",
    ];

    /// Index into arrays of [`Joint::COUNT`].
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The joint's name in recordings' custom joint maps, for example `left_big_toe`.
    pub const fn name(self) -> &'static str {
        Self::NAMES[self as usize]
    }

    /// The joint of that name; `left_toe`, `left_foot_index` mean the one toe point.
    pub fn from_name(name: &str) -> Option<Self> {
        let name = match name {
            "left_toe" | "left_foot_index" => "left_big_toe",
            "right_toe" | "right_foot_index" => "right_big_toe",
            "left_little_toe" => "left_small_toe",
            "right_little_toe" => "right_small_toe",
            other => other,
        };
        Self::ALL.into_iter().find(|j| j.name() == name)
    }

    /// The paired point on `side`.
    #[inline]
    pub const fn of(part: Part, side: Side) -> Self {
        // Pairs stand side by side, in the order of `Part`.
        Self::ALL[Self::LeftShoulder as usize + 2 * part as usize + side as usize]
    }

    /// The side it is on; `None` for the nose.
    pub const fn side(self) -> Option<Side> {
        match self as usize {
            0 => None,
            i if i % 2 == 1 => Some(Side::Left),
            _ => Some(Side::Right),
        }
    }

    /// The same point on the other side; the nose is its own mirror.
    #[inline(always)] // for every point of every person
    pub const fn mirrored(self) -> Self {
        match self as usize {
            0 => self,
            i if i % 2 == 1 => Self::ALL[i + 1],
            i => Self::ALL[i - 1],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn index_name_and_mirror_agree() {
        for (i, joint) in Joint::ALL.into_iter().enumerate() {
            assert_eq!(joint.index(), i);
            assert_eq!(Joint::from_name(joint.name()), Some(joint));
            assert_eq!(joint.mirrored().mirrored(), joint);
            assert_eq!(joint.mirrored().side(), joint.side().map(Side::other));
        }
        assert_eq!(Joint::of(Part::SmallToe, Side::Right), Joint::RightSmallToe);
        assert_eq!(Joint::of(Part::Heel, Side::Left), Joint::LeftHeel);
    }
}
