//! A whole set, read from the knees.

use super::humps::Hump;

/// Coordinates of both knees.
pub(super) type Numbers = [f64; 4];

/// How far the knees are at each time.
#[derive(Clone, Debug)]
pub(super) struct Course {
    /// Times, ms.
    pub t_ms: Vec<f64>,
    /// How far the knees are along their way, 1 for the deepest; smoothed (NaN where they were not
    /// seen). What goes another way counts by a part.
    pub smooth: Vec<f64>,
    /// Their movement against standing, smoothed and as seen, shank lengths.
    pub steady: Vec<Numbers>,
    pub moved: Vec<Numbers>,
    /// Their way, what each coordinate is worth, and the size of what counts 1.
    pub way: Numbers,
    pub worth: Numbers,
    /// The movement for a travel of one shank length, as far as the feet tell.
    pub told: Option<Numbers>,
    pub full: f64,
    /// The part by which another way counts: none where the humps go one way.
    pub aside: f64,
    /// Height of the hips in the picture, downward, where they are seen; shank lengths.
    pub hips: Vec<f64>,
    pub hip_noise: f64,
    /// Index ranges between two settings of the feet.
    pub stretches: Vec<(usize, usize)>,
    /// Error of the signal in one sample.
    pub noise: f64,
    /// The knees' travel at 1, shank lengths, as far as the feet tell how it is foreshortened.
    pub travel: f64,
}

impl Course {
    /// The time of a sample, ms.
    #[inline(never)]
    pub fn time(&self, i: usize) -> f64 {
        self.t_ms.get(i).copied().unwrap_or(0.0)
    }

    /// The stretch a hump lies in.
    #[inline(never)]
    pub fn stretch(&self, hump: &Hump) -> Option<(usize, usize)> {
        let same = |s: &&(usize, usize)| s.0 <= hump.peak && hump.peak < s.1;
        self.stretches.iter().find(same).copied()
    }

    /// How far a movement is along a hump's own way.
    #[inline(never)]
    pub fn along(&self, m: &Numbers, hump: &Hump) -> f64 {
        along(m, &hump.own, &self.worth) * hump.unit
    }
}

/// Weighted sum of squares of what is known.
#[inline(never)]
pub(super) fn square(m: &Numbers, worth: &Numbers) -> f64 {
    let known = m.iter().zip(worth).filter(|(m, _)| m.is_finite());
    known.map(|(m, w)| m * m * w).sum()
}

/// How far along the way, from the coordinates that are known.
#[inline(never)]
pub(super) fn along(m: &Numbers, way: &Numbers, worth: &Numbers) -> f64 {
    let (mut with, mut all) = (0.0, 0.0);
    for k in 0..4 {
        if m[k].is_finite() {
            with += m[k] * way[k] * worth[k];
            all += way[k] * way[k] * worth[k];
        }
    }
    if all > 0.0 { with / all } else { f64::NAN }
}

/// The mean of some movements, by what is known of each; 0 where nothing is.
#[inline(never)]
pub(super) fn mean(list: &[Numbers], which: &dyn Fn(usize) -> bool) -> Numbers {
    let mut sums = [(0.0, 0.0); 4];
    for (i, m) in list.iter().enumerate() {
        for (sum, &m) in sums.iter_mut().zip(m) {
            if m.is_finite() && which(i) {
                *sum = (sum.0 + m, sum.1 + 1.0);
            }
        }
    }
    sums.map(|(sum, n)| sum / f64::max(n, 1.0))
}
