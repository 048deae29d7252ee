//! Follows feet and shins of a close-up in the picture, from one still picture in which they were marked.
//!
//! The marks (heel, toes, ankle, top of the shin) go through the standing fit, which gives a camera and a body. From
//! there each foot is followed by its own texture ([`super::FootTracker`]) and each shin as a rigid body of known
//! length that turns about its ankle: two angles explain where the two edges of its silhouette are seen, after Harris
//! and Stennett 1990, "RAPID, a video rate object tracker", with the reference picture's own outline as the model.
//! Nothing is followed from frame to frame, so nothing drifts.
//!
//! The shins of a whole body are followed the same way beside its feet, from where an estimator's points have them in
//! quiet standing.

mod follower;
mod line;
mod outline;
mod shin;
mod shins;

pub use follower::{Followed, LegsFollower, Unmarked};
pub(in crate::picture) use shins::Shins;
