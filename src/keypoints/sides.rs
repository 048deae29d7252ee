//! A pair of values, one for each side of the lifter.

use super::Side;

/// A value for each side.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Sides<T> {
    /// The lifter's left.
    pub left: T,
    /// The lifter's right.
    pub right: T,
}

impl<T> Sides<T> {
    /// The value on `side`.
    pub fn get(&self, side: Side) -> &T {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    /// The value on `side`, to be written.
    pub fn get_mut(&mut self, side: Side) -> &mut T {
        match side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }
}
