//! Where a patch of one picture went in another: pyramidal Lucas-Kanade.
//!
//! Lucas & Kanade 1981, "An iterative image registration technique with an application to stereo
//! vision"; in the pyramidal, iterated form of Bouguet 2000, "Pyramidal implementation of the
//! Lucas Kanade feature tracker". The slopes are the first picture's, so that their sums are made
//! once per patch however many pictures it is followed into.

use super::block::{Block, INNER, PIXELS};
use super::corners::eigenvalues;
use super::plane::Plane;
use super::pyramid::{Pyramid, Slopes};

pub use super::block::{HALF, SIDE};

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
    value: Block,
    gx: Block,
    gy: Block,
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

impl Patch {
    /// The patch of a picture about (x, y); `None` when it leaves the picture.
    pub fn new(of: &Plane, slopes: &Slopes, x: f32, y: f32, light: Light) -> Option<Self> {
        let mut value = Block::cut(of, x, y)?;
        let mut gx = Block::cut(&slopes.x, x, y)?;
        let mut gy = Block::cut(&slopes.y, x, y)?;
        let mean = value.centre();
        if light == Light::Free {
            // A brightness offset looks like the mean slope: only what differs from it counts.
            gx.centre();
            gy.centre();
        }
        // What the patch itself gives where its own pixels stand for the second picture's.
        let level = if light == Light::Same { mean } else { 0.0 };
        let own = [&gx, &gy].map(|g| (value.dot(g) + level * g.sum()) / PIXELS);
        Some(Self {
            own,
            tensor: [gx.dot(&gx), gx.dot(&gy), gy.dot(&gy)].map(|s| s / PIXELS),
            contrast: (value.dot(&value) / PIXELS).sqrt(),
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
        let mut there = Block::default();
        let mut before = (0.0f32, 0.0f32);
        let (mut mean, mut power);
        let mut step = 0;
        loop {
            let sums = there.look(next, x, y, &self.gx, &self.gy)?;
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
        let [product, square] = there.less(&self.value, mean, factor, offset);
        Some(Found {
            x,
            y,
            misfit: (square / PIXELS).sqrt(),
            alike: product / (power.sqrt() * PIXELS.sqrt() * self.contrast).max(1e-6),
            gain,
            brighter,
            back: back(&there, &self.value, hold),
        })
    }
}

/// Length of one Lucas-Kanade step from the second picture back to the first, px: `miss` is
/// second less first, `first` the first's values. The forward-backward check (Kalal, Mikolajczyk &
/// Matas 2010, "Forward-backward error"), shortened to its first step.
fn back(miss: &Block, first: &Block, hold: f32) -> f32 {
    let (g, b) = miss.slopes_back(first);
    let hold = (hold * INNER).max(1e-3);
    let (xx, yy) = (g[0] + hold, g[2] + hold);
    let det = xx * yy - g[1] * g[1];
    let (dx, dy) = (
        (yy * b[0] - g[1] * b[1]) / det,
        (xx * b[1] - g[1] * b[0]) / det,
    );
    (dx * dx + dy * dy).sqrt()
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
