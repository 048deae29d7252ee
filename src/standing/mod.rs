//! Quiet standing: a camera and a body that explain it, with a covariance.

pub mod body;
pub mod camera;
mod fit;
mod noise;
pub mod priors;
mod problem;
mod quiet;
mod rest;
mod view;

pub use body::Body;
pub use camera::Camera;
pub use fit::{StandingFit, Unfit, fit};
pub use noise::Noise;
pub(crate) use problem::camera_of;
pub use quiet::{Quiet, QuietFinder};
pub use view::{Standing, View};
