//! Where a picture has something to hold on to.
//!
//! The structure tensor of a patch, sum of (slope slope^T), says how well a patch can be located:
//! its smaller eigenvalue measures the worst direction (Shi & Tomasi 1994, "Good features to
//! track"). A patch on an edge has one large eigenvalue: it still tells the motion across the edge,
//! so it is kept here and weighed by its tensor later.

use super::pyramid::Slopes;

/// A patch worth following.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Centre, px.
    pub x: f32,
    /// Centre, px.
    pub y: f32,
    /// Smaller eigenvalue of the mean structure tensor, (grey levels per px)^2.
    pub weak: f32,
    /// Larger eigenvalue.
    pub strong: f32,
}

/// Mean structure tensor (xx, xy, yy) of the square patch of half-size `half` about a pixel;
/// `None` when it leaves the picture.
pub fn tensor(slopes: &Slopes, x: usize, y: usize, half: usize) -> Option<[f32; 3]> {
    let (w, h) = (slopes.x.width(), slopes.x.height());
    if x < half || y < half || x + half >= w || y + half >= h {
        return None;
    }
    let mut sum = [0.0f32; 3];
    for row in y - half..=y + half {
        let gx = slopes.x.row(row).get(x - half..=x + half)?;
        let gy = slopes.y.row(row).get(x - half..=x + half)?;
        for (a, b) in gx.iter().zip(gy) {
            sum[0] += a * a;
            sum[1] += a * b;
            sum[2] += b * b;
        }
    }
    let n = ((2 * half + 1) * (2 * half + 1)) as f32;
    Some(sum.map(|s| s / n))
}

/// Eigenvalues of a symmetric 2 x 2 matrix (xx, xy, yy), smaller first.
#[inline]
pub fn eigenvalues(m: [f32; 3]) -> [f32; 2] {
    let mid = 0.5 * (m[0] + m[2]);
    let off = (0.25 * (m[0] - m[2]) * (m[0] - m[2]) + m[1] * m[1]).sqrt();
    [mid - off, mid + off]
}

/// The best patches of a picture, best first, at least `apart` px from each other.
///
/// `wanted(x, y)` says where to look. A patch's rank is its smaller eigenvalue plus `edges` times
/// its larger: 0 gives Shi and Tomasi's order.
pub fn corners(
    slopes: &Slopes,
    half: usize,
    apart: f32,
    edges: f32,
    least: f32,
    most: usize,
    wanted: impl Fn(usize, usize) -> bool,
) -> Vec<Corner> {
    let (w, h) = (slopes.x.width(), slopes.x.height());
    let mut found = Vec::new();
    for y in half..h.saturating_sub(half) {
        for x in half..w.saturating_sub(half) {
            if !wanted(x, y) {
                continue;
            }
            if let Some(t) = tensor(slopes, x, y, half) {
                let [weak, strong] = eigenvalues(t);
                if weak + edges * strong >= least {
                    found.push(Corner {
                        x: x as f32,
                        y: y as f32,
                        weak,
                        strong,
                    });
                }
            }
        }
    }
    let rank = |c: &Corner| c.weak + edges * c.strong;
    crate::order::largest_first(&mut found, |c| f64::from(rank(c)));
    let mut kept: Vec<Corner> = Vec::new();
    for c in found {
        if kept.len() >= most {
            break;
        }
        let free = |k: &Corner| (k.x - c.x).powi(2) + (k.y - c.y).powi(2) >= apart * apart;
        if kept.iter().all(free) {
            kept.push(c);
        }
    }
    kept
}
