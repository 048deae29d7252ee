//! How far the whole picture jumped, roughly: the start for everything finer.

use super::plane::Plane;
use glam::{DVec2, Vec4};

/// Px of a level-one picture that one px of the small picture spans; four of the full picture's.
const STEP: usize = 2;
/// Furthest jump that is looked for, px of the small picture each way: 12 px of the full one.
const REACH: isize = 3;

/// A picture at a quarter of its size, with its mean taken off and its contrast made 1.
#[derive(Clone, Debug, Default)]
pub(crate) struct Small {
    width: usize,
    height: usize,
    data: Vec<f32>,
}

impl Small {
    /// Takes every other pixel of a half-size picture. Allocates only the first time.
    pub fn read(&mut self, half: &Plane) {
        (self.width, self.height) = (half.width() / STEP, half.height() / STEP);
        self.data.clear();
        for y in 0..self.height {
            let row = half.row(y * STEP).iter().step_by(STEP).take(self.width);
            self.data.extend(row);
        }
        let n = self.data.len().max(1) as f32;
        let mean = self.data.iter().sum::<f32>() / n;
        let power = self
            .data
            .iter()
            .map(|v| (v - mean) * (v - mean))
            .sum::<f32>()
            / n;
        let scale = 1.0 / power.sqrt().max(1.0);
        for v in &mut self.data {
            *v = (*v - mean) * scale;
        }
    }

    /// How far `next` is shifted against this, px of the full picture, to 4 px: the shift with the
    /// smallest mean absolute difference, if it is much smaller than that of no shift.
    pub fn jump(&self, next: &Self) -> DVec2 {
        if self.width != next.width || self.height != next.height {
            return DVec2::ZERO;
        }
        let still = self.difference(next, 0, 0);
        let (mut best, mut at) = (0.85 * still, (0, 0));
        for dy in -REACH..=REACH {
            for dx in -REACH..=REACH {
                let d = self.difference(next, dx, dy);
                if d < best {
                    (best, at) = (d, (dx, dy));
                }
            }
        }
        DVec2::new(at.0 as f64, at.1 as f64) * (2 * STEP) as f64
    }

    fn difference(&self, next: &Self, dx: isize, dy: isize) -> f32 {
        // Every shift is judged on the same pixels: those that all shifts can reach.
        let margin = REACH as usize;
        let columns = margin..self.width.saturating_sub(margin);
        let mut sum = Vec4::ZERO;
        for y in margin..self.height.saturating_sub(margin) {
            let there = (y as isize + dy) as usize * next.width;
            let from = (columns.start as isize + dx) as usize + there;
            let own = self.data.get(
                y * self.width + columns.start..y * self.width + columns.end.max(columns.start),
            );
            let other = next.data.get(from..from + columns.len());
            if let (Some(a), Some(b)) = (own, other) {
                // Four at a time; up to three at a row's end are left out, of every shift the same.
                for (a, b) in a.chunks_exact(4).zip(b.chunks_exact(4)) {
                    sum += (Vec4::from_slice(a) - Vec4::from_slice(b)).abs();
                }
            }
        }
        sum.element_sum()
    }
}
