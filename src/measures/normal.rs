//! Normal equations of a few unknowns, on the stack.

// Triangular loops over matrices read best with the indices of the textbooks.
#![allow(clippy::needless_range_loop)]

/// Normal matrix and right-hand side of a weighted linear least-squares problem.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Normal<const N: usize> {
    a: [[f64; N]; N],
    g: [f64; N],
    cost: f64,
}

impl<const N: usize> Default for Normal<N> {
    fn default() -> Self {
        Self {
            a: [[0.0; N]; N],
            g: [0.0; N],
            cost: 0.0,
        }
    }
}

impl<const N: usize> Normal<N> {
    /// One observation: `miss` (observed less predicted), its slopes, its weight (1 / variance).
    #[inline]
    pub fn add(&mut self, slopes: &[f64; N], miss: f64, weight: f64) {
        for i in 0..N {
            let s = weight * slopes[i];
            for j in 0..=i {
                self.a[i][j] += s * slopes[j];
            }
            self.g[i] += s * miss;
        }
        self.cost += weight * miss * miss;
    }

    /// A direct observation of unknown `i`.
    #[inline]
    pub fn hold(&mut self, i: usize, miss: f64, sd: f64) {
        let w = 1.0 / (sd * sd);
        self.a[i][i] += w;
        self.g[i] += w * miss;
        self.cost += w * miss * miss;
    }

    /// One observation of the `M` unknowns from `first` on.
    #[inline]
    pub fn add_block<const M: usize>(
        &mut self,
        first: usize,
        slopes: &[f64; M],
        miss: f64,
        weight: f64,
    ) {
        for i in 0..M {
            let s = weight * slopes[i];
            for j in 0..=i {
                self.a[first + i][first + j] += s * slopes[j];
            }
            self.g[first + i] += s * miss;
        }
        self.cost += weight * miss * miss;
    }

    /// One observation of the `A` unknowns from `first[0]` on and the `B` ones from `first[1]` on,
    /// which come later.
    #[inline]
    pub fn add_blocks<const A: usize, const B: usize>(
        &mut self,
        first: [usize; 2],
        slopes: (&[f64; A], &[f64; B]),
        miss: f64,
        weight: f64,
    ) {
        for (i, slope) in slopes.1.iter().enumerate() {
            let row = &mut self.a[first[1] + i];
            for (slot, other) in row[first[0]..].iter_mut().zip(slopes.0) {
                *slot += weight * slope * other;
            }
        }
        self.add_block(first[0], slopes.0, 0.0, weight);
        self.add_block(first[1], slopes.1, miss, weight);
        for (slot, slope) in self.g[first[0]..].iter_mut().zip(slopes.0) {
            *slot += weight * slope * miss;
        }
    }

    /// A direct observation of unknown `i` less unknown `j`, with `i` < `j`.
    #[inline]
    pub fn hold_apart(&mut self, i: usize, j: usize, miss: f64, sd: f64) {
        let w = 1.0 / (sd * sd);
        self.a[i][i] += w;
        self.a[j][j] += w;
        self.a[j][i] -= w;
        self.g[i] += w * miss;
        self.g[j] -= w * miss;
        self.cost += w * miss * miss;
    }

    /// Weighted sum of squares that is left after the step that [`Normal::solve`] gave, as far as
    /// the problem is linear.
    #[inline]
    pub fn left(&self, step: &[f64; N]) -> f64 {
        let gained: f64 = self.g.iter().zip(step).map(|(g, x)| g * x).sum();
        (self.cost - gained).max(0.0)
    }

    /// The step that solves it (L D L^T elimination, in place: once only); `None` when it is singular.
    #[inline]
    pub fn solve(&mut self) -> Option<[f64; N]> {
        let mut g = self.g;
        let mut inverse = [0.0; N];
        let mut column = [0.0; N];
        for k in 0..N {
            let pivot = self.a[k][k];
            if pivot.is_nan() || pivot <= 1e-14 {
                return None;
            }
            inverse[k] = 1.0 / pivot;
            for i in k + 1..N {
                let row = &mut self.a[i];
                column[i] = row[k];
                let l = column[i] * inverse[k];
                for j in k + 1..=i {
                    row[j] -= l * column[j];
                }
                // The factor stays where the coefficient was, which is not needed again.
                row[k] = l;
                g[i] -= l * g[k];
            }
        }
        for i in (0..N).rev() {
            let mut x = g[i] * inverse[i];
            for k in i + 1..N {
                x -= self.a[k][i] * g[k];
            }
            g[i] = x;
        }
        Some(g)
    }
}

#[cfg(test)]
mod tests {
    use super::Normal;

    /// An observation of two blocks is one of all, with nothing between them.
    #[test]
    fn blocks_are_a_part_of_all() {
        let mut all = Normal::<4>::default();
        let mut blocks = Normal::<4>::default();
        for (k, miss) in [0.5, -2.0, 3.0, 7.0, 1.0].into_iter().enumerate() {
            let k = k as f64;
            let s = [1.0 + k, 0.3 - k, 0.7 * k * k];
            all.add(&[s[0], 0.0, s[1], s[2]], miss, 2.0);
            blocks.add_blocks([0, 2], (&[s[0]], &[s[1], s[2]]), miss, 2.0);
        }
        for normal in [&mut all, &mut blocks] {
            normal.hold(1, 1.0, 0.5);
        }
        let (x, y) = (
            all.solve().expect("regular"),
            blocks.solve().expect("regular"),
        );
        assert!(x.iter().zip(y).all(|(x, y)| (x - y).abs() < 1e-12));
        assert!((all.left(&x) - blocks.left(&y)).abs() < 1e-9);
    }

    /// 2x + y = 5, x + 3y = 10 has the solution (1, 3).
    #[test]
    fn solves_two_equations() {
        let mut normal = Normal::<2>::default();
        normal.add(&[2.0, 1.0], 5.0, 4.0);
        normal.add(&[1.0, 3.0], 10.0, 0.5);
        let x = normal.solve().expect("regular");
        assert!((x[0] - 1.0).abs() < 1e-12 && (x[1] - 3.0).abs() < 1e-12);
        assert!(normal.left(&x) < 1e-9 && normal.left(&[0.0; 2]) == 150.0);
        assert!(Normal::<2>::default().solve().is_none());
    }
}
