//! Grey pictures as the caller has them: bytes, checked once and borrowed.

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
