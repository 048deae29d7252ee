//! Prior of what a lifter's repetitions share: shape of the profile, and nonlinearity of what is read.

/// A symmetric matrix of both: of shape with itself, of bend with itself, of one with the other.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Symmetric2(pub [f64; 3]);

impl Symmetric2 {
    /// One over the squares of two SDs.
    pub fn precision(sd: [f64; 2]) -> Self {
        Self([1.0 / (sd[0] * sd[0]), 1.0 / (sd[1] * sd[1]), 0.0])
    }

    /// The squares of two SDs.
    pub fn variance(sd: [f64; 2]) -> Self {
        Self([sd[0] * sd[0], sd[1] * sd[1], 0.0])
    }

    pub fn plus(self, k: f64, other: Self) -> Self {
        let (Self(a), Self(b)) = (self, other);
        Self([a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]])
    }

    pub fn times(self, v: [f64; 2]) -> [f64; 2] {
        let Self([a, b, c]) = self;
        [a * v[0] + c * v[1], c * v[0] + b * v[1]]
    }

    /// `None` unless it is that of an ellipse.
    pub fn inverse(self) -> Option<Self> {
        let Self([a, b, c]) = self;
        let det = a * b - c * c;
        (a > 0.0 && det > 0.0).then(|| Self([b / det, a / det, -c / det]))
    }
}

/// Prior of shape and bend: how far the shape is from minimum jerk (0) toward a cosine (1), and how far
/// what is read runs ahead of the drop or behind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Prior {
    pub mean: [f64; 2],
    /// Precision: inverse of the variances.
    pub precision: Symmetric2,
}

impl Prior {
    /// Means and SDs.
    pub fn new(shape: (f64, f64), bend: (f64, f64)) -> Self {
        Self {
            mean: [shape.0, bend.0],
            precision: Symmetric2::precision([shape.1, bend.1]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inverse_undoes_its_matrix() {
        let both = Symmetric2([3.0, 2.0, -1.5]);
        let back = both.inverse().unwrap().times(both.times([0.7, -0.2]));
        assert!((back[0] - 0.7).abs() < 1e-12 && (back[1] + 0.2).abs() < 1e-12);
        assert!(Symmetric2([1.0, 1.0, 1.0]).inverse().is_none());
    }
}
