//! What a foot's picture says, or why it says nothing.

use crate::keypoints::TrackedFoot;
use crate::measures::Estimate;
use glam::DVec2;
use std::fmt;

/// Why a foot's picture gives nothing.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lost {
    /// No grey pixels came with the frame.
    NoPicture,
    /// Too few patches with texture on the foot in standing.
    NoTexture,
    /// Too dark to see the foot's texture.
    Dark,
    /// The texture is washed out: motion or focus.
    Blurred,
    /// Something else is where the foot was: it is hidden, or was set elsewhere.
    Covered,
}

impl Lost {
    /// A machine word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NoPicture => "no-picture",
            Self::NoTexture => "no-texture",
            Self::Dark => "dark",
            Self::Blurred => "blurred",
            Self::Covered => "covered",
        }
    }
}

impl fmt::Display for Lost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoPicture => "no grey pixels came with the frame",
            Self::NoTexture => "too little texture on the foot",
            Self::Dark => "too dark to see the foot",
            Self::Blurred => "the foot's picture is blurred",
            Self::Covered => "the foot is hidden, or was set elsewhere",
        })
    }
}

impl std::error::Error for Lost {}

/// What the picture says of a foot in one frame, relative to quiet standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootMotion {
    /// Height of the heel point above standing, mm; `None` when the rear foot can't be followed.
    pub heel_lift_mm: Option<Estimate>,
    /// Rotation about the long axis, inward +, degrees.
    pub foot_roll_deg: Option<Estimate>,
    /// Movement of the ball over the floor: along the foot, and toward the other foot, mm.
    pub slip_mm: [Estimate; 2],
    /// The camera's own movement since standing, px of the recording's picture.
    pub shake_px: DVec2,
    /// Heel point and the bases of big and little toe in the recording's picture, px.
    pub contacts_px: [Option<DVec2>; 3],
    /// Patches that agree with the motion: behind the ball, about it, ahead of it, on the floor.
    pub agreeing: [usize; 4],
    /// Patches there are: behind the ball, about it, ahead of it, on the floor.
    pub patches: [usize; 4],
    /// How far the foot has been set elsewhere since this setting of the feet was learnt: along
    /// itself and toward the other foot, mm, and turned out, degrees; `None` when it has not been.
    pub set_by: Option<[f64; 3]>,
}

impl FootMotion {
    /// Part of the foot's patches that agree with the motion.
    pub(super) fn held(&self) -> f64 {
        let sum = |counts: &[usize; 4]| counts[..3].iter().sum::<usize>() as f64;
        sum(&self.agreeing) / sum(&self.patches).max(1.0)
    }
}

impl From<FootMotion> for TrackedFoot {
    /// What of a motion is kept with a recording.
    fn from(motion: FootMotion) -> Self {
        let pair = |e: Estimate| [e.value, e.sd];
        Self {
            heel_lift_mm: motion.heel_lift_mm.map(pair),
            foot_roll_deg: motion.foot_roll_deg.map(pair),
            shin_px: None,
            contacts_px: motion.contacts_px.map(|p| p.map(|p| [p.x, p.y])),
            set_by: motion.set_by,
        }
    }
}
