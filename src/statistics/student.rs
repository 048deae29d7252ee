//! Student's t by the incomplete beta function of which it needs one parameter to be a half: a
//! library's general one brings the gamma function and the trigonometry that this needs.

/// The regularised incomplete beta function I_y(a, 1/2) for a > 0 and y from 0 to 1: the
/// probability that |t| with 2a degrees of freedom exceeds the t of y = 2a / (2a + t^2)
/// (Abramowitz & Stegun 26.5.27). Within 1e-11.
pub(super) fn tails(a: f64, y: f64) -> f64 {
    if y <= 0.0 || y >= 1.0 {
        return y.clamp(0.0, 1.0);
    }
    let front = libm::exp(a * libm::log(y)) * (1.0 - y).sqrt() * gamma_ratio(a)
        / std::f64::consts::PI.sqrt();
    // Either side of its middle the fraction of the other tail converges (DLMF 8.17.4).
    if y < (a + 1.0) / (a + 2.5) {
        front * fraction(a, 0.5, y) / a
    } else {
        1.0 - front * fraction(0.5, a, 1.0 - y) / 0.5
    }
}

/// The continued fraction of the incomplete beta function (DLMF 8.17.22) by the modified method of
/// Lentz (Press et al. 2007, Numerical Recipes, 6.4).
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const LEAST: f64 = 1e-300;
    let bounded = |v: f64| if v.abs() < LEAST { LEAST } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / bounded(1.0 - (a + b) * x / (a + 1.0));
    let mut out = d;
    for i in 1..300 {
        let m = f64::from(i);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let before = out;
        for term in [even, odd] {
            d = 1.0 / bounded(1.0 + term * d);
            c = bounded(1.0 + term / c);
            out *= c * d;
        }
        if (out - before).abs() <= 1e-15 * out.abs() {
            break;
        }
    }
    out
}

/// Gamma of a + 1/2 over gamma of a, for a > 0: by recurrence from where the asymptotic series in
/// a - 1/4 is exact (DLMF 5.11.14).
fn gamma_ratio(mut a: f64) -> f64 {
    let mut share = 1.0;
    while a < 30.0 {
        share *= a / (a + 0.5);
        a += 1.0;
    }
    let w = a - 0.25;
    let u = 1.0 / (w * w);
    share * w.sqrt() * (1.0 + u * (1.0 / 64.0 - u * (19.0 / 8192.0 - u * 631.0 / 524_288.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::{beta::checked_beta_reg, gamma::ln_gamma};

    /// Against statrs 0.19.
    #[test]
    fn as_the_library_has_it() {
        for half in 1..400 {
            let a = 0.17 * f64::from(half);
            let ratio = (ln_gamma(a + 0.5) - ln_gamma(a)).exp();
            assert!((gamma_ratio(a) / ratio - 1.0).abs() < 1e-11, "{a}");
            for i in 0..=100 {
                let y = f64::from(i) / 100.0;
                let library = checked_beta_reg(a, 0.5, y).expect("in range");
                assert!((tails(a, y) - library).abs() < 1e-11, "{a} {y}");
            }
        }
    }
}
