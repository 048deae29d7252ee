//! What is said to a lifter.

#[path = "../support/sets.rs"]
mod sets;

mod ids;
mod sentences;
