//! The tracker's own grey pictures: floats, read between the pixels.

use super::grey::GreyView;
use crate::order::within;
use glam::DVec2;

/// Bits after the point of a place in a picture.
const BITS: u32 = 24;

/// A grey picture of 32-bit floats, rows without gaps.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plane {
    width: usize,
    height: usize,
    data: Vec<f32>,
}

impl Plane {
    /// A black plane.
    pub fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            data: vec![0.0; width * height],
        }
    }

    /// A plane whose pixel (x, y) is `f(x, y)`.
    pub fn from_fn(width: usize, height: usize, f: impl Fn(usize, usize) -> f32) -> Self {
        let mut plane = Self::new(width, height);
        for (y, row) in plane.data.chunks_exact_mut(width.max(1)).enumerate() {
            for (x, v) in row.iter_mut().enumerate() {
                *v = f(x, y);
            }
        }
        plane
    }

    /// Width, px.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Height, px.
    pub fn height(&self) -> usize {
        self.height
    }

    /// Pixels, row by row.
    pub fn data(&self) -> &[f32] {
        &self.data
    }

    /// Pixels, row by row.
    pub(crate) fn data_mut(&mut self) -> &mut [f32] {
        &mut self.data
    }

    /// Row `y`; empty beyond the last.
    #[inline]
    pub fn row(&self, y: usize) -> &[f32] {
        self.data
            .get(y * self.width..(y + 1) * self.width)
            .unwrap_or(&[])
    }

    /// Copies a view of the same size; a view of another size is left alone and `false` comes back.
    pub(crate) fn copy_from(&mut self, view: &GreyView<'_>) -> bool {
        if view.width() != self.width || view.height() != self.height {
            return false;
        }
        for (y, row) in self.data.chunks_exact_mut(self.width.max(1)).enumerate() {
            for (to, from) in row.iter_mut().zip(view.row(y)) {
                *to = f32::from(*from);
            }
        }
        true
    }

    /// Copies a view's pixels that lie under this plane's, whose origin and scale are `origin` and
    /// `scale`; bilinear between pixels, the nearest pixel beyond the view's edge.
    pub(crate) fn resample_from(&mut self, view: &GreyView<'_>, origin: DVec2, scale: f64) {
        let step = scale / view.scale();
        let from = (origin - view.origin()) / view.scale();
        let (w, h) = (view.width(), view.height());
        let clamp = |v: f64, n: usize| within(v, 0.0, (n - 1) as f64);
        for (y, row) in self.data.chunks_exact_mut(self.width.max(1)).enumerate() {
            let sy = clamp(from.y + y as f64 * step, h);
            let (y0, fy) = (sy.floor() as usize, sy.fract() as f32);
            let (top, low) = (view.row(y0), view.row((y0 + 1).min(h - 1)));
            for (x, v) in row.iter_mut().enumerate() {
                let sx = clamp(from.x + x as f64 * step, w);
                let (x0, fx) = (sx.floor() as usize, sx.fract() as f32);
                let x1 = (x0 + 1).min(w - 1);
                let at = |row: &[u8], x: usize| row.get(x).map_or(0.0, |&b| f32::from(b));
                let a = at(top, x0) + fx * (at(top, x1) - at(top, x0));
                let b = at(low, x0) + fx * (at(low, x1) - at(low, x0));
                *v = a + fy * (b - a);
            }
        }
    }

    /// Bilinear value at (x, y), px; the nearest pixel beyond the edge.
    #[inline(never)] // asked when a foot is learnt, and at a picture's edges
    pub fn sample(&self, x: f32, y: f32) -> f32 {
        if self.data.is_empty() {
            return 0.0;
        }
        let x = within(x, 0.0, (self.width - 1) as f32);
        let y = within(y, 0.0, (self.height - 1) as f32);
        let (x0, y0) = (x as usize, y as usize);
        let (fx, fy) = (x - x0 as f32, y - y0 as f32);
        let x1 = (x0 + 1).min(self.width - 1);
        let y1 = (y0 + 1).min(self.height - 1);
        let (top, low) = (y0 * self.width, y1 * self.width);
        let d = &self.data;
        let at = |i: usize| d.get(i).copied().unwrap_or(0.0);
        let a = at(top + x0) + fx * (at(top + x1) - at(top + x0));
        let b = at(low + x0) + fx * (at(low + x1) - at(low + x0));
        a + fy * (b - a)
    }

    /// Fills pixels `x` of row `y` with what `from` shows along a line that begins at `start` and
    /// goes on by `step` a pixel.
    pub(crate) fn read_line(
        &mut self,
        y: usize,
        x: std::ops::Range<usize>,
        from: &Self,
        start: DVec2,
        step: DVec2,
    ) {
        let begin = y * self.width;
        let Some(line) = self
            .data
            .get_mut(begin + x.start..begin + x.end.max(x.start))
        else {
            return;
        };
        // Where both ends of a line lie well inside, so does all of it.
        let end = start + step * line.len() as f64;
        let most = DVec2::new(from.width as f64, from.height as f64) - 2.0;
        let (low, high) = (start.min(end), start.max(end));
        if !(low.cmpge(DVec2::ZERO).all() && high.cmple(most).all()) {
            for (i, v) in line.iter_mut().enumerate() {
                let p = (start + step * i as f64).as_vec2();
                *v = from.sample(p.x, p.y);
            }
            return;
        }
        // Fixed point: converting every place from a float takes longer than all the rest.
        let fixed = |v: f64| (v * f64::from(1 << BITS)) as i64;
        let (mut px, mut py) = (fixed(start.x), fixed(start.y));
        let (dx, dy) = (fixed(step.x), fixed(step.y));
        let part = |v: i64| (v & ((1 << BITS) - 1)) as i32 as f32 / (1 << BITS) as f32;
        for v in line {
            let i = (py >> BITS) as usize * from.width + (px >> BITS) as usize;
            let row = |i: usize| from.data.get(i..i + 2);
            if let (Some(&[a, b]), Some(&[c, d])) = (row(i), row(i + from.width)) {
                let (top, low) = (a + part(px) * (b - a), c + part(px) * (d - c));
                *v = top + part(py) * (low - top);
            }
            px += dx;
            py += dy;
        }
    }
}
