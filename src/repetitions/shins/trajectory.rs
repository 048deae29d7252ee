//! Trajectory of the knees over a whole set.

use super::candidates::Candidate;

/// Coordinates of both knees.
pub(super) type Coords = [f64; 4];

/// How far the knees are at each time.
#[derive(Clone, Debug)]
pub(super) struct KneeTrajectory {
    /// Times, ms.
    pub t_ms: Vec<f64>,
    /// How far the knees are along their way, 1 for the deepest; smoothed (NaN where they were not
    /// seen). What goes another way counts by a part.
    pub smooth: Vec<f64>,
    /// Their movement against standing, smoothed and as seen, shank lengths.
    pub steady: Vec<Coords>,
    pub moved: Vec<Coords>,
    /// Unit direction of the displacement, the precision of each coordinate, and the size that counts
    /// 1.
    pub direction: Coords,
    pub precision: Coords,
    /// Expected displacement for a travel of one shank length, from where the feet point.
    pub expected: Option<Coords>,
    pub unit_size: f64,
    /// Weight of displacement off that direction: none where all candidates share one.
    pub off_axis_weight: f64,
    /// Height of the hips in the picture, downward, where they are seen; shank lengths.
    pub hips: Vec<f64>,
    pub hip_noise: f64,
    /// Index ranges between two settings of the feet.
    pub intervals: Vec<(usize, usize)>,
    /// Error of the signal in one sample.
    pub noise: f64,
    /// The knees' travel at 1, shank lengths, as far as the feet tell how it is foreshortened.
    pub travel: f64,
}

impl KneeTrajectory {
    /// The time of a sample, ms.
    #[inline(never)]
    pub fn time(&self, i: usize) -> f64 {
        self.t_ms.get(i).copied().unwrap_or(0.0)
    }

    /// The interval a candidate lies in.
    #[inline(never)]
    pub fn interval(&self, candidate: &Candidate) -> Option<(usize, usize)> {
        let same = |s: &&(usize, usize)| s.0 <= candidate.peak && candidate.peak < s.1;
        self.intervals.iter().find(same).copied()
    }

    /// Projection of a displacement on a candidate's own direction.
    #[inline(never)]
    pub fn project(&self, m: &Coords, candidate: &Candidate) -> f64 {
        project(m, &candidate.own, &self.precision) * candidate.unit
    }
}

/// Weighted sum of squares of what is known.
#[inline(never)]
pub(super) fn weighted_square(m: &Coords, precision: &Coords) -> f64 {
    let prior = m.iter().zip(precision).filter(|(m, _)| m.is_finite());
    prior.map(|(m, w)| m * m * w).sum()
}

/// Projection on the direction, from the coordinates that are known.
#[inline(never)]
pub(super) fn project(m: &Coords, direction: &Coords, precision: &Coords) -> f64 {
    let (mut with, mut all) = (0.0, 0.0);
    for k in 0..4 {
        if m[k].is_finite() {
            with += m[k] * direction[k] * precision[k];
            all += direction[k] * direction[k] * precision[k];
        }
    }
    if all > 0.0 { with / all } else { f64::NAN }
}

/// The mean of some movements, by what is known of each; 0 where nothing is.
#[inline(never)]
pub(super) fn mean(list: &[Coords], which: &dyn Fn(usize) -> bool) -> Coords {
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
