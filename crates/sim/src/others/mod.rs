//! Recordings of things that are no squats, with a figure of their own: neither the core's nor the
//! simulator's squatting body.

pub mod figure;
mod film;
mod kinds;
pub mod moved;
pub mod table;

pub use film::film;
pub use kinds::{Kind, Play};
