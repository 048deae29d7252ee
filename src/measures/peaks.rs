//! One repetition of a check: how far it goes either way.

use super::channel::{Channel, Check, Estimate, Evidence};
use super::excursion::{Excursion, Support, Way};
use super::measurer::largest_sd;
use super::series::{BEFORE_MS, MeasureSeries};
use super::unseen::Unseen;
use crate::gather::Gather;

/// A channel within a repetition.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Peak {
    /// The furthest it goes down and up; `None` where nothing was measured.
    pub ways: [Option<Excursion>; 2],
    /// Its value in standing: of a knee and of the load share, which are absolute; else 0.
    pub standing: f64,
    /// Standard error where it is largest.
    pub sd: Option<f64>,
    /// Why it counts as unseen. Where there are `ways`, their error is too large to tell more
    /// than a value far beyond a line.
    pub unseen: Option<Unseen>,
    /// What carried it.
    pub evidence: Evidence,
}

/// Half width of the window in which a parabola is laid through the curve at its peak, ms: wider
/// where the keypoints' noise is large against what there is to see (common practice, no source).
const fn half_window_ms(check: Check, pictured: bool) -> f64 {
    match check {
        _ if pictured => 200.0,
        Check::HeelLift => 300.0,
        Check::KneeIn => 380.0,
        Check::FootRoll => 560.0,
        Check::Forward | Check::LoadLeft => 450.0,
    }
}

/// Share of the frames around the bottom in which the picture must have held to carry a value.
const HELD: f64 = 0.75;
/// Part of a picture's standard error that is new in every repetition; the rest (the size of what
/// is seen, the place of the heel) is the whole set's.
const OWN_SD: f64 = 0.35;
/// Part of the way down below which a knee is judged: a straight leg stands inside the foot's line
/// (UI-PRMD: by 7.1 (2.9) degrees), and a good squat takes it out.
const BENT: f64 = 0.25;
/// Part of the time down (or up) in which an eased descent covers so much of the way.
const BENT_TIME: f64 = 1.0 / 3.0;

/// How much the choice of the largest adds to the error from noise, of that error (measured on
/// simulated sets).
const PICKED: f64 = 0.8;

/// Phase of a time in a repetition: 0 start, 1 bottom, 2 end.
pub fn phase(t_ms: f64, start_ms: f64, bottom_ms: f64, end_ms: f64) -> f64 {
    let part = |a: f64, b: f64| {
        if b > a {
            ((t_ms - a) / (b - a)).clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    if t_ms <= bottom_ms {
        part(start_ms, bottom_ms)
    } else {
        1.0 + part(bottom_ms, end_ms)
    }
}

/// One frame of a curve: its value there by a parabola, and its errors.
#[derive(Clone, Copy)]
struct Point {
    t_ms: f64,
    value: f64,
    /// Standard deviation of the error that the whole set shares.
    shared: f64,
    /// The same of the repetition's own.
    own: f64,
}

/// Reads one channel of one repetition off the curves.
pub fn peaks(
    series: &MeasureSeries,
    start_ms: f64,
    bottom_ms: f64,
    end_ms: f64,
    channel: Channel,
) -> Peak {
    let none = |unseen| Peak {
        unseen: Some(unseen),
        ..Peak::default()
    };
    let from = series.t_ms.partition_point(|&t| t < start_ms);
    let to = series.t_ms.partition_point(|&t| t <= end_ms);
    let list = &series.channels[channel.index()];
    if list.iter().all(Option::is_none) {
        return none(Unseen::Layout);
    }
    // Half way down to half way up.
    let about = [start_ms, end_ms].map(|t| {
        let half = 0.5 * (t + bottom_ms);
        series.t_ms.partition_point(|&t| t < half)
    });
    let pictured = series.pictured(channel, about[0]..about[1]) >= HELD;
    // A value is carried by one kind of evidence throughout: where it changed from frame to frame,
    // the difference between the kinds would be read as a departure.
    let curve: Vec<Option<Estimate>> = (from..to)
        .map(|i| {
            if pictured {
                series.channels[channel.index()][i]
                    .filter(|_| series.pictured(channel, i..i + 1) > 0.0)
            } else {
                series.keypoints[channel.index()][i]
            }
        })
        .gather();
    let seen = curve.iter().flatten().count();
    if (2 * seen < curve.len() && !pictured) || seen < 4 {
        return none(Unseen::Missing);
    }
    let half_window = half_window_ms(channel.check(), pictured);
    let standing = if channel.check() == Check::LoadLeft {
        standing_share(series, channel, start_ms)
    } else {
        series.standing[channel.index()]
    };
    let times = &series.t_ms[from..to];
    let judged = match channel.check() {
        Check::KneeIn => bent(series, from..to, [start_ms, bottom_ms, end_ms]),
        _ => 0..times.len(),
    };
    let points: Vec<Point> = judged
        .filter_map(|i| {
            let sd = curve[i]?.sd;
            let own = if pictured {
                OWN_SD * sd
            } else {
                let variance = series.variance(channel.index(), times[i]);
                let variance = variance.unwrap_or_default();
                let moving = variance.white * series.gain * 0.6 + variance.slow;
                moving.sqrt().min(sd)
            };
            Some(Point {
                t_ms: times[i],
                value: parabola(times, &curve, i, half_window)?,
                shared: (sd * sd - own * own).max(0.0).sqrt(),
                own,
            })
        })
        .gather();
    if points.is_empty() {
        return none(Unseen::Missing);
    }
    let moment = |t: f64| phase(t, start_ms, bottom_ms, end_ms);
    let ways = Way::BOTH.map(|way| {
        let mut e = furthest(&points, way, half_window)?;
        e.peak_phase = moment(e.at_ms);
        let half = (e.value - standing) / 2.0;
        e.onset = points
            .iter()
            .find(|p| (p.value - standing) * half.signum() >= half.abs())
            .map(|p| moment(p.t_ms));
        Some(e)
    });
    let largest = points.iter().max_by(|a, b| {
        let size = |p: &Point| p.shared * p.shared + p.own * p.own;
        size(a).total_cmp(&size(b))
    });
    let (shared, own) = largest.map_or((0.0, 0.0), |p| (p.shared, p.own));
    let sd = crate::angle::hypot(shared, own * crate::angle::hypot(1.0, PICKED));
    let limit = largest_sd(channel.check());
    let carried = (from..to)
        .filter_map(|i| series.evidence[channel.index()][i])
        .find(|e| *e != Evidence::Keypoints);
    Peak {
        ways,
        standing,
        sd: Some(sd),
        // What remains without the noise tells whether the view or the points are to blame.
        unseen: (sd > limit).then_some(if shared > limit {
            Unseen::View
        } else {
            Unseen::Noise
        }),
        evidence: carried.filter(|_| pictured).unwrap_or_default(),
    }
}

/// The thighs' inclination at the bottom of a repetition, degrees: value, standard error, and when.
pub fn thigh_at_bottom(series: &MeasureSeries, start_ms: f64, end_ms: f64) -> Option<Excursion> {
    let from = series.t_ms.partition_point(|&t| t < start_ms);
    let to = series.t_ms.partition_point(|&t| t <= end_ms);
    let (times, curve) = (series.t_ms.get(from..to)?, series.thigh.get(from..to)?);
    let half_window = half_window_ms(Check::HeelLift, false);
    let points: Vec<Point> = (0..times.len())
        .filter_map(|i| {
            let sd = curve[i]?.sd;
            Some(Point {
                t_ms: times[i],
                value: parabola(times, curve, i, half_window)?,
                shared: sd,
                own: 0.0,
            })
        })
        .gather();
    furthest(&points, Way::High, half_window)
}

/// The frames in which the lifter is lower than [`BENT`] of the way down, counted from the first of
/// `frames`; by the time where no depth was seen.
fn bent(
    series: &MeasureSeries,
    frames: std::ops::Range<usize>,
    [start, bottom, end]: [f64; 3],
) -> std::ops::Range<usize> {
    let depth = series.depth.get(frames.clone()).unwrap_or(&[]);
    let deepest = depth.iter().flatten().fold(0.0, |a, &b| f64::max(a, b));
    let low = |d: &Option<f64>| d.is_some_and(|d| d >= BENT * deepest);
    if deepest > 0.1
        && let (Some(first), Some(last)) = (depth.iter().position(low), depth.iter().rposition(low))
    {
        return first..last + 1;
    }
    let times = series.t_ms.get(frames).unwrap_or(&[]);
    let first = start + BENT_TIME * (bottom - start);
    let last = end - BENT_TIME * (end - bottom);
    times.partition_point(|&t| t < first)..times.partition_point(|&t| t <= last)
}

/// The furthest that a curve goes one way. Noise makes the largest of many too large: by about
/// the mean of the largest of as many normal numbers as there are independent frames near it.
fn furthest(points: &[Point], way: Way, window_ms: f64) -> Option<Excursion> {
    let s = way.sign();
    let under = |z: f64| {
        let at = |p: &Point| s * (p.value + p.shared * z);
        points.iter().max_by(|a, b| at(a).total_cmp(&at(b)))
    };
    let [best, less, more] = [0.0, -2.0, 2.0].map(under);
    let best = best?;
    let support = |p: Option<&Point>| {
        let p = p.unwrap_or(best);
        Support {
            value: p.value,
            shared_sd: p.shared,
        }
    };
    // How long the curve stays within its noise of the largest, in windows.
    let mut near = 0.0;
    for pair in points.windows(2) {
        let below = s * (best.value - pair[0].value) / best.own.max(1e-9);
        near += libm::exp(-below) * (pair[1].t_ms - pair[0].t_ms) / window_ms;
    }
    let too_far = best.own * 0.8 * libm::log(near.max(1.0)).sqrt();
    let own_sd = best.own * crate::angle::hypot(1.0, PICKED);
    let mut e = Excursion {
        value: best.value,
        own_sd,
        supports: [support(Some(best)), support(less), support(more)],
        at_ms: best.t_ms,
        ..Excursion::default()
    };
    let shared = (e.under(way, 1.0) - e.under(way, -1.0)).abs() / 2.0;
    e.sd = crate::angle::hypot(shared, own_sd);
    Some(e.moved(-s * too_far))
}

/// Mean load share of the second before the repetition.
fn standing_share(series: &MeasureSeries, channel: Channel, start_ms: f64) -> f64 {
    let a = series.t_ms.partition_point(|&t| t < start_ms - BEFORE_MS);
    let b = series.t_ms.partition_point(|&t| t < start_ms);
    let list = series.channels[channel.index()].get(a..b).unwrap_or(&[]);
    let values: Vec<f64> = list.iter().flatten().map(|e| e.value).gather();
    if values.is_empty() {
        50.0
    } else {
        values.iter().sum::<f64>() / values.len() as f64
    }
}

/// Value at `i` of the parabola laid through the curve around it by least squares (what a
/// Savitzky-Golay filter of order 2 does, for uneven times).
fn parabola(times: &[f64], curve: &[Option<Estimate>], i: usize, half: f64) -> Option<f64> {
    curve[i]?;
    let mut normal = super::normal::Normal::<3>::default();
    let mut n = 0;
    let from = times.partition_point(|&t| t < times[i] - half);
    for (t, e) in times.iter().zip(curve).skip(from) {
        let x = (t - times[i]) / half;
        if x > 1.0 {
            break;
        }
        if let Some(e) = e {
            normal.add(&[1.0, x, x * x], e.value, 1.0);
            n += 1;
        }
    }
    if n < 4 {
        return curve[i].map(|e| e.value);
    }
    normal.solve().map(|c| c[0]).or(curve[i].map(|e| e.value))
}
