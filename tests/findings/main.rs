//! Findings against the trade's rules and made-up lifters.

#[path = "../support/sets.rs"]
mod sets;

mod resting_roll;
mod rules;
mod table;
