//! Grey pictures: the caller's bytes as they are, and the tracker's own planes.

use crate::order::within;
use glam::DVec2;
use std::fmt;

/// Why grey pixels can't be used.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GreyError {
    /// Width or height below 16 px or above 4096 px.
    Size,
    /// Rows overlap: the stride is below the width.
    Stride,
    /// Fewer bytes than the rows need.
    TooShort,
    /// The offset is not finite.
    Origin,
    /// The scale is not finite, or not between 1/64 and 64.
    Scale,
}

impl GreyError {
    /// The field that is wrong.
    pub const fn field(self) -> &'static str {
        match self {
            Self::Size => "width",
            Self::Stride => "stride",
            Self::TooShort => "data",
            Self::Origin => "x",
            Self::Scale => "scale",
        }
    }
}

impl fmt::Display for GreyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Size => "width and height must be 16 to 4096 px",
            Self::Stride => "stride must not be below width",
            Self::TooShort => "data ends before the last row",
            Self::Origin => "x and y must be finite",
            Self::Scale => "scale must be a number between 1/64 and 64",
        })
    }
}

impl std::error::Error for GreyError {}

/// A crop of one frame's luma, borrowed. Checked once, so that nothing after it can fail.
#[derive(Clone, Copy, Debug)]
pub struct GreyView<'a> {
    data: &'a [u8],
    width: usize,
    height: usize,
    stride: usize,
    origin: DVec2,
    scale: f64,
}

/// Smallest and largest side of a crop, px.
const SIDES: std::ops::RangeInclusive<usize> = 16..=4096;

impl<'a> GreyView<'a> {
    /// A view of `height` rows of `width` bytes, `stride` bytes apart. `origin` is where the centre
    /// of the first pixel lies in the recording's picture, px; `scale` is how many px of the
    /// recording's picture one px of the crop spans.
    ///
    /// # Errors
    /// [`GreyError`] names the first field that can't be right.
    pub fn new(
        data: &'a [u8],
        width: usize,
        height: usize,
        stride: usize,
        origin: DVec2,
        scale: f64,
    ) -> Result<Self, GreyError> {
        if !SIDES.contains(&width) || !SIDES.contains(&height) {
            return Err(GreyError::Size);
        }
        if stride < width {
            return Err(GreyError::Stride);
        }
        let needed = stride
            .checked_mul(height - 1)
            .and_then(|n| n.checked_add(width));
        if needed.is_none_or(|n| data.len() < n) {
            return Err(GreyError::TooShort);
        }
        if !(origin.is_finite() && origin.abs().max_element() < 1e6) {
            return Err(GreyError::Origin);
        }
        if !(scale.is_finite() && (1.0 / 64.0..=64.0).contains(&scale)) {
            return Err(GreyError::Scale);
        }
        Ok(Self {
            data,
            width,
            height,
            stride,
            origin,
            scale,
        })
    }

    /// The part that begins at pixel `x`, `y` of this view and is `width` by `height` pixels large,
    /// as far as it lies inside; `None` when less than the smallest crop remains.
    pub fn part(&self, x: f64, y: f64, width: f64, height: f64) -> Option<Self> {
        if !(x + y + width + height).is_finite() {
            return None;
        }
        let (x0, y0) = (x.max(0.0) as usize, y.max(0.0) as usize);
        let x1 = ((x + width).max(0.0) as usize).min(self.width);
        let y1 = ((y + height).max(0.0) as usize).min(self.height);
        let (w, h) = (x1.checked_sub(x0)?, y1.checked_sub(y0)?);
        let data = self.data.get(y0 * self.stride + x0..)?;
        let origin = self.origin + self.scale * DVec2::new(x0 as f64, y0 as f64);
        Self::new(data, w, h, self.stride, origin, self.scale).ok()
    }

    /// Width of the crop, px of the crop.
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Height of the crop, px of the crop.
    pub const fn height(&self) -> usize {
        self.height
    }

    /// Where the centre of the first pixel lies in the recording's picture, px.
    pub const fn origin(&self) -> DVec2 {
        self.origin
    }

    /// Px of the recording's picture that one px of the crop spans.
    pub const fn scale(&self) -> f64 {
        self.scale
    }

    /// Row `y` from the top; empty beyond the last.
    pub fn row(&self, y: usize) -> &'a [u8] {
        let start = y * self.stride;
        if y < self.height {
            self.data.get(start..start + self.width).unwrap_or(&[])
        } else {
            &[]
        }
    }
}

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
    #[inline]
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

/// Bits after the point of a place in a picture.
const BITS: u32 = 24;
