//! Nonlinear least squares by damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963), for every fit
//! of this crate: camera and body in standing, a foot's motion in the picture, the instants of
//! repetitions.

use crate::matrix::{Square, Vector};

/// The normal equations at one place: what all residuals and priors say of a step from there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Normal<const N: usize> {
    /// Sum of the weighted outer products of the slopes; the lower triangle alone is read.
    pub matrix: Square<N>,
    /// Half of the cost's slope, downhill.
    pub gradient: Vector<N>,
}

impl<const N: usize> Normal<N> {
    /// Of no residual.
    pub fn new() -> Self {
        Self {
            matrix: Square::zeros(),
            gradient: Vector::zeros(),
        }
    }

    /// A prior on unknown `k`, which is `off` below its mean; `precision` is one over the variance.
    pub fn prior(&mut self, k: usize, precision: f64, off: f64) {
        self.matrix[(k, k)] += precision;
        self.gradient[k] += precision * off;
    }

    /// A residual (seen less modelled) with this weight, and the model's slopes.
    pub fn observe(&mut self, slopes: &Vector<N>, residual: f64, weight: f64) {
        self.matrix.add_outer(weight, slopes);
        self.gradient += *slopes * (weight * residual);
    }

    /// The Gauss-Newton step; `None` when the equations are singular.
    pub fn step(&self) -> Option<Vector<N>> {
        Some(self.matrix.cholesky()?.solve(&self.gradient))
    }

    /// The step with the diagonal made larger by the share `damping`.
    fn damped(&self, damping: f64) -> Option<Vector<N>> {
        let mut damped = *self;
        for i in 0..N {
            damped.matrix[(i, i)] += damping * self.matrix[(i, i)].max(LEAST_DIAGONAL);
        }
        damped.step()
    }

    /// Covariance of the unknowns, residuals being scaled to unit variance; `None` when the equations
    /// are singular.
    pub fn covariance(&self) -> Option<Square<N>> {
        let inverse = self.matrix.cholesky()?.inverse();
        inverse.iter().all(|v| v.is_finite()).then_some(inverse)
    }
}

/// What is minimised over `N` unknowns.
pub(crate) trait Problem<const N: usize> {
    /// The sum of squared residuals and priors at `x`; adds the normal equations there to `normal`
    /// where they are wanted.
    fn evaluate(&mut self, x: &Vector<N>, normal: Option<&mut Normal<N>>) -> f64;

    /// Keeps a step within what makes sense.
    fn bound(&self, _from: &Vector<N>, _to: &mut Vector<N>) {}
}

/// When a search ends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Search {
    /// At most so many steps.
    pub steps: usize,
    /// Converged once a step lowers the cost by no more than this share of it.
    pub tolerance: f64,
}

/// Where a search ended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Minimum<const N: usize> {
    pub x: Vector<N>,
    /// Sum of squared residuals and priors.
    pub cost: f64,
}

// Common practice (Press et al. 2007, Numerical Recipes, 15.5.2, has a thousandth and tens): the first
// damping, by what it changes after a step that helped and after one that did not, how often a step is
// tried anew.
const DAMPING: f64 = 1e-3;
const LESS: f64 = 0.2;
const MORE: f64 = 8.0;
const TRIES: usize = 6;
const LEAST_DAMPING: f64 = 1e-9;
/// An unknown that nothing tells of is damped as if it had this much information.
const LEAST_DIAGONAL: f64 = 1e-12;
/// A cost below this (of residuals in standard errors) is none.
const LEAST_COST: f64 = 1e-3;

/// Lowers the cost from `start`. A step to where the cost is no number counts as worse.
pub(crate) fn minimise<const N: usize>(
    problem: &mut dyn Problem<N>,
    start: Vector<N>,
    search: Search,
) -> Minimum<N> {
    let mut x = start;
    let mut cost = f64::MAX;
    let mut damping = DAMPING;
    for _ in 0..search.steps {
        let mut normal = Normal::new();
        cost = finite(problem.evaluate(&x, Some(&mut normal)));
        let before = cost;
        for _ in 0..TRIES {
            let next = normal.damped(damping).map(|step| {
                let mut next = x + step;
                problem.bound(&x, &mut next);
                (next, finite(problem.evaluate(&next, None)))
            });
            if let Some((next, lower)) = next.filter(|n| n.1 < cost) {
                (x, cost) = (next, lower);
                damping = (damping * LESS).max(LEAST_DAMPING);
                break;
            }
            damping *= MORE;
        }
        if before - cost <= search.tolerance * cost.max(LEAST_COST) {
            break;
        }
    }
    Minimum { x, cost }
}

fn finite(cost: f64) -> f64 {
    if cost.is_finite() { cost } else { f64::MAX }
}

/// Huber's loss of a residual in standard errors, which grows in proportion beyond `k` (Huber 1964, Ann
/// Math Stat 35(1):73-101); and the weight that gives its slope.
pub(crate) fn huber(residual: f64, k: f64) -> (f64, f64) {
    let size = residual.abs();
    if size <= k {
        (residual * residual, 1.0)
    } else {
        (2.0 * k * size - k * k, k / size)
    }
}

/// Fills in the residuals of a vector of unknowns, in standard errors.
pub(crate) type Residuals<'a, const N: usize> = dyn Fn(&[f64; N], &mut [f64]) + 'a;

/// A problem of which the residuals alone are given: slopes are differences.
pub(crate) struct Numeric<'a, const N: usize> {
    residuals: &'a Residuals<'a, N>,
    /// Slopes of each residual by the unknowns, where the normal equations were asked for last.
    jacobian: Vec<Vector<N>>,
    here: Vec<f64>,
    there: Vec<f64>,
}

/// Step of the differences, in the unknowns' own units (radians, metres, logarithms, ratios): about the
/// root of the machine's precision.
const STEP: f64 = 1e-6;

impl<'a, const N: usize> Numeric<'a, N> {
    /// A problem with `rows` residuals.
    pub fn new(rows: usize, residuals: &'a Residuals<'a, N>) -> Self {
        Self {
            residuals,
            jacobian: vec![Vector::zeros(); rows],
            here: vec![0.0; rows],
            there: vec![0.0; rows],
        }
    }

    /// Covariance of the unknowns at `x`; `None` when the residuals do not tell them all.
    pub fn covariance(&mut self, x: &Vector<N>) -> Option<Square<N>> {
        let mut normal = Normal::new();
        self.evaluate(x, Some(&mut normal));
        normal.covariance()
    }

    /// Two unknowns more, estimated together with those whose `covariance` was asked for last: the
    /// value and the variance of each to first order (Schur complement of the extended normal
    /// equations). `by` holds the residuals' slopes by each. `None` where none depends on it.
    pub fn further(&self, covariance: &Square<N>, by: &[Vec<f64>; 2]) -> [Option<[f64; 2]>; 2] {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let downhill = self.along(&self.here);
        by.each_ref().map(|by| {
            let mixed = self.along(by);
            let spread = covariance.times(&mixed);
            let left = dot(by, by) - mixed.dot(&spread);
            let pull = downhill.dot(&spread) - dot(by, &self.here);
            (left > 1e-9).then(|| [pull / left, 1.0 / left])
        })
    }

    /// The Jacobian's transpose times a list of the residuals' size.
    fn along(&self, list: &[f64]) -> Vector<N> {
        let mut sum = Vector::zeros();
        for (slopes, by) in self.jacobian.iter().zip(list) {
            sum += *slopes * *by;
        }
        sum
    }
}

impl<const N: usize> Problem<N> for Numeric<'_, N> {
    fn evaluate(&mut self, x: &Vector<N>, normal: Option<&mut Normal<N>>) -> f64 {
        (self.residuals)(x, &mut self.here);
        let cost = self.here.iter().map(|r| r * r).sum();
        let Some(normal) = normal else {
            return cost;
        };
        let mut moved = *x;
        for i in 0..N {
            moved[i] = x[i] + STEP;
            (self.residuals)(&moved, &mut self.there);
            moved[i] = x[i];
            let pairs = self.there.iter().zip(&self.here);
            for (slopes, (there, here)) in self.jacobian.iter_mut().zip(pairs) {
                let slope = (there - here) / STEP;
                slopes[i] = if slope.is_finite() { slope } else { 0.0 };
            }
        }
        for (slopes, residual) in self.jacobian.iter().zip(&self.here) {
            normal.observe(slopes, -residual, 1.0);
        }
        cost
    }
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
        let mut problem = Numeric::<2>::new(3, &line);
        let search = Search {
            steps: 50,
            tolerance: 1e-5,
        };
        let found = minimise(&mut problem, Vector::zeros(), search);
        assert!((found.x[0] - 1.0).abs() < 1e-4 && (found.x[1] - 2.0).abs() < 1e-4);
        let covariance = problem.covariance(&found.x).expect("regular");
        assert!((covariance[(0, 0)] - 5.0 / 6.0).abs() < 1e-5);
        assert!((covariance[(0, 1)] + 0.5).abs() < 1e-5);
    }

    /// Rosenbrock 1960 (Computer Journal 3(3):175-184): its valley's lowest point is (1, 1).
    #[test]
    fn follows_a_bent_valley() {
        let valley = |x: &[f64; 2], out: &mut [f64]| {
            out[0] = 10.0 * (x[1] - x[0] * x[0]);
            out[1] = 1.0 - x[0];
        };
        let mut problem = Numeric::<2>::new(2, &valley);
        let search = Search {
            steps: 200,
            tolerance: 1e-9,
        };
        let found = minimise(&mut problem, Vector::from([-1.2, 1.0]), search);
        let off = [found.x[0] - 1.0, found.x[1] - 1.0];
        assert!(off.iter().all(|e| e.abs() < 1e-2), "{found:?}");
    }

    /// NIST StRD "Misra1a" (nonlinear regression, lower difficulty), second start: certified values and
    /// standard deviations, from memory of the published page to the digits given.
    #[test]
    fn agrees_with_a_certified_fit() {
        const DATA: [(f64, f64); 14] = [
            (10.07, 77.6),
            (14.73, 114.9),
            (17.94, 141.1),
            (23.93, 190.8),
            (29.61, 239.9),
            (35.18, 289.0),
            (40.02, 332.8),
            (44.82, 378.4),
            (50.76, 434.8),
            (55.05, 477.3),
            (61.01, 536.8),
            (66.40, 593.1),
            (75.47, 689.1),
            (81.78, 760.0),
        ];
        // In hundreds and ten-thousandths, so that one step of differences suits both.
        let misra = |b: &[f64; 2], out: &mut [f64]| {
            for ((y, x), r) in DATA.iter().zip(out) {
                *r = 100.0 * b[0] * (1.0 - (-b[1] * 1e-4 * x).exp()) - y;
            }
        };
        let mut problem = Numeric::<2>::new(DATA.len(), &misra);
        let search = Search {
            steps: 100,
            tolerance: 1e-12,
        };
        let found = minimise(&mut problem, Vector::from([2.5, 5.0]), search);
        assert!((100.0 * found.x[0] - 238.942_129).abs() < 1e-2, "{found:?}");
        assert!((found.x[1] - 5.501_564_3).abs() < 1e-3, "{found:?}");
        let sigma = (found.cost / 12.0).sqrt();
        let sd = problem.covariance(&found.x).expect("regular")[(0, 0)].sqrt();
        assert!(
            (100.0 * sd * sigma - 2.707_007_5).abs() < 0.05,
            "{}",
            100.0 * sd * sigma
        );
    }

    #[test]
    fn hubers_loss_is_smooth_and_bounded_in_slope() {
        assert_eq!(huber(1.5, 2.0), (2.25, 1.0));
        let (loss, weight) = huber(-3.0, 2.0);
        assert_eq!((loss, weight), (8.0, 2.0 / 3.0));
    }
}
