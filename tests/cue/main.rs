//! What is said to a lifter.

mod sentences;
