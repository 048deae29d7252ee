//! Vectors and symmetric matrices of the few unknowns that a fit has: on the stack, without
//! allocation, and with one compiled Cholesky factorisation for every size.

use std::ops::{Add, AddAssign, Deref, DerefMut, Div, DivAssign, Index, IndexMut, Mul, Sub};

/// A vector of `N` numbers; indexed and iterated as the array that it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vector<const N: usize>([f64; N]);

impl<const N: usize> Vector<N> {
    /// All zero.
    pub fn zeros() -> Self {
        Self([0.0; N])
    }

    /// Each element by its index.
    pub fn from_fn(f: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(f))
    }

    /// The elements' products.
    pub fn component_mul(&self, other: &Self) -> Self {
        Self::from_fn(|i| self[i] * other[i])
    }

    /// The sum of the elements' products.
    pub fn dot(&self, other: &Self) -> f64 {
        dot(&self.0, &other.0)
    }
}

impl<const N: usize> Default for Vector<N> {
    fn default() -> Self {
        Self::zeros()
    }
}

impl<const N: usize> From<[f64; N]> for Vector<N> {
    fn from(list: [f64; N]) -> Self {
        Self(list)
    }
}

impl<const N: usize> Deref for Vector<N> {
    type Target = [f64; N];
    fn deref(&self) -> &[f64; N] {
        &self.0
    }
}

impl<const N: usize> DerefMut for Vector<N> {
    fn deref_mut(&mut self) -> &mut [f64; N] {
        &mut self.0
    }
}

impl<const N: usize> Add for Vector<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from_fn(|i| self[i] + other[i])
    }
}

impl<const N: usize> Sub for Vector<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::from_fn(|i| self[i] - other[i])
    }
}

impl<const N: usize> Mul<f64> for Vector<N> {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self(self.0.map(|v| v * by))
    }
}

impl<const N: usize> Div<f64> for Vector<N> {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        Self(self.0.map(|v| v / by))
    }
}

impl<const N: usize> AddAssign for Vector<N> {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> DivAssign<f64> for Vector<N> {
    fn div_assign(&mut self, by: f64) {
        *self = *self / by;
    }
}

/// A square matrix of `N` rows. Those of least squares are symmetric; factorising reads the lower
/// triangle alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Square<const N: usize>([[f64; N]; N]);

impl<const N: usize> Square<N> {
    /// All zero.
    pub fn zeros() -> Self {
        Self([[0.0; N]; N])
    }

    /// Zero beside the diagonal.
    pub fn from_diagonal(diagonal: &[f64; N]) -> Self {
        let mut out = Self::zeros();
        for (i, value) in diagonal.iter().enumerate() {
            out[(i, i)] = *value;
        }
        out
    }

    /// An element; `None` outside of the matrix.
    pub fn get(&self, (i, j): (usize, usize)) -> Option<&f64> {
        self.0.get(i)?.get(j)
    }

    /// The diagonal.
    pub fn diagonal(&self) -> [f64; N] {
        std::array::from_fn(|i| self[(i, i)])
    }

    /// One on the diagonal, zero beside it.
    pub fn identity() -> Self {
        Self::from_diagonal(&[1.0; N])
    }

    /// Rows and columns changed about.
    pub fn transpose(&self) -> Self {
        Self(std::array::from_fn(|i| {
            std::array::from_fn(|j| self.0[j][i])
        }))
    }

    /// Every element.
    pub fn iter(&self) -> impl Iterator<Item = &f64> {
        self.0.iter().flatten()
    }

    /// Adds `weight` times the product of a vector with itself to the lower triangle.
    pub fn add_outer(&mut self, weight: f64, v: &Vector<N>) {
        add_outer(self.0.as_flattened_mut(), weight, &v.0);
    }

    /// The upper triangle becomes the lower one's mirror image.
    pub fn mirror(&mut self) {
        for i in 0..N {
            for j in 0..i {
                self.0[j][i] = self.0[i][j];
            }
        }
    }

    /// The product with a vector.
    pub fn times(&self, v: &Vector<N>) -> Vector<N> {
        Vector::from_fn(|i| dot(&self.0[i], &v.0))
    }

    /// v' A v: the variance of a linear function with these slopes, where this is a covariance.
    pub fn quadratic(&self, v: &Vector<N>) -> f64 {
        self.times(v).dot(v)
    }

    /// Its Cholesky factor; `None` when it is not positive definite.
    pub fn cholesky(&self) -> Option<Cholesky<N>> {
        let mut factor = *self;
        factorise(factor.0.as_flattened_mut(), N).then_some(Cholesky(factor))
    }
}

impl<const N: usize> Index<(usize, usize)> for Square<N> {
    type Output = f64;
    fn index(&self, (i, j): (usize, usize)) -> &f64 {
        &self.0[i][j]
    }
}

impl<const N: usize> IndexMut<(usize, usize)> for Square<N> {
    fn index_mut(&mut self, (i, j): (usize, usize)) -> &mut f64 {
        &mut self.0[i][j]
    }
}

impl<const N: usize> Mul<Vector<N>> for Square<N> {
    type Output = Vector<N>;
    fn mul(self, by: Vector<N>) -> Vector<N> {
        self.times(&by)
    }
}

impl<const N: usize> Mul for Square<N> {
    type Output = Self;
    fn mul(self, by: Self) -> Self {
        let by = by.transpose();
        Self(
            self.0
                .map(|row| std::array::from_fn(|j| dot(&row, &by.0[j]))),
        )
    }
}

impl<const N: usize> Mul<f64> for Square<N> {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self(self.0.map(|row| row.map(|v| v * by)))
    }
}

/// The lower triangular L with L L' the matrix (Golub & Van Loan, Matrix Computations, 4.2).
#[derive(Clone, Copy, Debug)]
pub struct Cholesky<const N: usize>(Square<N>);

impl<const N: usize> Cholesky<N> {
    /// The solution of the matrix times it being `right`.
    pub fn solve(&self, right: &Vector<N>) -> Vector<N> {
        let mut out = *right;
        solve(self.0.0.as_flattened(), &mut out.0);
        out
    }

    /// The matrix' inverse.
    pub fn inverse(&self) -> Square<N> {
        let mut out = Square::zeros();
        for k in 0..N {
            let mut unit = Vector::zeros();
            unit[k] = 1.0;
            let column = self.solve(&unit);
            for i in 0..N {
                out.0[i][k] = column[i];
            }
        }
        out
    }

    /// An element of L: row, column.
    pub fn lower(&self, i: usize, j: usize) -> f64 {
        if j > i { 0.0 } else { self.0[(i, j)] }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

// On slices from here on: compiled once for all sizes, which keeps the module small.

#[inline(never)]
fn add_outer(a: &mut [f64], weight: f64, v: &[f64]) {
    for (i, (row, &x)) in a.chunks_exact_mut(v.len().max(1)).zip(v).enumerate() {
        let x = weight * x;
        if x != 0.0 {
            for (out, y) in row[..=i].iter_mut().zip(v) {
                *out += x * y;
            }
        }
    }
}

/// Turns the lower triangle into its Cholesky factor; false when it is not positive definite.
#[inline(never)]
fn factorise(a: &mut [f64], n: usize) -> bool {
    for i in 0..n {
        let (above, from) = a.split_at_mut(i * n);
        let row = &mut from[..n];
        for (j, other) in above.chunks_exact(n).enumerate() {
            let sum = row[..j]
                .iter()
                .zip(other)
                .fold(row[j], |s, (x, y)| s - x * y);
            row[j] = sum / other[j];
        }
        let square = row[..i].iter().fold(row[i], |s, x| s - x * x);
        if square.is_nan() || square <= 0.0 {
            return false;
        }
        row[i] = square.sqrt();
    }
    true
}

/// Solves L L' x = b in place.
#[inline(never)]
fn solve(l: &[f64], b: &mut [f64]) {
    let n = b.len();
    for i in 0..n {
        let row = &l[i * n..(i + 1) * n];
        let sum = row[..i]
            .iter()
            .zip(&b[..])
            .fold(b[i], |s, (x, y)| s - x * y);
        b[i] = sum / row[i];
    }
    for i in (0..n).rev() {
        let column = l[i..].iter().step_by(n).skip(i + 1);
        let sum: f64 = column.zip(&b[i + 1..]).map(|(x, y)| x * y).sum();
        b[i] = (b[i] - sum) / l[i * n + i];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: L has the rows (2), (6, 1), (-8, 5, 3).
    #[test]
    fn factor_solution_and_inverse_of_a_worked_example() {
        let a = Square([
            [4.0, 12.0, -16.0],
            [12.0, 37.0, -43.0],
            [-16.0, -43.0, 98.0],
        ]);
        let factor = a.cholesky().expect("positive definite");
        let l = [[2.0, 0.0, 0.0], [6.0, 1.0, 0.0], [-8.0, 5.0, 3.0]];
        for (i, row) in l.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                assert!((factor.lower(i, j) - value).abs() < 1e-12, "{i} {j}");
            }
        }
        let x = Vector::from([0.7, -0.2, 1.1]);
        let back = factor.solve(&a.times(&x));
        assert!(
            back.iter()
                .zip(x.iter())
                .all(|(a, b)| (a - b).abs() < 1e-12)
        );
        let inverse = factor.inverse();
        for i in 0..3 {
            let row = Vector::from_fn(|j| inverse[(i, j)]);
            let unit = a.times(&row);
            for j in 0..3 {
                let expected = f64::from(u8::from(i == j));
                assert!((unit[j] - expected).abs() < 1e-9, "{i} {j} {}", unit[j]);
            }
        }
        assert!((a.quadratic(&x) - x.dot(&a.times(&x))).abs() < 1e-12);
    }

    #[test]
    fn adds_outer_products_to_the_lower_triangle() {
        let mut a = Square::<2>::zeros();
        a.add_outer(2.0, &Vector::from([3.0, -1.0]));
        assert_eq!(a.0, [[18.0, 0.0], [-6.0, 2.0]]);
        a.mirror();
        assert_eq!(a[(0, 1)], -6.0);
    }

    #[test]
    fn refuses_what_is_not_positive_definite() {
        assert!(Square([[1.0, 2.0], [2.0, 1.0]]).cholesky().is_none());
        assert!(Square([[f64::NAN]]).cholesky().is_none());
        assert!(Square([[0.0]]).cholesky().is_none());
    }
}
