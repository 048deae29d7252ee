//! Where an estimator puts its points on rendered people, against the joint centres: the table of src/keypoints/offsets.rs.

use super::profile::JOINTS;
use super::read::Clip;
use glam::DVec2;
use std::fmt::Write;
use underfoot::keypoints::{BEARINGS, Joint, Side};

/// A leg weighs by its distance from a bearing: standard deviation of a normal density, degrees.
const KERNEL: f64 = 12.0;
/// Spreads between people expected before any is seen, per cent of the shank: in standing, and of the shifts half-way and at the
/// bottom (tuned on 26 people, 2026-11-30, so that errors of knees over those told are about 1; kept for the 129 of 2026-12-01); how many legs this expectation weighs.
const EXPECTED: ([f64; 3], f64) = ([1.5, 2.0, 3.0], 1.5);
/// Pelvis drop, of its standing height, at the bottom of a deep squat (UI-PRMD, as in the core).
const DEEP_DROP: f64 = 0.52;

/// One leg: what the estimator adds, per cent of the shank's length in the picture.
#[derive(Debug)]
pub struct Leg {
    bearing: f64,
    standing: [DVec2; JOINTS.len()],
    /// Depth, 0 to 1, and what is added to the offset in standing.
    shifts: Vec<(f64, [DVec2; JOINTS.len()])>,
}

/// Both legs of a clip.
///
/// # Errors
/// A clip without the points, or without standing.
pub fn legs(clip: &Clip) -> Result<Vec<Leg>, String> {
    let truth = &clip.film.truth;
    let recording = &clip.film.recording;
    let index = |name: String| {
        let at = clip.points.iter().position(|p| *p == name);
        at.ok_or(format!("{}: no {name}", clip.name))
    };
    let place = |frame: usize, k: usize| DVec2::from_array(clip.px[frame][k]);
    let mut unit = 0.0;
    for side in Side::BOTH {
        let [knee, ankle] = ["knee", "ankle"].map(|j| index(format!("{}_{j}", side.name())));
        unit += place(0, knee?).distance(place(0, ankle?)) / 2.0;
    }
    let mut out = Vec::new();
    for side in Side::BOTH {
        let mirror = DVec2::new(side.sign(), 1.0);
        let mut names = Vec::new();
        for (_, name) in JOINTS {
            names.push(index(format!("{}_{name}", side.name()))?);
        }
        let small = index(format!("{}_small_toe", side.name()))?;
        let offsets = |i: usize| -> Option<[DVec2; JOINTS.len()]> {
            let seen = recording.frames[i].people.first()?;
            let mut list = [DVec2::ZERO; JOINTS.len()];
            for (k, (part, name)) in JOINTS.into_iter().enumerate() {
                let [x, y, _] =
                    *seen.get(recording.setup.layout.index_of(Joint::of(part, side))?)?;
                let mut truth = place(i, names[k]);
                if name == "big_toe" {
                    // The foot's line runs to the second toe.
                    truth = truth.lerp(place(i, small), 1.0 / 3.0);
                }
                list[k] = (DVec2::new(x, y) - truth) / unit * 100.0 * mirror;
            }
            Some(list)
        };
        let frames: Vec<(usize, [DVec2; JOINTS.len()])> =
            (0..recording.frames.len().min(clip.px.len()))
                .filter_map(|i| Some((i, offsets(i)?)))
                .collect();
        let still = |i: usize| recording.frames[i].t_ms <= truth.standing_ms[0][1];
        let standing: Vec<_> = frames.iter().filter(|f| still(f.0)).collect();
        if standing.is_empty() {
            return Err(format!("{}: nobody stands", clip.name));
        }
        let mut mean = [DVec2::ZERO; JOINTS.len()];
        for (_, o) in &standing {
            for (sum, v) in mean.iter_mut().zip(o) {
                *sum += *v / standing.len() as f64;
            }
        }
        let shifts = frames.iter().filter_map(|(i, o)| {
            let depth = truth.curves.depth.get(*i)? / DEEP_DROP;
            let shift = std::array::from_fn(|k| o[k] - mean[k]);
            (depth > 0.1).then_some((depth.min(1.0), shift))
        });
        out.push(Leg {
            bearing: (truth.azimuth_deg * side.sign() + 180.0).rem_euclid(360.0) - 180.0,
            standing: mean,
            shifts: shifts.collect(),
        });
    }
    Ok(out)
}

/// Shares of the shifts half-way and at the bottom that are there at a depth.
fn shares(depth: f64) -> [f64; 2] {
    let twice = 2.0 * depth;
    if twice < 1.0 {
        [twice, 0.0]
    } else {
        [2.0 - twice, twice - 1.0]
    }
}

/// Mean of what is left at these depths, if any is.
fn left(
    leg: &Leg,
    joint: usize,
    shift: [DVec2; 2],
    depths: std::ops::RangeInclusive<f64>,
) -> Option<DVec2> {
    let of = leg.shifts.iter().filter(|(d, _)| depths.contains(d));
    let list: Vec<DVec2> = of
        .map(|(d, s)| {
            let [a, b] = shares(*d);
            s[joint] - shift[0] * a - shift[1] * b
        })
        .collect();
    (!list.is_empty()).then(|| list.iter().sum::<DVec2>() / list.len() as f64)
}

/// The table's rows, in quarters of a per cent.
pub fn table(legs: &[Leg]) -> String {
    let mut out = format!("// {} people.\n", legs.len() / 2);
    for (j, (_, name)) in JOINTS.into_iter().enumerate() {
        let _ = writeln!(out, "// {name}\n[");
        for bearing in BEARINGS {
            let weights: Vec<f64> = legs
                .iter()
                .map(|l| {
                    let off = (l.bearing - bearing + 180.0).rem_euclid(360.0) - 180.0;
                    (-0.5 * (off / KERNEL).powi(2)).exp()
                })
                .collect();
            let all: f64 = weights.iter().sum();
            let count = all * all / weights.iter().map(|w| w * w).sum::<f64>();
            let spread = |values: &[DVec2], about: DVec2, stage: usize| {
                let of = values.iter().zip(&weights);
                let square: DVec2 = of.map(|(v, w)| (*v - about) * (*v - about) * *w).sum();
                let (expected, legs) = (EXPECTED.0[stage], EXPECTED.1);
                let sum = square / all * count + DVec2::splat(legs * expected * expected);
                let v = sum / (count + legs - 0.8);
                DVec2::new(v.x.sqrt(), v.y.sqrt())
            };
            let standing: Vec<DVec2> = legs.iter().map(|l| l.standing[j]).collect();
            let mean = standing
                .iter()
                .zip(&weights)
                .map(|(v, w)| *v * *w)
                .sum::<DVec2>()
                / all;
            // Weighted least squares of the shifts half-way and at the bottom, each leg as much as another.
            let (mut a, mut b, mut c) = (1e-3, 0.0, 1e-3);
            let mut right = [DVec2::ZERO; 2];
            for (leg, w) in legs.iter().zip(&weights) {
                let w = w / leg.shifts.len().max(1) as f64;
                for (depth, shift) in &leg.shifts {
                    let [s, t] = shares(*depth);
                    (a, b, c) = (a + w * s * s, b + w * s * t, c + w * t * t);
                    right[0] += shift[j] * (w * s);
                    right[1] += shift[j] * (w * t);
                }
            }
            let det = a * c - b * b;
            let shift = [
                (right[0] * c - right[1] * b) / det,
                (right[1] * a - right[0] * b) / det,
            ];
            let half: Vec<DVec2> = legs
                .iter()
                .map(|l| left(l, j, shift, 0.4..=0.6).unwrap_or_default())
                .collect();
            let low: Vec<DVec2> = legs
                .iter()
                .map(|l| {
                    let deepest = l.shifts.iter().map(|s| s.0).fold(0.0, f64::max);
                    let left = left(l, j, shift, 0.85 * deepest..=1.0);
                    left.unwrap_or_default() / deepest.clamp(0.6, 1.0)
                })
                .collect();
            let row = |mean: DVec2, sd: DVec2| {
                let q =
                    [mean.x, mean.y, sd.x, sd.y].map(|v| (4.0 * v).round().clamp(-127.0, 127.0));
                format!("[{}, {}, {}, {}]", q[0], q[1], q[2], q[3])
            };
            let _ = writeln!(
                out,
                "    [{}, {}, {}],",
                row(mean, spread(&standing, mean, 0)),
                row(shift[0], spread(&half, DVec2::ZERO, 1)),
                row(shift[1], spread(&low, DVec2::ZERO, 2)),
            );
        }
        out.push_str("],\n");
    }
    out
}
