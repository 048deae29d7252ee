//! The shin's outline in the marked picture: how far each of its two edges lies from its axis.

use super::line::Line;
use crate::picture::grey::GreyView;
use glam::DVec2;

/// One place of an edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    /// How far up the shin, from the ankle (0) to its top (1).
    pub up: f64,
    /// +1 or -1: on which side of the axis.
    pub side: f64,
    /// Distance from the axis, px of the recording's picture.
    pub half: f64,
    /// Slope of the brightness across it, outward, grey levels per px.
    pub slope: f32,
    /// Brightness just inside, grey levels.
    pub inside: f32,
    /// Trust in it, 0 to 1; learned while following.
    pub trust: f64,
}

/// Places up the shin at which edges are looked for.
const PLACES: usize = 24;
const LOWEST: f64 = 0.10;
const HIGHEST: f64 = 0.94;
/// Half breadth of a shin, of its length: least, most, usual, and spread. Calf girths of 31 to 42 cm and shanks of 36 to
/// 46 cm give 0.13 to 0.16 at the calf (ANSUR II), two thirds of that at the ankle; trousers are wider.
const HALF: [f64; 4] = [0.035, 0.30, 0.125, 0.06];
/// Slope that counts as a full edge, grey levels per px; what leaving the usual breadth costs against it, and each
/// px of change from one place to the next.
const FULL: f32 = 10.0;
const UNUSUAL: f64 = 0.15;
const JUMP: f64 = 0.10;
/// Most change of the half breadth from one place to the next, px.
const REACH: usize = 6;
/// Weakest edge that is kept, grey levels per px.
const LEAST: f32 = 1.5;
/// Inside of an edge: from and to, of the shin's length.
pub(super) const INSIDE: [f64; 2] = [0.012, 0.04];

/// Finds both edges of the shin whose axis runs from `ankle` to `knee`, px, by the best path up each side
/// (dynamic programming, as Amini, Weymouth & Jain 1990, "Using dynamic programming for solving variational
/// problems in vision").
pub(super) fn outline(view: &GreyView<'_>, ankle: DVec2, knee: DVec2) -> Vec<Edge> {
    let axis = knee - ankle;
    let long = axis.length();
    let (up, across) = (axis / long, axis.perp() / long);
    let count = (HALF[1] * long) as usize + 6;
    let first = (HALF[0] * long) as usize;
    let last = count.saturating_sub(4);
    let mut edges = Vec::new();
    if first + 2 >= last {
        return edges;
    }
    let places: Vec<f64> = (0..PLACES)
        .map(|k| LOWEST + (HIGHEST - LOWEST) * k as f64 / (PLACES - 1) as f64)
        .collect();
    for side in [1.0, -1.0] {
        let lines: Vec<Line> = places
            .iter()
            .map(|&s| {
                let mut line = Line::default();
                line.read(
                    view,
                    ankle + axis * s,
                    across * side,
                    up * (0.01 * long).max(1.0),
                    count,
                );
                line
            })
            .collect();
        // Best gain of a path that ends here, and where it came from.
        let mut gains = vec![vec![f64::NEG_INFINITY; last]; PLACES];
        let mut from = vec![vec![0usize; last]; PLACES];
        for (k, line) in lines.iter().enumerate() {
            for i in first..last {
                let half = i as f64 / long;
                let usual = (half - HALF[2]) / HALF[3];
                let edge = f64::from((line.slopes[i].abs() / FULL).min(1.0));
                let own = edge - UNUSUAL * usual * usual;
                if k == 0 {
                    gains[k][i] = own;
                    continue;
                }
                for j in i.saturating_sub(REACH).max(first)..(i + REACH + 1).min(last) {
                    let gain = own + gains[k - 1][j] - JUMP * i.abs_diff(j) as f64;
                    if gain > gains[k][i] {
                        gains[k][i] = gain;
                        from[k][i] = j;
                    }
                }
            }
        }
        let ends = &gains[PLACES - 1];
        let mut i = (first..last)
            .reduce(|a, b| if ends[b] > ends[a] { b } else { a })
            .unwrap_or(first);
        for k in (0..PLACES).rev() {
            let line = &lines[k];
            let slope = line.slopes[i];
            if slope.abs() >= LEAST {
                let [near, far] = INSIDE.map(|d| (d * long).round() as isize);
                edges.push(Edge {
                    up: places[k],
                    side,
                    half: line.peak(i),
                    slope,
                    inside: line.mean(i as isize - far, i as isize - near),
                    trust: 1.0,
                });
            }
            i = from[k][i];
        }
    }
    edges
}
