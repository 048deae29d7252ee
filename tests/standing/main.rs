//! The standing fit, whatever the points are.

mod input;
