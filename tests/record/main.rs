//! What hosts keep, and the statistics of what changed.

#[path = "../support/sets.rs"]
mod sets;
#[path = "../support/tree.rs"]
mod tree;

mod history;
mod statistics;
