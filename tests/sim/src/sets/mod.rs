//! Whole sets as they happen in garages and gyms, with everything that must not add or lose a
//! repetition. Invented, like all of this crate.

mod act;
mod company;
mod count;
mod film;
mod plan;

pub use act::script;
pub use count::{Counted, Tally, count, quantile, trace};
pub use film::{Lifted, Take, film, take};
pub use plan::{Crop, Lift, Plan, Scores};
