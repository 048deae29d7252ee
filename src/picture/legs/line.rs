//! Grey values along a short line across a limb.

use crate::picture::grey::GreyView;
use glam::DVec2;

/// Value between the pixels of a view at a place of the recording's picture; `None` outside.
#[inline]
pub(super) fn value(view: &GreyView<'_>, at: DVec2) -> Option<f32> {
    let p = (at - view.origin()) / view.scale();
    if !(p.x >= 0.0 && p.y >= 0.0) {
        return None;
    }
    let (x, y) = (p.x as usize, p.y as usize);
    let (top, low) = (view.row(y), view.row(y + 1));
    let (&[a, b], &[c, d]) = (
        top.get(x..x + 2)?.first_chunk::<2>()?,
        low.get(x..x + 2)?.first_chunk::<2>()?,
    );
    let [a, b, c, d] = [a, b, c, d].map(f32::from);
    let (fx, fy) = ((p.x - x as f64) as f32, (p.y - y as f64) as f32);
    let (top, low) = (a + fx * (b - a), c + fx * (d - c));
    Some(top + fy * (low - top))
}

/// Values on a line, smoothed along the limb, and their slopes, grey levels per step.
#[derive(Clone, Debug, Default)]
pub(super) struct Line {
    pub values: Vec<f32>,
    pub slopes: Vec<f32>,
}

impl Line {
    /// Reads `count` places from `start` on, `step` apart; each is the mean of three, `along` apart. What lies
    /// outside the picture is not a number.
    pub fn read(
        &mut self,
        view: &GreyView<'_>,
        start: DVec2,
        step: DVec2,
        along: DVec2,
        count: usize,
    ) {
        self.values.clear();
        for i in 0..count {
            let p = start + step * i as f64;
            let three = [p - along, p, p + along].map(|p| value(view, p).unwrap_or(f32::NAN));
            self.values.push(three.iter().sum::<f32>() / 3.0);
        }
        self.slopes.clear();
        for i in 0..count {
            // A derivative of five values (Savitzky & Golay 1964): noise of single pixels averages out.
            let at = |d: isize| {
                let k = i as isize + d;
                self.values.get(k as usize).copied().unwrap_or(f32::NAN)
            };
            let slope = (2.0 * (at(2) - at(-2)) + (at(1) - at(-1))) / 10.0;
            self.slopes
                .push(if slope.is_finite() { slope } else { 0.0 });
        }
    }

    /// Where between its neighbours the largest slope about `i` lies, in steps.
    pub fn peak(&self, i: usize) -> f64 {
        let at = |k: usize| self.slopes.get(k).copied().unwrap_or(0.0).abs();
        let (a, b, c) = (at(i.wrapping_sub(1)), at(i), at(i + 1));
        let bend = a - 2.0 * b + c;
        let off = if bend < -1e-6 {
            0.5 * (a - c) / bend
        } else {
            0.0
        };
        i as f64 + f64::from(off.clamp(-0.5, 0.5))
    }

    /// Mean of the values from one place to another, steps, as far as they lie inside the line.
    pub fn mean(&self, from: isize, to: isize) -> f32 {
        let (from, to) = (from.min(to).max(0) as usize, from.max(to).max(0) as usize);
        let part = self
            .values
            .get(from..=to.min(self.values.len().saturating_sub(1)));
        let (mut sum, mut n) = (0.0, 0.0f32);
        for v in part.unwrap_or_default() {
            if v.is_finite() {
                sum += v;
                n += 1.0;
            }
        }
        if n > 0.0 { sum / n } else { f32::NAN }
    }
}
