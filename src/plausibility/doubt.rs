//! What a set's repetitions come to: which are squats, and what speaks against the others.

use super::aspects::{Aspect, Aspects};
use super::model::{Weighed, weigh};
use crate::gather::Gather;

/// Below this probability a repetition is no squat as far as can be told, and nothing of it is judged.
pub const SQUAT: f64 = 0.5;

/// Doubt that is more than a verdict allows (contract: clear and fault need 90 %).
const DOUBTED: f64 = 0.1;

/// Correlation between the evidence of repetitions of one set (Kish 1965, Survey Sampling: n of them are worth
/// n / (1 + (n - 1) rho)). Measured over the log-odds: 0.51 in 200 sets of squats, 1.00 in 63 of other
/// movements, which are repeated in their own way; halfway, as it is not known which of the two it is.
const ALIKE: f64 = 0.75;

/// A set weighed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Doubts {
    /// Each repetition.
    pub reps: Vec<Weighed>,
    /// Probability that those which are judged are no squats after all.
    judged: f64,
}

impl Doubts {
    /// Weighs a set by what its repetitions look like.
    pub fn of(aspects: &[Aspects]) -> Self {
        let reps: Vec<Weighed> = aspects.iter().map(weigh).gather();
        let judged = together(&reps);
        Self { reps, judged }
    }

    /// Whether repetition `i` (from 0) is judged: in a set that is refused none is.
    pub fn judged(&self, i: usize) -> bool {
        !self.is_refused() && self.squat(i)
    }

    fn squat(&self, i: usize) -> bool {
        self.reps.get(i).is_none_or(|w| w.squat >= SQUAT)
    }

    /// At least half of the set are no squats.
    fn is_refused(&self) -> bool {
        let none = self.none();
        none > 0 && 2 * none >= self.reps.len()
    }

    /// Probability that repetition `i` is no squat: what is told of it as sure needs as much of this too. One that
    /// surely is one is judged as one, and its doubt is none.
    pub fn of_rep(&self, i: usize) -> f64 {
        if self.squat(i) {
            return if self.judged > DOUBTED {
                self.judged
            } else {
                0.0
            };
        }
        self.reps.get(i).map_or(0.0, |w| 1.0 - w.squat)
    }

    /// How many repetitions are no squats.
    pub fn none(&self) -> usize {
        (0..self.reps.len()).filter(|&i| !self.squat(i)).count()
    }

    /// At least half of the set are no squats, and it is refused: what speaks against most of those.
    pub fn refused(&self) -> Option<Aspect> {
        self.is_refused().then(|| self.against())
    }

    /// The set's mean probability of being squats.
    pub fn squats(&self) -> f64 {
        self.reps.iter().map(|w| w.squat).sum::<f64>() / self.reps.len().max(1) as f64
    }

    /// What speaks most often against repetitions that are not judged.
    pub fn against(&self) -> Aspect {
        let count = |aspect: &Aspect| {
            let of_it = |w: &&Weighed| w.squat < SQUAT && w.against == *aspect;
            self.reps.iter().filter(of_it).count()
        };
        let first = Aspect::ALL[0];
        Aspect::ALL.iter().fold(first, |most, next| {
            if count(next) > count(&most) {
                *next
            } else {
                most
            }
        })
    }
}

/// A set holds one movement, so the repetitions that are judged bear each other out: the mean of their
/// log-odds, of as many as they are worth independent ones ([`ALIKE`]).
fn together(reps: &[Weighed]) -> f64 {
    let (mut sum, mut n) = (0.0, 0.0);
    for w in reps.iter().filter(|w| w.squat >= SQUAT) {
        let p = w.squat.clamp(1e-6, 1.0 - 1e-6);
        sum += libm::log(p / (1.0 - p));
        n += 1.0;
    }
    if n < 1.0 {
        return 0.0;
    }
    let worth = n / (1.0 + (n - 1.0) * ALIKE);
    1.0 / (1.0 + libm::exp(worth * sum / n))
}
