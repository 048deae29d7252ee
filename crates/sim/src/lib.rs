//! Invented lifters, cameras and estimator noise with exact truth. Nothing here is real data.
//!
//! The core is measured against this crate, so it shares no body model, no camera and no
//! formula with it: only the types of a recording. Data goes one way:
//!
//! ```text
//! Lifter + Script -> Scene (3D, with truth) -> Camera + Noise -> Film (recording + truth)
//! ```
//!
//! World: metres, x = lifter's left, y = up, z = forward, origin on the floor midway between
//! the ankles of the first stance. Sides are indexed left 0, right 1.

pub mod anthropometry;
pub mod body;
pub mod camera;
pub mod clips;
pub mod coach;
pub mod degraded;
pub mod drawn;
pub mod fault;
pub mod film;
pub mod foot;
pub mod json;
pub mod leg;
pub mod lifter;
pub mod noise;
pub mod others;
pub mod points;
pub mod prmd;
pub mod profile;
pub mod rendered;
pub mod rng;
pub mod scene;
pub mod script;
pub mod set;
pub mod sets;
pub mod truth;
pub mod upper;
pub mod validate;

pub use camera::{Camera, View};
pub use fault::{Fault, Kind, Shape};
pub use film::Film;
pub use lifter::Lifter;
pub use noise::Noise;
pub use scene::Scene;
pub use script::{Action, Script};
pub use set::SetSpec;
pub use truth::Truth;
