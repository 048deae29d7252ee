//! Where a patch of one picture went in another: pyramidal Lucas-Kanade.
//!
//! Lucas & Kanade 1981, "An iterative image registration technique with an application to stereo
//! vision"; in the pyramidal, iterated form of Bouguet 2000, "Pyramidal implementation of the
//! Lucas Kanade feature tracker". The slopes are the first picture's, so that their sums are made
//! once per patch however many pictures it is followed into.

use super::corners::eigenvalues;
use super::grey::Plane;
use super::pyramid::{Pyramid, Slopes};

/// Half the side of a patch, less its middle pixel.
pub const HALF: usize = 5;
/// Side of a patch, px.
pub const SIDE: usize = 2 * HALF + 1;
/// Side of a stored row: one column of zeros makes rows a whole number of vectors.
const STRIDE: usize = 12;
const AREA: usize = SIDE * STRIDE;
const PIXELS: f32 = (SIDE * SIDE) as f32;

/// How brightness may differ between the two pictures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// Not at all: Bouguet's assumption.
    Same,
    /// By a factor and an offset of each patch's own (a phone's exposure, a shadow).
    Free,
}

/// How to follow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follow {
    /// Most steps at a level.
    pub steps: usize,
    /// A step below this ends a level, px.
    pub still: f32,
    /// Added to both diagonal terms of the structure tensor, as a part of its larger eigenvalue.
    /// Above 0 it keeps a patch on an edge from sliding along it; 0 is the published method.
    pub hold: f32,
    /// Brightness.
    pub light: Light,
}

/// A patch cut from a picture, with its slopes.
#[derive(Clone, Debug)]
pub struct Patch {
    value: [f32; AREA],
    gx: [f32; AREA],
    gy: [f32; AREA],
    /// Means of pixel times slope.
    own: [f32; 2],
    /// Mean brightness, grey levels.
    pub mean: f32,
    /// Root of the mean square about the mean, grey levels.
    pub contrast: f32,
    /// Mean structure tensor (xx, xy, yy), (grey levels per px)^2.
    pub tensor: [f32; 3],
}

/// Where a patch was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Centre, px.
    pub x: f32,
    /// Centre, px.
    pub y: f32,
    /// Root of the mean square difference after matching brightness, grey levels of the first picture.
    pub misfit: f32,
    /// Correlation of the two patches, -1 to 1.
    pub alike: f32,
    /// Contrast found over contrast sought.
    pub gain: f32,
    /// Mean brightness found less the mean sought, grey levels.
    pub brighter: f32,
    /// How far one step back, with the second picture's slopes, leads away from the start, px.
    pub back: f32,
}

/// Bilinear patch about (x, y); `None` when it leaves the picture.
#[inline]
fn cut(of: &Plane, x: f32, y: f32, out: &mut [f32; AREA]) -> Option<()> {
    let (left, top) = (x - HALF as f32, y - HALF as f32);
    // Written so that a NaN is refused too.
    if !(left >= 0.0 && top >= 0.0 && left < 1e6 && top < 1e6) {
        return None;
    }
    let (x0, y0) = (left as usize, top as usize);
    if x0 + SIDE >= of.width() || y0 + SIDE >= of.height() {
        return None;
    }
    let (fx, fy) = (left - x0 as f32, top - y0 as f32);
    let (w00, w01) = ((1.0 - fx) * (1.0 - fy), fx * (1.0 - fy));
    let (w10, w11) = ((1.0 - fx) * fy, fx * fy);
    for (r, row) in out.chunks_exact_mut(STRIDE).enumerate() {
        let a = of.row(y0 + r).get(x0..x0 + SIDE + 1)?;
        let b = of.row(y0 + r + 1).get(x0..x0 + SIDE + 1)?;
        for i in 0..SIDE {
            row[i] = w00 * a[i] + w01 * a[i + 1] + w10 * b[i] + w11 * b[i + 1];
        }
        row[SIDE] = 0.0;
    }
    Some(())
}

/// Sums in a few lanes, so that the compiler may use vectors.
#[inline]
fn dot(a: &[f32; AREA], b: &[f32; AREA]) -> f32 {
    let mut lanes = [0.0f32; STRIDE];
    for (a, b) in a.chunks_exact(STRIDE).zip(b.chunks_exact(STRIDE)) {
        for i in 0..STRIDE {
            lanes[i] += a[i] * b[i];
        }
    }
    lanes.iter().sum()
}

#[inline]
fn sum(a: &[f32; AREA]) -> f32 {
    let mut lanes = [0.0f32; STRIDE];
    for a in a.chunks_exact(STRIDE) {
        for i in 0..STRIDE {
            lanes[i] += a[i];
        }
    }
    lanes.iter().sum()
}

/// Takes the mean off the patch's pixels (not off the column of zeros).
#[inline]
fn centre(a: &mut [f32; AREA]) -> f32 {
    let mean = sum(a) / PIXELS;
    for row in a.chunks_exact_mut(STRIDE) {
        for v in &mut row[..SIDE] {
            *v -= mean;
        }
    }
    mean
}

impl Patch {
    /// The patch of a picture about (x, y); `None` when it leaves the picture.
    pub fn new(of: &Plane, slopes: &Slopes, x: f32, y: f32, light: Light) -> Option<Self> {
        let (mut value, mut gx, mut gy) = ([0.0; AREA], [0.0; AREA], [0.0; AREA]);
        cut(of, x, y, &mut value)?;
        cut(&slopes.x, x, y, &mut gx)?;
        cut(&slopes.y, x, y, &mut gy)?;
        let mean = centre(&mut value);
        if light == Light::Free {
            // A brightness offset looks like the mean slope: only what differs from it counts.
            centre(&mut gx);
            centre(&mut gy);
        }
        // What the patch itself gives where its own pixels stand for the second picture's.
        let level = if light == Light::Same { mean } else { 0.0 };
        let own = [&gx, &gy].map(|g| (dot(&value, g) + level * sum(g)) / PIXELS);
        Some(Self {
            own,
            tensor: [dot(&gx, &gx), dot(&gx, &gy), dot(&gy, &gy)].map(|s| s / PIXELS),
            contrast: (dot(&value, &value) / PIXELS).sqrt(),
            value,
            gx,
            gy,
            mean,
        })
    }

    /// Follows the patch into `next`, starting at (x, y); `None` when it leaves the picture or
    /// holds nothing to follow.
    pub fn follow(&self, next: &Plane, x: f32, y: f32, how: &Follow) -> Option<Found> {
        let t = self.tensor;
        let hold = how.hold * eigenvalues(t)[1];
        let (xx, xy, yy) = (t[0] + hold, t[1], t[2] + hold);
        let det = xx * yy - xy * xy;
        if det.is_nan() || det <= 1e-6 * (xx + yy) * (xx + yy) {
            return None;
        }
        let (mut x, mut y) = (x, y);
        let mut there = [0.0f32; AREA];
        let mut before = (0.0f32, 0.0f32);
        let (mut mean, mut power);
        let mut step = 0;
        loop {
            cut(next, x, y, &mut there)?;
            let sums = self.sums(&there);
            mean = sums[0] / PIXELS;
            power = (sums[1] - mean * sums[0]).max(0.0);
            if step == how.steps {
                break;
            }
            // Sums of (second - first) times slope. With free light the slopes have no mean, so
            // that the mean of the pixels need not be taken off first.
            let factor = match how.light {
                Light::Free => self.contrast / (power / PIXELS).sqrt().max(1e-3 * self.contrast),
                Light::Same => 1.0,
            };
            let (bx, by) = (
                factor * sums[2] / PIXELS - self.own[0],
                factor * sums[3] / PIXELS - self.own[1],
            );
            let (dx, dy) = ((yy * bx - xy * by) / det, (xx * by - xy * bx) / det);
            x -= dx;
            y -= dy;
            if !(x.is_finite() && y.is_finite()) {
                return None;
            }
            if dx * dx + dy * dy < how.still * how.still {
                break;
            }
            // Bouguet's method may swing about the place; half way between is better.
            if (dx + before.0).abs() < 0.01 && (dy + before.1).abs() < 0.01 && step > 0 {
                x += 0.5 * dx;
                y += 0.5 * dy;
                break;
            }
            before = (dx, dy);
            step += 1;
        }
        let gain = (power / PIXELS).sqrt() / self.contrast.max(1e-3);
        let brighter = mean - self.mean;
        // Second less first, brightness matched; the first's own mean is off already.
        let (factor, offset) = match how.light {
            Light::Free => (1.0 / gain.max(1e-3), 0.0),
            Light::Same => (1.0, brighter),
        };
        let mut product = 0.0;
        for (row, own) in there
            .chunks_exact_mut(STRIDE)
            .zip(self.value.chunks_exact(STRIDE))
        {
            for (v, own) in row[..SIDE].iter_mut().zip(own) {
                let centred = *v - mean;
                product += centred * own;
                *v = centred * factor + offset - own;
            }
        }
        Some(Found {
            x,
            y,
            misfit: (dot(&there, &there) / PIXELS).sqrt(),
            alike: product / (power.sqrt() * PIXELS.sqrt() * self.contrast).max(1e-6),
            gain,
            brighter,
            back: back(&there, &self.value, hold),
        })
    }

    /// Sums over the pixels: of themselves, of their squares, of their products with the slopes.
    #[inline]
    fn sums(&self, there: &[f32; AREA]) -> [f32; 4] {
        let mut lanes = [[0.0f32; STRIDE]; 4];
        for ((t, gx), gy) in there
            .chunks_exact(STRIDE)
            .zip(self.gx.chunks_exact(STRIDE))
            .zip(self.gy.chunks_exact(STRIDE))
        {
            for i in 0..STRIDE {
                lanes[0][i] += t[i];
                lanes[1][i] += t[i] * t[i];
                lanes[2][i] += t[i] * gx[i];
                lanes[3][i] += t[i] * gy[i];
            }
        }
        lanes.map(|lane| lane.iter().sum())
    }
}

/// Length of one Lucas-Kanade step from the second picture back to the first, px: `miss` is
/// second less first, `first` the first's values. The forward-backward check (Kalal, Mikolajczyk &
/// Matas 2010, "Forward-backward error"), shortened to its first step.
#[inline]
fn back(miss: &[f32; AREA], first: &[f32; AREA], hold: f32) -> f32 {
    let second = |i: usize| miss[i] + first[i];
    let (mut g, mut b) = ([0.0f32; 3], [0.0f32; 2]);
    for r in 1..SIDE - 1 {
        for c in 1..SIDE - 1 {
            let i = r * STRIDE + c;
            let gx = 0.5 * (second(i + 1) - second(i - 1));
            let gy = 0.5 * (second(i + STRIDE) - second(i - STRIDE));
            g[0] += gx * gx;
            g[1] += gx * gy;
            g[2] += gy * gy;
            b[0] += gx * miss[i];
            b[1] += gy * miss[i];
        }
    }
    let n = ((SIDE - 2) * (SIDE - 2)) as f32;
    let hold = (hold * n).max(1e-3);
    let (xx, yy) = (g[0] + hold, g[2] + hold);
    let det = xx * yy - g[1] * g[1];
    let (dx, dy) = (
        (yy * b[0] - g[1] * b[1]) / det,
        (xx * b[1] - g[1] * b[0]) / det,
    );
    dx.hypot(dy)
}

/// Follows the point (x, y) of `first` into `second` from coarse to fine, as Bouguet does.
/// `guess` is where to begin. `None` when the patch leaves a picture at the finest level, or when
/// the smaller eigenvalue of its mean structure tensor is below `least`.
pub fn track(
    first: &Pyramid,
    second: &Pyramid,
    at: [f32; 2],
    guess: [f32; 2],
    how: &Follow,
    least: f32,
) -> Option<Found> {
    let levels = first.levels().len().min(second.levels().len());
    let mut place = guess;
    let mut found = None;
    for k in (0..levels).rev() {
        let size = (1u32 << k) as f32;
        let (from, to) = (first.levels().get(k)?, second.levels().get(k)?);
        found = Patch::new(
            from,
            &Slopes::new(from),
            at[0] / size,
            at[1] / size,
            how.light,
        )
        .filter(|p| k > 0 || eigenvalues(p.tensor)[0] >= least)
        .and_then(|p| p.follow(to, place[0] / size, place[1] / size, how));
        if let Some(f) = found {
            place = [f.x * size, f.y * size];
        }
    }
    found
}
