//! Quiet standing: a camera and a body that explain it, with a covariance.

pub mod body;
pub mod camera;
mod fit;
mod noise;
pub mod priors;
mod quiet;
mod solver;

pub use body::Body;
pub use camera::Camera;
pub(crate) use fit::camera_of;
pub use fit::{StandingFit, Unfit, fit};
pub use noise::Noise;
pub use quiet::{Quiet, QuietFinder};
