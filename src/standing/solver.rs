//! Damped least squares (Levenberg 1944, Marquardt 1963) with a numeric Jacobian.

use nalgebra::{DMatrix, DVector};

/// Where the search stopped.
#[derive(Clone, Debug)]
pub struct Minimum<const N: usize> {
    /// The unknowns.
    pub x: [f64; N],
    /// Sum of squared residuals.
    pub cost: f64,
}

/// Steps of the numeric derivative, in the unknowns' own units (radians, metres, logs, ratios).
const STEP: f64 = 1e-6;

/// Scratch of a search over `N` unknowns and `rows` residuals.
#[derive(Debug)]
pub struct Solver<const N: usize> {
    /// Derivatives of each residual by the unknowns.
    jacobian: Vec<[f64; N]>,
    here: DVector<f64>,
    there: DVector<f64>,
}

/// Fills in the residuals of a vector of unknowns. One type for all problems, so that the solver is
/// in the module once.
pub type Residuals<'a, const N: usize> = dyn Fn(&[f64; N], &mut [f64]) + 'a;

impl<const N: usize> Solver<N> {
    /// For problems with `rows` residuals.
    pub fn new(rows: usize) -> Self {
        Self {
            jacobian: vec![[0.0; N]; rows],
            here: DVector::zeros(rows),
            there: DVector::zeros(rows),
        }
    }

    /// Lowers the sum of squares of `residuals` from `start` in at most `limit` steps. A residual
    /// that is not finite makes a step count as worse.
    pub fn minimise(
        &mut self,
        start: [f64; N],
        limit: usize,
        residuals: &Residuals<'_, N>,
    ) -> Minimum<N> {
        let mut x = start;
        residuals(&x, self.here.as_mut_slice());
        let mut cost = finite(self.here.norm_squared());
        let mut damping = 1e-3;
        for _ in 0..limit {
            self.differentiate(&x, residuals);
            let normal = self.normal();
            let slope = self.slopes_along(self.here.as_slice());
            let mut gained = 0.0;
            for _ in 0..6 {
                let mut damped = normal.clone();
                for i in 0..N {
                    damped[(i, i)] += damping * normal[(i, i)].max(1e-12);
                }
                let Some(factor) = damped.cholesky() else {
                    damping *= 10.0;
                    continue;
                };
                let step = factor.solve(&slope);
                let mut tried = x;
                for (value, change) in tried.iter_mut().zip(step.iter()) {
                    *value -= change;
                }
                residuals(&tried, self.there.as_mut_slice());
                let new_cost = finite(self.there.norm_squared());
                if new_cost < cost {
                    gained = cost - new_cost;
                    x = tried;
                    cost = new_cost;
                    std::mem::swap(&mut self.here, &mut self.there);
                    damping = (damping * 0.2).max(1e-9);
                    break;
                }
                damping *= 8.0;
            }
            if gained <= 1e-5 * cost.max(1e-3) {
                break;
            }
        }
        Minimum { x, cost }
    }

    /// Covariance of the unknowns at `x`: inverse of the normal matrix, residuals being scaled to
    /// unit variance. `None` when it is singular.
    pub fn covariance(
        &mut self,
        x: &[f64; N],
        residuals: &Residuals<'_, N>,
    ) -> Option<DMatrix<f64>> {
        residuals(x, self.here.as_mut_slice());
        self.differentiate(x, residuals);
        let inverse = self.normal().cholesky()?.inverse();
        inverse.iter().all(|v| v.is_finite()).then_some(inverse)
    }

    /// Two unknowns more, estimated together with those of the last call of
    /// [`Solver::covariance`], which gave `covariance`: their values and variances to first order
    /// (Schur complement of the extended normal equations). `by` holds the residuals' derivatives
    /// by each. `None` when the residuals do not depend on them.
    pub fn further(&self, covariance: &DMatrix<f64>, by: &[Vec<f64>; 2]) -> [Option<[f64; 2]>; 2] {
        let here = self.here.as_slice();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let pulled = self.slopes_along(here);
        by.each_ref().map(|by| {
            let mixed = self.slopes_along(by);
            let spread = covariance * &mixed;
            let left = dot(by, by) - mixed.dot(&spread);
            let pull = pulled.dot(&spread) - dot(by, here);
            (left > 1e-9).then(|| [pull / left, 1.0 / left])
        })
    }

    /// The normal matrix. A point hangs on a third of the
    /// unknowns and a prior on one or two: what is zero is passed over.
    fn normal(&self) -> DMatrix<f64> {
        let mut normal = DMatrix::zeros(N, N);
        let mut held = [0; N];
        for row in &self.jacobian {
            let mut count = 0;
            for (i, slope) in row.iter().enumerate() {
                if *slope != 0.0 {
                    held[count] = i;
                    count += 1;
                }
            }
            for (k, &j) in held[..count].iter().enumerate() {
                for &i in &held[k..count] {
                    normal[(i, j)] += row[i] * row[j];
                }
            }
        }
        normal.fill_upper_triangle_with_lower_triangle();
        normal
    }

    /// The Jacobian's transpose times a vector of the residuals' size.
    fn slopes_along(&self, by: &[f64]) -> DVector<f64> {
        let mut sum = DVector::zeros(N);
        for (row, by) in self.jacobian.iter().zip(by) {
            for (sum, slope) in sum.iter_mut().zip(row) {
                *sum += slope * by;
            }
        }
        sum
    }

    fn differentiate(&mut self, x: &[f64; N], residuals: &Residuals<'_, N>) {
        let mut moved = *x;
        for i in 0..N {
            moved[i] = x[i] + STEP;
            residuals(&moved, self.there.as_mut_slice());
            moved[i] = x[i];
            let pairs = self.there.iter().zip(&self.here);
            for (row, (there, here)) in self.jacobian.iter_mut().zip(pairs) {
                let slope = (there - here) / STEP;
                row[i] = if slope.is_finite() { slope } else { 0.0 };
            }
        }
    }
}

fn finite(x: f64) -> f64 {
    if x.is_finite() { x } else { f64::MAX }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A straight line through points on it: the exact answer and the textbook covariance
    /// (inverse of the normal matrix, here [[3, 3], [3, 5]]).
    #[test]
    fn finds_a_line_and_its_covariance() {
        let line = |x: &[f64; 2], out: &mut [f64]| {
            for (i, r) in out.iter_mut().enumerate() {
                *r = x[0] + x[1] * i as f64 - (1.0 + 2.0 * i as f64);
            }
        };
        let mut solver = Solver::<2>::new(3);
        let found = solver.minimise([0.0; 2], 50, &line);
        assert!((found.x[0] - 1.0).abs() < 1e-4 && (found.x[1] - 2.0).abs() < 1e-4);
        let covariance = solver.covariance(&found.x, &line).expect("regular");
        assert!((covariance[(0, 0)] - 5.0 / 6.0).abs() < 1e-5);
        assert!((covariance[(0, 1)] + 0.5).abs() < 1e-5);
    }
}
