//! Half-size pictures of pictures, and slopes.
//!
//! Halving: the 5-tap binomial [1 4 6 4 1] / 16 both ways, then every other pixel (Burt & Adelson
//! 1983, "The Laplacian pyramid as a compact image code"). Slopes: Scharr's 3 x 3 kernel
//! (3, 10, 3) / 32, as in Bouguet's and OpenCV's trackers. Edges are mirrored without repeating
//! the outermost pixel.

use super::plane::Plane;

/// A picture and its halves, largest first.
#[derive(Clone, Debug, Default)]
pub struct Pyramid {
    levels: Vec<Plane>,
    scratch: Vec<f32>,
}

/// Smallest side of a level, px.
const LEAST: usize = 16;

impl Pyramid {
    /// The pyramid of a picture, of up to `levels` levels; the smallest side stays at least 16 px.
    pub fn new(base: Plane, levels: usize) -> Self {
        let mut pyramid = Self {
            levels: vec![base],
            scratch: Vec::new(),
        };
        for _ in 1..levels.max(1) {
            let last = &pyramid.levels[pyramid.levels.len() - 1];
            let (w, h) = (last.width().div_ceil(2), last.height().div_ceil(2));
            if w.min(h) < LEAST {
                break;
            }
            pyramid.levels.push(Plane::new(w, h));
        }
        pyramid.refresh();
        pyramid
    }

    /// Levels, the full picture first; never empty unless made by `default`.
    pub fn levels(&self) -> &[Plane] {
        &self.levels
    }

    /// The full picture, to be filled; [`Self::refresh`] must follow.
    pub(crate) fn base_mut(&mut self) -> Option<&mut Plane> {
        self.levels.first_mut()
    }

    /// Fills every level below the full picture from it. Allocates only the first time.
    pub fn refresh(&mut self) {
        for k in 1..self.levels.len() {
            let (above, below) = self.levels.split_at_mut(k);
            if let (Some(from), Some(to)) = (above.last(), below.first_mut()) {
                halve(from, to, &mut self.scratch);
            }
        }
    }
}

/// Index mirrored into `0..n`; `n` must be at least 1.
#[inline]
fn mirrored(i: isize, n: usize) -> usize {
    let last = n as isize - 1;
    let i = if i < 0 { -i } else { i };
    let i = if i > last { 2 * last - i } else { i };
    crate::order::within(i, 0, last) as usize
}

/// `to` becomes `from` at half size. `to` must have half the sides, rounded up.
fn halve(from: &Plane, to: &mut Plane, scratch: &mut Vec<f32>) {
    let (w, h) = (from.width(), from.height());
    let (tw, th) = (to.width(), to.height());
    if w < 2 || h < 2 || tw != w.div_ceil(2) || th != h.div_ceil(2) {
        return;
    }
    // Down the columns first: rows are added up whole, which vectorises.
    scratch.resize(w, 0.0);
    for (y, out) in to.data_mut().chunks_exact_mut(tw).enumerate() {
        let row = |d: isize| from.row(mirrored(2 * y as isize + d, h));
        let (a, b, c, d, e) = (row(-2), row(-1), row(0), row(1), row(2));
        for (((((s, a), b), c), d), e) in scratch.iter_mut().zip(a).zip(b).zip(c).zip(d).zip(e) {
            *s = a + e + 4.0 * (b + d) + 6.0 * c;
        }
        let at = |i: isize| scratch.get(mirrored(i, w)).copied().unwrap_or(0.0);
        let edge = |x: usize| {
            let i = 2 * x as isize;
            (at(i - 2) + at(i + 2) + 4.0 * (at(i - 1) + at(i + 1)) + 6.0 * at(i)) / 256.0
        };
        let last = tw - 1;
        if let Some(v) = out.first_mut() {
            *v = edge(0);
        }
        if let Some(v) = out.last_mut() {
            *v = edge(last);
        }
        // Between the edges no index needs a mirror: windows of five, every other one.
        let inner = out.get_mut(1..last).into_iter().flatten();
        for (v, s) in inner.zip(scratch.windows(5).step_by(2)) {
            if let [a, b, c, d, e] = s {
                *v = (a + e + 4.0 * (b + d) + 6.0 * c) / 256.0;
            }
        }
    }
}

/// Slopes of a picture along x and y, grey levels per px.
#[derive(Clone, Debug, Default)]
pub struct Slopes {
    /// Along x.
    pub x: Plane,
    /// Along y.
    pub y: Plane,
}

impl Slopes {
    /// The slopes of a picture.
    pub fn new(of: &Plane) -> Self {
        let mut slopes = Self {
            x: Plane::new(of.width(), of.height()),
            y: Plane::new(of.width(), of.height()),
        };
        let (w, h) = (of.width(), of.height());
        for y in 0..h {
            let up = of.row(mirrored(y as isize - 1, h));
            let mid = of.row(y);
            let low = of.row(mirrored(y as isize + 1, h));
            for x in 0..w {
                let (l, r) = (mirrored(x as isize - 1, w), mirrored(x as isize + 1, w));
                let at = |row: &[f32], i: usize| row.get(i).copied().unwrap_or(0.0);
                let gx = 3.0 * (at(up, r) - at(up, l) + at(low, r) - at(low, l))
                    + 10.0 * (at(mid, r) - at(mid, l));
                let gy = 3.0 * (at(low, l) - at(up, l) + at(low, r) - at(up, r))
                    + 10.0 * (at(low, x) - at(up, x));
                if let (Some(px), Some(py)) = (
                    slopes.x.data_mut().get_mut(y * w + x),
                    slopes.y.data_mut().get_mut(y * w + x),
                ) {
                    *px = gx / 32.0;
                    *py = gy / 32.0;
                }
            }
        }
        slopes
    }
}
