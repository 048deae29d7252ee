//! An estimator's profile, measured on rendered people: where it puts its points, how they shift as the lifter
//! squats, and what the checks make of that, by where the camera stands; and how all that spreads between people.

use super::read::Clip;
use crate::truth::CHANNELS;
use glam::DVec2;
use std::fmt::Write;
use underfoot::keypoints::{Joint, Part, Side};
use underfoot::measures::{Check, Curves, Measurer, refine, series};
use underfoot::pose::{Pose, Seen};
use underfoot::standing;

/// Joints whose places are compared, with the truth's names, without the side.
pub(super) const JOINTS: [(Part, &str); 6] = [
    (Part::Shoulder, "shoulder"),
    (Part::Hip, "hip"),
    (Part::Knee, "knee"),
    (Part::Ankle, "ankle"),
    (Part::Heel, "heel"),
    (Part::BigToe, "big_toe"),
];

/// Parts of the way down at which a squat is looked at.
pub const DEPTHS: [f64; 4] = [0.25, 0.5, 0.75, 0.95];

/// One leg of one person (or the lifter, where a check has no side).
#[derive(Clone, Debug, Default)]
pub struct Leg {
    /// Clip.
    pub clip: String,
    /// Bearing of the camera seen from this leg, degrees: 90 is its own side, -90 the other leg's.
    pub bearing: f64,
    /// Offsets of the joints in standing, of the shank's length in the picture: toward the lifter's other
    /// leg's side of the picture as seen from the front, and down.
    pub offsets: [Option<DVec2>; JOINTS.len()],
    /// Their shifts at the bottom against standing.
    pub shifts: [Option<DVec2>; JOINTS.len()],
    /// Reading, truth and standard error told of the checks at [`DEPTHS`], a mean over the repetitions; of heel,
    /// knee and roll.
    pub checks: [[Option<[f64; 3]>; DEPTHS.len()]; 3],
    /// Spread of the errors at the bottom between its repetitions.
    pub own: [Option<f64>; 3],
}

/// What a clip gives: both legs, and forward shift and load share.
#[derive(Clone, Debug, Default)]
pub struct Person {
    /// Left and right leg.
    pub legs: [Leg; 2],
    /// Camera's bearing, degrees.
    pub azimuth: f64,
    /// The same of forward shift and load share.
    pub whole: [[Option<[f64; 3]>; DEPTHS.len()]; 2],
    /// Error of the knees in standing, degrees.
    pub standing: [f64; 2],
    /// Elevation of the camera over the floor point between the feet, degrees.
    pub view: String,
}

/// Looks at one clip.
///
/// # Errors
/// A clip whose standing can't be fitted.
pub fn person(clip: &Clip) -> Result<Person, String> {
    let recording = &clip.film.recording;
    let truth = &clip.film.truth;
    let mut setup = recording.setup.clone();
    // What is known of the estimator is taken off: what is told is what is left.
    setup.estimator = Some(super::read::ESTIMATOR.into());
    let layout = &setup.layout;
    let poses: Vec<Pose> = recording
        .frames
        .iter()
        .map(|frame| {
            let mut pose = Pose::empty(frame.t_ms);
            for joint in Joint::ALL {
                let point = layout.index_of(joint).zip(frame.people.first());
                if let Some([x, y, score]) = point.and_then(|(i, p)| p.get(i).copied()) {
                    let at = DVec2::new(x, y);
                    pose.joints[joint.index()] = at.is_finite().then_some(Seen { at, score });
                }
            }
            pose
        })
        .collect();
    let still = |t: f64| t <= truth.standing_ms[0][1];
    let quiet: Vec<Pose> = poses.iter().filter(|p| still(p.t_ms)).copied().collect();
    let fit = standing::fit(&quiet, &setup).map_err(|e| e.to_string())?;
    let reps: Vec<(f64, f64)> = truth.reps.iter().map(|r| (r.start_ms, r.end_ms)).collect();
    let fit = refine(&fit, &setup, &poses, &reps).unwrap_or(fit);
    let curves = series(
        &Measurer::new(&fit, &setup),
        &poses,
        &[],
        &reps,
        Curves::All,
    );
    let mut out = Person {
        azimuth: truth.azimuth_deg,
        view: clip.view.clone(),
        ..Person::default()
    };
    for side in Side::BOTH {
        let s = side.index();
        let leg = &mut out.legs[s];
        leg.clip.clone_from(&clip.name);
        let bearing = truth.azimuth_deg * side.sign();
        leg.bearing = (bearing + 180.0).rem_euclid(360.0) - 180.0;
        out.standing[s] = fit.body.legs[s].inward.to_degrees() - clip.knee_standing_deg[s];
    }
    // Every instant of a part of the way down or up, with reading and truth.
    let read = |channel: usize, depth: f64| -> Vec<[f64; 3]> {
        let of_rep = truth.reps.iter().filter_map(|rep| {
            let (mut sum, mut n) = ([0.0; 3], 0.0);
            for (i, t) in curves.t_ms.iter().enumerate() {
                let k = truth.curves.t_ms.partition_point(|v| v < &(t - 1.0));
                let (Some(d), true) = (
                    truth.curves.depth.get(k),
                    (rep.start_ms..=rep.end_ms).contains(t),
                ) else {
                    continue;
                };
                if (d / rep.depth - depth).abs() > 0.08 {
                    continue;
                }
                let said = curves.channels[channel][i];
                let is = truth.curves.channels[channel].get(k).copied().flatten();
                if let (Some(said), Some(is)) = (said, is) {
                    sum = [sum[0] + said.value, sum[1] + is, sum[2] + said.sd];
                    n += 1.0;
                }
            }
            (n > 0.0).then(|| sum.map(|v| v / n))
        });
        of_rep.collect()
    };
    let mean = |list: &[[f64; 3]]| -> Option<[f64; 3]> {
        let n = list.len() as f64;
        let sum = |k: usize| list.iter().map(|v| v[k]).sum::<f64>() / n;
        (!list.is_empty()).then(|| [sum(0), sum(1), sum(2)])
    };
    for c in 0..CHANNELS {
        for (d, depth) in DEPTHS.into_iter().enumerate() {
            let list = read(c, depth);
            let value = mean(&list);
            let check = c / 2;
            if c < 6 {
                let leg = &mut out.legs[c % 2];
                leg.checks[check][d] = value;
                if d + 1 == DEPTHS.len()
                    && let Some([said, is, _]) = value
                    && list.len() > 1
                {
                    let off = said - is;
                    let sum: f64 = list.iter().map(|v| (v[0] - v[1] - off).powi(2)).sum();
                    leg.own[check] = Some((sum / (list.len() - 1) as f64).sqrt());
                }
            } else {
                out.whole[c - 6][d] = value;
            }
        }
    }
    points(clip, &poses, &mut out.legs);
    Ok(out)
}

/// Offsets and shifts of the points.
fn points(clip: &Clip, poses: &[Pose], legs: &mut [Leg; 2]) {
    let truth = &clip.film.truth;
    let bare = clip.film.recording.setup.footwear == Some(underfoot::keypoints::Footwear::Barefoot);
    let unit = {
        let at = |i: usize| clip.px.first().map(|f| DVec2::from_array(f[i]));
        let index = |name: &str| clip.points.iter().position(|p| p == name);
        let length = |side: &str| {
            let [a, b] = ["knee", "ankle"].map(|j| index(&format!("{side}_{j}")).and_then(at));
            Some(a?.distance(b?))
        };
        let [l, r] = ["left", "right"].map(|s| length(s).unwrap_or(f64::NAN));
        (l + r) / 2.0
    };
    for side in Side::BOTH {
        let leg = &mut legs[side.index()];
        for (j, (part, name)) in JOINTS.into_iter().enumerate() {
            let name = if name == "big_toe" && !bare {
                "shoe_tip"
            } else {
                name
            };
            let name = format!("{}_{name}", side.name());
            let Some(k) = clip.points.iter().position(|p| *p == name) else {
                continue;
            };
            let joint = Joint::of(part, side);
            let mean = |wanted: &dyn Fn(usize) -> bool| {
                let (mut sum, mut n) = (DVec2::ZERO, 0.0);
                for (i, (pose, px)) in poses.iter().zip(&clip.px).enumerate() {
                    if let (true, Some(at)) = (wanted(i), pose.at(joint)) {
                        sum += at - DVec2::from_array(px[k]);
                        n += 1.0;
                    }
                }
                let flipped = DVec2::new(-side.sign(), 1.0);
                (n > 0.0).then(|| sum / n / unit * flipped)
            };
            let standing = mean(&|i| poses[i].t_ms <= truth.standing_ms[0][1]);
            let low = mean(&|i| {
                truth.reps.iter().any(|r| {
                    let depth = truth.curves.depth.get(i).copied().unwrap_or(0.0);
                    (r.start_ms..=r.end_ms).contains(&poses[i].t_ms) && depth > 0.92 * r.depth
                })
            });
            leg.offsets[j] = standing;
            leg.shifts[j] = standing.zip(low).map(|(a, b)| b - a);
        }
    }
}

/// Views by a leg's bearing, degrees: centre and name.
const VIEWS: [(f64, &str); 8] = [
    (0.0, "front"),
    (45.0, "oblique, near"),
    (-45.0, "oblique, far"),
    (90.0, "side, near"),
    (-90.0, "side, far"),
    (135.0, "rear-oblique, near"),
    (-135.0, "rear-oblique, far"),
    (180.0, "rear"),
];

fn is_at(bearing: f64, centre: f64) -> bool {
    let off = (bearing - centre + 180.0).rem_euclid(360.0) - 180.0;
    off.abs() <= 22.5
}

/// Mean, spread and root mean square.
fn spread(list: &[f64]) -> [f64; 3] {
    let n = list.len().max(1) as f64;
    let mean = list.iter().sum::<f64>() / n;
    let square = list.iter().map(|v| v * v).sum::<f64>() / n;
    [mean, (square - mean * mean).max(0.0).sqrt(), square.sqrt()]
}

/// The tables.
pub fn text(people: &[Person]) -> String {
    let mut out = format!("{} people.\n\n", people.len());
    let legs: Vec<&Leg> = people.iter().flat_map(|p| &p.legs).collect();
    out.push_str("Points, thousandths of the shank's length in the picture, x toward the other leg's side as seen from the front, y down: mean (spread between legs) of the offset in standing and of the shift at the bottom.\n\n| from | legs | joint | offset x | offset y | shift x | shift y |\n|---|---|---|---|---|---|---|\n");
    for (centre, view) in VIEWS {
        let of: Vec<&&Leg> = legs.iter().filter(|l| is_at(l.bearing, centre)).collect();
        for (j, (_, name)) in JOINTS.into_iter().enumerate() {
            let cell = |pick: &dyn Fn(&Leg) -> Option<f64>| {
                let list: Vec<f64> = of.iter().filter_map(|l| pick(l)).map(|v| 1e3 * v).collect();
                let [mean, sd, _] = spread(&list);
                format!("{mean:+.0} ({sd:.0})")
            };
            let _ = writeln!(
                out,
                "| {view} | {} | {name} | {} | {} | {} | {} |",
                of.len(),
                cell(&|l| l.offsets[j].map(|v| v.x)),
                cell(&|l| l.offsets[j].map(|v| v.y)),
                cell(&|l| l.shifts[j].map(|v| v.x)),
                cell(&|l| l.shifts[j].map(|v| v.y)),
            );
        }
    }
    out.push_str("\nChecks from keypoints alone: error at parts of the way down, mean (spread between people); root mean square at the bottom; slope of the reading on the truth there, reading at a true 0, what that line leaves, the standard error told, and what differs between a person's repetitions.\n\n| check | from | n | 25 % | 50 % | 75 % | 95 % | rms | slope | at 0 | left | told | own |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
    for check in [Check::HeelLift, Check::KneeIn, Check::FootRoll] {
        for (centre, view) in VIEWS {
            let of: Vec<&&Leg> = legs.iter().filter(|l| is_at(l.bearing, centre)).collect();
            let values: Vec<[Option<[f64; 3]>; DEPTHS.len()]> =
                of.iter().map(|l| l.checks[check as usize]).collect();
            let own: Vec<f64> = of.iter().filter_map(|l| l.own[check as usize]).collect();
            row(&mut out, check, view, &values, &own);
        }
    }
    for (k, check) in [Check::Forward, Check::LoadLeft].into_iter().enumerate() {
        for (centre, view) in VIEWS {
            let of = people.iter().filter(|p| is_at(p.azimuth.abs(), centre));
            let values: Vec<_> = of.map(|p| p.whole[k]).collect();
            row(&mut out, check, view, &values, &[]);
        }
    }
    let list: Vec<f64> = people.iter().flat_map(|p| p.standing).collect();
    let [mean, sd, _] = spread(&list);
    let _ = writeln!(out, "\nKnees in standing: {mean:+.2} ({sd:.2}) degrees.");
    out
}

fn row(
    out: &mut String,
    check: Check,
    view: &str,
    values: &[[Option<[f64; 3]>; DEPTHS.len()]],
    own: &[f64],
) {
    if values.is_empty() {
        return;
    }
    let errors = |d: usize| -> Vec<f64> {
        let list = values.iter().filter_map(|v| v[d]);
        list.map(|[said, is, _]| said - is).collect()
    };
    let last = DEPTHS.len() - 1;
    let list: Vec<[f64; 3]> = values.iter().filter_map(|v| v[last]).collect();
    let [slope, zero, left] = line(&list);
    let told: Vec<f64> = list.iter().map(|v| v[2]).collect();
    let told = spread(&told)[2];
    let _ = write!(out, "| {} | {view} | {} |", check.name(), list.len());
    for d in 0..DEPTHS.len() {
        let [mean, sd, _] = spread(&errors(d));
        let _ = write!(out, " {mean:+.1} ({sd:.1}) |");
    }
    let [_, _, own] = spread(own);
    let _ = writeln!(
        out,
        " {:.2} | {slope:.2} | {zero:+.2} | {left:.2} | {told:.2} | {own:.2} |",
        spread(&errors(last))[2]
    );
}

/// The straight line of readings on the truth: its slope, the reading at a true 0, and the root mean square
/// of what it leaves.
fn line(list: &[[f64; 3]]) -> [f64; 3] {
    let n = list.len() as f64;
    let mean = |k: usize| list.iter().map(|v| v[k]).sum::<f64>() / n;
    let (said, is) = (mean(0), mean(1));
    let sum = |f: &dyn Fn(&[f64; 3]) -> f64| list.iter().map(f).sum::<f64>();
    let var = sum(&|v| (v[1] - is).powi(2));
    let slope = sum(&|v| (v[0] - said) * (v[1] - is)) / var.max(1e-9);
    let left = sum(&|v| (v[0] - said - slope * (v[1] - is)).powi(2));
    [slope, said - slope * is, (left / (n - 2.0).max(1.0)).sqrt()]
}
