//! Keypoints as any pose estimator gives them: names, layouts, and the recording they come in.

mod joint;
mod layout;
mod read;
mod read_feet;
mod recording;

pub use joint::{Joint, Part, Side};
pub use layout::Layout;
pub use read::{Node, read_recording, read_setup};
pub use recording::{
    CameraHint, Carry, Footwear, ImageSize, Lifter, Load, Person, RawFrame, Recording, Setup,
    TrackedFeet, TrackedFoot,
};
