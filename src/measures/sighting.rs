//! Where a point is seen in the picture, and how surely.

use glam::{DVec2, DVec3};

/// A point seen: its place, px, and its weights (1 / px^2) along and across an axis of the picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sighting {
    pub at: DVec2,
    pub axis: DVec2,
    pub weights: [f64; 2],
}

/// A point, if it is seen.
pub(crate) type Point = Option<Sighting>;

/// What one direction of the picture says of a place: slopes of the prediction by the place, observed less predicted,
/// weight.
pub(super) type Row = (DVec3, f64, f64);

impl Sighting {
    /// Both of its observations where it is predicted at `seen`, which changes by `du` and `dv` with the place.
    #[inline]
    pub fn rows(&self, (seen, du, dv): (DVec2, DVec3, DVec3)) -> [Row; 2] {
        let miss = self.at - seen;
        let row = |way: DVec2, weight| (du * way.x + dv * way.y, miss.dot(way), weight);
        [
            row(self.axis, self.weights[0]),
            row(self.axis.perp(), self.weights[1]),
        ]
    }
}
