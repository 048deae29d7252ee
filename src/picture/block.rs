//! The pixels of a patch, and the sums over them that following it needs: the inner loop of the
//! tracker, four pixels at a time.
//!
//! The vectors are written out (glam's `Vec4` is one on every processor that has them): the module
//! that pages download is compiled for size, where the compiler makes none of its own.

use super::plane::Plane;
use glam::Vec4;

/// Half the side of a patch, less its middle pixel.
pub const HALF: usize = 5;
/// Side of a patch, px.
pub const SIDE: usize = 2 * HALF + 1;
/// Side of a stored row: one column of zeros makes rows a whole number of vectors.
const STRIDE: usize = 12;
/// Rows and, behind the last one, room for a vector that begins near its end.
const AREA: usize = SIDE * STRIDE + 4;
/// Pixels of a patch.
pub(super) const PIXELS: f32 = (SIDE * SIDE) as f32;
/// Takes the column of zeros out of a row's last vector.
const LAST: Vec4 = Vec4::new(1.0, 1.0, 1.0, 0.0);

/// Values of a patch, row by row.
#[derive(Clone, Debug)]
pub(super) struct Block([f32; AREA]);

impl Default for Block {
    fn default() -> Self {
        Self([0.0; AREA])
    }
}

/// Where a patch lies between the pixels of a plane.
struct Between {
    start: usize,
    fx: f32,
    fy: f32,
}

impl Between {
    /// `None` when the patch about (x, y) leaves the plane.
    #[inline]
    fn new(of: &Plane, x: f32, y: f32) -> Option<Self> {
        let (left, top) = (x - HALF as f32, y - HALF as f32);
        // Written so that a NaN is refused too.
        if !(left >= 0.0 && top >= 0.0 && left < 1e6 && top < 1e6) {
            return None;
        }
        let (x0, y0) = (left as usize, top as usize);
        (x0 + SIDE < of.width() && y0 + SIDE < of.height()).then_some(Self {
            start: y0 * of.width() + x0,
            fx: left - x0 as f32,
            fy: top - y0 as f32,
        })
    }

    /// One row, blended along x. The last pixel of the last vector may belong to the next row; it
    /// is multiplied away.
    #[inline(always)]
    fn row(&self, of: &Plane, r: usize) -> Option<[Vec4; 3]> {
        let at = self.start + r * of.width();
        let pixels: &[f32; STRIDE + 1] = of.data().get(at..at + STRIDE + 1)?.try_into().ok()?;
        let blend = |i: usize| {
            let (a, b) = (
                Vec4::from_slice(&pixels[i..i + 4]),
                Vec4::from_slice(&pixels[i + 1..i + 5]),
            );
            a + (b - a) * self.fx
        };
        Some([blend(0), blend(4), blend(8) * LAST])
    }
}

/// A row of a block as vectors.
#[inline(always)]
fn vectors(row: &[f32]) -> [Vec4; 3] {
    [
        Vec4::from_slice(&row[0..4]),
        Vec4::from_slice(&row[4..8]),
        Vec4::from_slice(&row[8..12]),
    ]
}

#[inline(always)]
fn store(row: &mut [f32], of: [Vec4; 3]) {
    row[0..4].copy_from_slice(&of[0].to_array());
    row[4..8].copy_from_slice(&of[1].to_array());
    row[8..12].copy_from_slice(&of[2].to_array());
}

impl Block {
    fn rows(&self) -> impl Iterator<Item = &[f32]> {
        self.0.chunks_exact(STRIDE)
    }

    /// The patch of a plane about (x, y), bilinear; `None` when it leaves the plane.
    pub fn cut(of: &Plane, x: f32, y: f32) -> Option<Self> {
        let mut block = Self::default();
        let none = Self::default();
        block.look(of, x, y, &none, &none)?;
        Some(block)
    }

    /// Becomes the patch of a plane about (x, y). Gives the sums over its pixels: of themselves, of
    /// their squares, of their products with `gx` and with `gy`.
    #[inline]
    pub fn look(&mut self, of: &Plane, x: f32, y: f32, gx: &Self, gy: &Self) -> Option<[f32; 4]> {
        let at = Between::new(of, x, y)?;
        let mut above = at.row(of, 0)?;
        let mut sums = [Vec4::ZERO; 4];
        let own = self.0.chunks_exact_mut(STRIDE);
        for (r, ((out, gx), gy)) in own.zip(gx.rows()).zip(gy.rows()).enumerate() {
            let below = at.row(of, r + 1)?;
            let (gx, gy) = (vectors(gx), vectors(gy));
            let mut row = [Vec4::ZERO; 3];
            for k in 0..3 {
                let v = above[k] + (below[k] - above[k]) * at.fy;
                sums[0] += v;
                sums[1] += v * v;
                sums[2] += v * gx[k];
                sums[3] += v * gy[k];
                row[k] = v;
            }
            store(out, row);
            above = below;
        }
        Some(sums.map(Vec4::element_sum))
    }

    /// Sum of the products of two blocks' values.
    pub fn dot(&self, other: &Self) -> f32 {
        let mut sum = Vec4::ZERO;
        for (a, b) in self.rows().zip(other.rows()) {
            let (a, b) = (vectors(a), vectors(b));
            sum += a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        }
        sum.element_sum()
    }

    /// Sum of the values.
    pub fn sum(&self) -> f32 {
        self.0.iter().sum()
    }

    /// Takes the mean off the pixels (not off the column of zeros).
    pub fn centre(&mut self) -> f32 {
        let mean = self.sum() / PIXELS;
        for row in self.0.chunks_exact_mut(STRIDE) {
            for v in &mut row[..SIDE] {
                *v -= mean;
            }
        }
        mean
    }

    /// Becomes its difference from `first` once its mean is off, it is multiplied by `factor` and
    /// `offset` is added. Gives the sum of the products with `first` before, and of the squares
    /// after.
    pub fn less(&mut self, first: &Self, mean: f32, factor: f32, offset: f32) -> [f32; 2] {
        let [mut product, mut square] = [Vec4::ZERO; 2];
        for (row, first) in self.0.chunks_exact_mut(STRIDE).zip(first.rows()) {
            let (own, first) = (vectors(row), vectors(first));
            let mut less = [Vec4::ZERO; 3];
            for k in 0..3 {
                let centred = own[k] - Vec4::splat(mean);
                // The column of zeros is one in `first`: only the difference must be cleared.
                product += centred * first[k];
                less[k] = centred * factor + Vec4::splat(offset) - first[k];
            }
            less[2] *= LAST;
            square += less[0] * less[0] + less[1] * less[1] + less[2] * less[2];
            store(row, less);
        }
        [product.element_sum(), square.element_sum()]
    }

    /// This block being second less first: the sums of the second's squared slopes (xx, xy, yy) and
    /// of their products with the difference, over the [`INNER`] pixels that have neighbours.
    #[inline]
    pub fn slopes_back(&self, first: &Self) -> ([f32; 3], [f32; 2]) {
        let mut second = Self::default();
        for ((s, m), f) in second.0.iter_mut().zip(&self.0).zip(&first.0) {
            *s = m + f;
        }
        let mut sums = [Vec4::ZERO; 5];
        let mut top = 0;
        while let (Some(s), Some(m)) = (
            second.0.get(top..top + 3 * STRIDE + 4),
            self.0.get(top..top + 3 * STRIDE + 4),
        ) {
            for k in 0..3 {
                // The middle row's pixels from the second on; of the last vector only one counts.
                let i = STRIDE + 1 + 4 * k;
                let half = if k < 2 {
                    Vec4::splat(0.5)
                } else {
                    Vec4::new(0.5, 0.0, 0.0, 0.0)
                };
                let at = |i: usize| Vec4::from_slice(&s[i..i + 4]);
                let gx = (at(i + 1) - at(i - 1)) * half;
                let gy = (at(i + STRIDE) - at(i - STRIDE)) * half;
                let miss = Vec4::from_slice(&m[i..i + 4]);
                sums[0] += gx * gx;
                sums[1] += gx * gy;
                sums[2] += gy * gy;
                sums[3] += gx * miss;
                sums[4] += gy * miss;
            }
            top += STRIDE;
        }
        let [xx, xy, yy, bx, by] = sums.map(Vec4::element_sum);
        ([xx, xy, yy], [bx, by])
    }
}

/// Pixels of a patch that have neighbours on all sides.
pub(super) const INNER: f32 = ((SIDE - 2) * (SIDE - 2)) as f32;
