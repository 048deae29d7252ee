//! Running median of the hips' and the shoulders' drop.

use crate::statistics::upper_median;

/// Hips that leap, behind a plate or with swapped sides, are astray for two frames, seldom for more:
/// less than half of so many.
/// tuned: `reps`
const FRAMES: usize = 5;

/// The last frames' drops of hips and shoulders.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct MedianFilter {
    drops: [[f64; FRAMES]; 2],
    /// Frames taken so far.
    count: usize,
}

impl MedianFilter {
    /// Takes a frame's drops; gives the medians.
    pub fn push(&mut self, now: [f64; 2]) -> [f64; 2] {
        for (drops, now) in self.drops.iter_mut().zip(now) {
            if self.count == 0 {
                *drops = [now; FRAMES];
            }
            drops[self.count % FRAMES] = now;
        }
        self.count += 1;
        self.drops
            .map(|mut drops| upper_median(&mut drops).unwrap_or(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leap_of_two_frames_changes_nothing() {
        let mut late = MedianFilter::default();
        for hips in [0.10, 0.11, 0.12, 0.5, 0.5, 0.12, 0.11] {
            assert!(late.push([hips, 0.4])[0] <= 0.12);
        }
    }
}
