//! One repetition's value of a check: the largest departure from standing.

use super::channel::{Channel, Check, Estimate, Evidence};
use super::measurer::largest_sd;
use super::series::MeasureSeries;
use crate::gather::Gather;
use crate::report::Unseen;

/// The largest departure of a channel within a repetition.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Peak {
    /// Signed departure (load share: absolute), `None` when unseen.
    pub estimate: Option<Estimate>,
    /// Standard error, also when it is too large to count as seen.
    pub sd: Option<f64>,
    /// The same without the doubt whether the departure the other way was the larger.
    pub own_sd: Option<f64>,
    /// The part of it that differs from repetition to repetition: keypoint noise.
    pub noise_sd: f64,
    /// When, ms.
    pub at_ms: Option<f64>,
    /// Where in the lift: 0 start, 1 bottom, 2 end.
    pub peak_phase: Option<f64>,
    /// Where in the lift half of it was reached.
    pub onset: Option<f64>,
    /// Why it was not seen.
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

/// How much the choice of the largest adds to the error from noise, of that error (measured on
/// simulated sets).
const PICKED: f64 = 0.8;

/// What a departure down counts for against one up: a planted heel has the floor under it, and
/// what sinks there is the sole or noise (common practice, no source).
const fn weight_of_down(check: Check) -> f64 {
    match check {
        Check::HeelLift => 0.5,
        _ => 1.0,
    }
}

/// A knee this many standard errors aside is told though they are large, up to this many times what
/// else counts as seen: it is on one side whatever its size (simulated squats whose knees go 20 to 30
/// degrees outside, seen from the front: sd 6 to 11, off by 2 to 4).
const CLEAR_OF_IT: f64 = 2.0;

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
    // The load share is absolute: its departure is read against the share in standing.
    let rest = if channel.check() == Check::LoadLeft {
        standing_value(series, channel, start_ms)
    } else {
        0.0
    };
    let times = &series.t_ms[from..to];
    // The largest departure either way.
    let mut ends: [Option<(usize, f64)>; 2] = [None; 2];
    for i in 0..curve.len() {
        if let Some(v) = parabola(times, &curve, i, half_window) {
            let d = v - rest;
            let end = &mut ends[usize::from(d < 0.0)];
            if end.is_none_or(|(_, b)| d.abs() > f64::abs(b)) {
                *end = Some((i, d));
            }
        }
    }
    let down = weight_of_down(channel.check());
    let (best, rival) = match ends {
        [Some(a), Some(b)] if a.1 < -b.1 * down => (Some(b), a.1),
        [Some(a), Some(b)] => (Some(a), b.1 * down),
        [a, b] => (a.or(b), 0.0),
    };
    let Some((i, departure)) = best else {
        return none(Unseen::Missing);
    };
    let at_ms = times[i];
    let Some(sd) = curve[i].map(|e| e.sd) else {
        return none(Unseen::Missing);
    };
    let variance = series.variance(channel, at_ms).unwrap_or_default();
    let moving = if pictured {
        OWN_SD * sd
    } else {
        (variance.white * series.gain * 0.6 + variance.slow)
            .sqrt()
            .min(sd)
    };
    let value = unbiased(departure, moving);
    // The largest of many is picked where noise helps it most: it errs by more than one value.
    let sd = crate::angle::hypot(sd, moving * PICKED);
    let limit = largest_sd(channel.check());
    let stands_out = channel.check() == Check::KneeIn
        && sd < CLEAR_OF_IT * limit
        && departure < -CLEAR_OF_IT * sd;
    let far = sd > limit && !stands_out;
    // Where the departure the other way is nearly as large, that one may be the larger in truth: how
    // likely that is follows from the difference of the two, and both err.
    let lead = (departure.abs() - rival.abs()) / (2.0 * sd);
    let own_sd = sd;
    let sd = crate::angle::hypot(sd, (departure - rival) * (0.5 * libm::erfc(lead)).sqrt());
    let half = departure / 2.0;
    let onset = curve
        .iter()
        .zip(times)
        .find(|(e, _)| e.is_some_and(|e| (e.value - rest) * half.signum() >= half.abs()))
        .map(|(_, &t)| phase(t, start_ms, bottom_ms, end_ms));
    Peak {
        estimate: (!far).then_some(Estimate {
            value: value + rest,
            sd,
        }),
        sd: Some(sd),
        own_sd: Some(own_sd),
        noise_sd: moving * (1.0 + PICKED * PICKED).sqrt(),
        at_ms: Some(at_ms),
        peak_phase: Some(phase(at_ms, start_ms, bottom_ms, end_ms)),
        onset,
        unseen: far.then(|| {
            // What remains without the noise tells whether the view or the points are to blame.
            if variance.common.sqrt() > largest_sd(channel.check()) {
                Unseen::View
            } else {
                Unseen::Noise
            }
        }),
        evidence: if pictured {
            series.evidence[channel.index()][from + i].unwrap_or_default()
        } else {
            Evidence::Keypoints
        },
    }
}

/// Mean of the second before the repetition.
fn standing_value(series: &MeasureSeries, channel: Channel, start_ms: f64) -> f64 {
    let a = series.t_ms.partition_point(|&t| t < start_ms - 1000.0);
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

/// Reads the repetitions of a finished set together: where their values differ by no more than
/// noise does, they are drawn toward their mean (James & Stein 1961, positive part, toward
/// the mean as in Efron & Morris 1975). One that stands out widens the spread and stays. Those
/// that a picture carried are read apart from those that keypoints carried.
pub fn settle(set: &mut [&mut Peak]) {
    for kind in [true, false] {
        let mut alike: Vec<&mut &mut Peak> = set
            .iter_mut()
            .filter(|p| (p.evidence == Evidence::Keypoints) == kind)
            .gather();
        settle_alike(&mut alike);
    }
}

fn settle_alike(set: &mut [&mut &mut Peak]) {
    let values: Vec<(f64, f64)> = set
        .iter()
        .filter_map(|p| Some((p.estimate?.value, p.noise_sd.powi(2))))
        .gather();
    let n = values.len() as f64;
    if values.len() < 3 {
        return;
    }
    let mean = values.iter().map(|v| v.0).sum::<f64>() / n;
    let noise = values.iter().map(|v| v.1).sum::<f64>() / n;
    let spread = values.iter().map(|v| (v.0 - mean).powi(2)).sum::<f64>() / (n - 1.0);
    let kept = (1.0 - noise / spread.max(1e-12)).clamp(0.15, 1.0);
    for peak in set.iter_mut() {
        if let Some(e) = peak.estimate.as_mut() {
            let own = peak.noise_sd.powi(2);
            let left = own * (kept + (1.0 - kept) / n);
            e.value = mean + kept * (e.value - mean);
            e.sd = (e.sd * e.sd - own + left).max(1e-12).sqrt();
            peak.sd = Some(e.sd);
        }
    }
}

/// Takes off what noise adds to the size of a largest departure: among several independent
/// values of spread `sd` the largest is too large by about one `sd` when there is nothing to see,
/// and by nothing when one clearly leads.
fn unbiased(departure: f64, sd: f64) -> f64 {
    let size = departure.abs();
    let z = size / sd.max(1e-9);
    departure.signum() * (size - sd * libm::exp(-0.5 * (z / 2.0).powi(2))).max(0.0)
}
