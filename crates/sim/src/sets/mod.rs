//! Whole sets as they happen in garages and gyms, with everything that must not add or lose a
//! repetition. Invented, like all of this crate.

mod act;
mod company;
mod count;
mod faulty;
mod film;
mod live;
mod plan;
mod tally;

pub use act::script;
pub use count::{Change, Counted, Told, Traced, count, repetitions, trace};
pub use film::{Beside, Lifted, Take, film, film_with, planned, take};
pub use live::{Changes, FINAL_MS};
pub use plan::{Crop, Lift, Phone, Plan, Scores};
pub use tally::{Found, Row, Tally, quantile};
