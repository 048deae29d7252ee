//! Follows the feet's own picture, because keypoints can't see a light heel.
//!
//! A [`FootTracker`] learns one foot from small grey crops of quiet standing: patches with texture,
//! what each shows (the foot behind its ball, the foot ahead of it, the floor) and where it is in
//! the world, from the standing fit's camera and body. In every later frame it finds the same
//! patches again by pyramidal Lucas-Kanade, always against the picture of standing and never
//! against the frame before, so that nothing drifts; and it asks which motion of a planted foot
//! (pitch, roll, little slip) and which shake of the camera explain where they
//! went. Patches that go elsewhere (a shadow, a plate, the other leg, floor taken for foot) drop
//! out and lose trust. Without enough patches that agree it says that the foot is lost, and why.
//! A foot that was set a few centimetres elsewhere is learnt anew once it stands still, and says how
//! far it was set; until then one that was out of sight for some frames counts as less sure of its
//! place ([`FootTracker::learnt_anew`]).
//!
//! # Which crop
//! One fixed rectangle per foot, chosen when the tracker is made and kept as long as the foot
//! stays planted: the box around heel, toes and ankle in standing, wider by half a foot length on
//! every side (the floor beside the foot shows the camera's shake; a lifting heel stays inside).
//! Read it at the camera's full resolution; when it is larger than about 160 x 160 px read it at a
//! coarser scale and say so in [`GreyView::new`]'s `scale`. A foot below about 40 px gives little.
//! Crops may come with other offsets and scales than the first; they are then resampled.
//!
//! # What to make of it
//! A lift is told where the heel's picture is seen: not within 10 degrees of the toes. A roll is told
//! only along the foot, from front or behind; that of a plain foot is a lower bound, corrected by
//! what is worn ([`FootTracker::anchor_known`]). A foot of which less than eight patches behind the ball
//! are seen (the far one from the side, as a rule) gives neither, and whoever needs one should
//! rather call it unseen than trust a keypoint.
mod anew;
mod attempt;
mod block;
pub mod corners;
mod crops;
mod feet;
pub mod flow;
pub mod grey;
mod jump;
pub mod legs;
mod motion;
mod outcome;
mod outline;
mod patches;
pub mod plane;
pub mod pyramid;
mod reference;
mod solid;
mod solve;
mod strayed;
mod telling;
mod tracker;

pub use feet::{FeetPictures, Picture};
pub use grey::{GreyError, GreyView};
pub use outcome::{FootMotion, Lost};
pub use tracker::{FootTracker, Known};
