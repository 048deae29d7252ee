//! A recording: one lifter's keypoints over time, and what is known about the scene.

use super::layout::Layout;
use super::marks::Marks;

/// Picture size in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ImageSize {
    /// Width, px, above 0.
    pub width: f64,
    /// Height, px, above 0.
    pub height: f64,
}

/// What is known about the lifter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lifter {
    /// Stature in metres, 0.8 to 2.6, if known.
    pub height_m: Option<f64>,
}

/// How the load is carried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Carry {
    /// Bar on the back.
    Back,
    /// Bar on the front of the shoulders.
    Front,
    /// Bar overhead.
    Overhead,
    /// Weight held at the chest.
    Goblet,
    /// No load.
    #[default]
    None,
}

/// Masses, for the centre of mass.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Load {
    /// Body mass, kg, if known.
    pub body_kg: Option<f64>,
    /// Mass of the bar or weight, kg.
    pub bar_kg: Option<f64>,
    /// How it is carried.
    pub carry: Carry,
}

/// What is known about the camera.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CameraHint {
    /// Horizontal field of view of the picture as given (its width), degrees.
    pub hfov_deg: Option<f64>,
    /// The picture is flipped left-right and the estimator's left is the lifter's right.
    pub mirrored: bool,
    /// Camera pitch, degrees, + = looking up.
    pub pitch_deg: Option<f64>,
    /// Camera roll, degrees, + = picture turned clockwise.
    pub roll_deg: Option<f64>,
}

/// What is on the feet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Footwear {
    /// Bare feet or socks.
    Barefoot,
    /// Flat shoes.
    Flat,
    /// Shoes with a raised heel.
    RaisedHeel,
}

/// Everything about a recording but its frames.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Order of the points.
    pub layout: Layout,
    /// Picture size.
    pub image: ImageSize,
    /// Stature, if known.
    pub lifter: Lifter,
    /// Masses, if known.
    pub load: Load,
    /// Camera, as far as known.
    pub camera: CameraHint,
    /// Footwear, if known.
    pub footwear: Option<Footwear>,
    /// Name of the pose estimator, to pick its error profile.
    pub estimator: Option<String>,
    /// Paths of fields that are not known and were left out, the first few.
    pub unknown: Vec<String>,
    /// Feet and shins as they were marked in one still picture.
    pub marks: Option<Marks>,
}

impl Setup {
    /// A set-up of which only the layout and the picture size are known.
    pub fn new(layout: Layout, image: ImageSize) -> Self {
        Self {
            layout,
            image,
            lifter: Lifter::default(),
            load: Load::default(),
            camera: CameraHint::default(),
            footwear: None,
            estimator: None,
            unknown: Vec::new(),
            marks: None,
        }
    }
}

/// One person's points: `[x px, y px, score]` each, in the layout's order.
/// A non-finite coordinate or a score below about 0.3 means unseen.
pub type Person = Vec<[f64; 3]>;

/// What a foot's tracked picture said of one frame, relative to quiet standing: kept with a
/// recording, so that it can be read again when the picture itself is gone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TrackedFoot {
    /// Height of the heel point above standing, mm, and its standard error.
    pub heel_lift_mm: Option<[f64; 2]>,
    /// Rotation about the long axis, inward +, degrees, and its standard error.
    pub foot_roll_deg: Option<[f64; 2]>,
    /// The shin's axis in the picture: ankle and top, px.
    pub shin_px: Option<[[f64; 2]; 2]>,
    /// Heel point and the bases of the big and the little toe in the picture, px.
    pub contacts_px: [Option<[f64; 2]>; 3],
    /// How far the foot has been set elsewhere since the setting of the feet was learnt: along itself
    /// and toward the other foot, mm, and turned out, degrees. `None` where it still stands there.
    pub set_by: Option<[f64; 3]>,
}

/// Both feet's tracked pictures, left first; `None` where a foot was not followed.
pub type TrackedFeet = [Option<TrackedFoot>; 2];

/// One frame as recorded.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawFrame {
    /// Time, ms.
    pub t_ms: f64,
    /// Everybody found; empty when nobody was.
    pub people: Vec<Person>,
    /// What the feet's pictures said when the frame was taken; `None` when none were looked at.
    pub feet: Option<TrackedFeet>,
}

/// A recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// Everything but the frames.
    pub setup: Setup,
    /// Frames in order of time.
    pub frames: Vec<RawFrame>,
}
