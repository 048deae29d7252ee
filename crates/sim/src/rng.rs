//! Random draws; every one comes from a seed.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// A seeded source of draws.
#[derive(Clone, Debug)]
pub struct Draw(ChaCha8Rng);

impl Draw {
    /// The same seed gives the same draws on every machine.
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// An independent source for part `n` of the same experiment.
    pub fn fork(&mut self, n: u64) -> Self {
        Self::new(self.0.random::<u64>() ^ n.wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }

    /// Uniform in `[a, b)`.
    pub fn uniform(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.0.random::<f64>()
    }

    /// Normal.
    pub fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.0);
        mean + sd * z
    }

    /// Normal, drawn again until within `k` standard deviations.
    pub fn trimmed(&mut self, mean: f64, sd: f64, k: f64) -> f64 {
        loop {
            let z = self.normal(0.0, 1.0);
            if z.abs() <= k {
                return mean + sd * z;
            }
        }
    }

    /// True with probability `p`.
    pub fn chance(&mut self, p: f64) -> bool {
        self.0.random::<f64>() < p
    }

    /// Uniform among `0..n`; 0 when `n` is 0.
    pub fn below(&mut self, n: usize) -> usize {
        if n == 0 { 0 } else { self.0.random_range(0..n) }
    }

    /// One of a list.
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }

    /// -1 or 1.
    pub fn sign(&mut self) -> f64 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }
}
