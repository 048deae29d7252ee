//! Films of invented lifters with their feet drawn: keypoints with an estimator's errors and, beside
//! them, grey crops around both feet as a phone would give them. Goes through the whole core.
//!
//! Rays of the pinhole camera are followed until they meet a foot, a shank or the floor; light from
//! above and aside (Lambert's cosine law) with shadows at the feet and under the body; blur of a
//! lens, noise of a sensor, JPEG's quantisation. Body, foot solid, textures and light are of this
//! crate's making and share nothing with the core.

mod run;
mod solid;
mod studio;
mod surface;
mod table;

pub use run::{Taken, Way, take};
pub use studio::{Crop, Helper, Room, Studio};
pub use surface::{Floor, Wear};
pub use table::{Figures, HEAD, SET, Set, VIEWS, run};

#[path = "../../../../tests/picture/support/jpeg.rs"]
#[allow(missing_docs)]
mod jpeg;
