//! How far something has come that approaches its end exponentially, the filters' one need of an
//! exponential: a frame takes ten of them.

use std::f64::consts::{LN_2, LOG2_E};

/// 1 - e^-x: the share of the way that is gone after `x` time constants; 0 before the start.
///
/// e^-x is 2^-n e^-r with |r| at most half of ln 2, where Padé's quotient of fourth order (Golub & Van
/// Loan, Matrix Computations, on functions of matrices; formula from memory) leaves 1e-11. Arithmetic
/// alone, so that every host gets the same digits, in less time than a full exponential.
pub(crate) fn approach(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return 0.0;
    }
    if x >= 40.0 {
        return 1.0;
    }
    let n = (x * LOG2_E + 0.5) as u32;
    let r = x - f64::from(n) * LN_2;
    let square = r * r;
    let even = 1680.0 + square * (180.0 + square);
    let odd = r * (840.0 + square * 20.0);
    1.0 - (even - odd) / (even + odd) * f64::from_bits(u64::from(1023 - n) << 52)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the standard library's exponential.
    #[test]
    fn as_the_library_says() {
        for i in 0..100_000 {
            let x = f64::from(i) * 4.1e-4;
            let (own, other) = (approach(x), -(-x).exp_m1());
            assert!((own - other).abs() < 1e-11, "{x}: {own} {other}");
        }
        assert_eq!(approach(f64::INFINITY), 1.0);
        assert_eq!([approach(-1.0), approach(f64::NAN)], [0.0; 2]);
    }
}
