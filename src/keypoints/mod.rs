//! Keypoints as any pose estimator gives them: names, layouts, and the recording they come in.

mod bearings;
mod estimator;
mod joint;
mod layout;
mod marks;
mod node;
mod offsets;
mod read;
mod read_feet;
mod read_setup;
mod recording;
mod sides;
#[cfg(feature = "serde")]
mod tree;

pub use bearings::BEARINGS;
pub(crate) use bearings::about;
pub(crate) use estimator::is_estimator;
pub use joint::{Joint, Part, Side};
pub use layout::Layout;
pub(crate) use marks::MARKED;
pub use marks::{Marks, marks_of};
pub use node::Node;
pub(crate) use offsets::{Offset, Offsets, Stage};
pub use read::read_recording;
pub use read_setup::read_setup;
pub use recording::{
    CameraHint, Carry, Footwear, ImageSize, Lifter, Load, Person, RawFrame, Recording, Setup,
    TrackedFeet, TrackedFoot,
};
pub use sides::Sides;
#[cfg(feature = "serde")]
pub use tree::Tree;
