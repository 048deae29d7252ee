//! The contract's checks, read off exact 3D points.
//!
//! Where the contract leaves a choice, what a neutral biomechanist would do:
//! - the long axis of a foot is fixed in standing (mean over quiet standing), so a foot that
//!   rolls is read against where it stood;
//! - the shank's length is the distance of knee and ankle at that moment;
//! - each foot's support for the lever rule is at 0.4 of its length from the heel, about where
//!   the centre of pressure is in quiet standing (from memory: 40 to 50 %, Winter);
//! - the centre of mass includes the bar.

use glam::DVec3;
use serde::Serialize;
use underfoot::measures::{Channel, Check};
use underfoot::thresholds::Thresholds;

/// What the checks need of one moment, m. Sides: left, right.
#[derive(Clone, Copy, Debug)]
pub struct Points {
    /// Heel points.
    pub heel: [DVec3; 2],
    /// Ankle joints.
    pub ankle: [DVec3; 2],
    /// Knee joints.
    pub knee: [DVec3; 2],
    /// Points on the long axis at the toes.
    pub tip: [DVec3; 2],
    /// Middle of the hips.
    pub pelvis: DVec3,
    /// Centre of mass.
    pub com: DVec3,
    /// Foot roll, degrees, where known.
    pub roll: [Option<f64>; 2],
}

/// Channels: heel lift, knee in, foot roll (left, right each), forward, load left.
pub const CHANNELS: usize = 8;

/// Their names, with the side.
pub const NAMES: [&str; CHANNELS] = [
    "heel_lift_mm.left",
    "heel_lift_mm.right",
    "knee_in_deg.left",
    "knee_in_deg.right",
    "foot_roll_deg.left",
    "foot_roll_deg.right",
    "forward_pct",
    "load_left_pct",
];

/// Indices of the knees' leans and the load share, which are absolute.
pub const ABSOLUTE: [usize; 3] = [2, 3, 7];

/// Part of the way down below which a knee is judged.
const BENT: f64 = 0.25;

/// The feet in standing, and the values there.
#[derive(Clone, Copy, Debug)]
pub struct Rest {
    long: [DVec3; 2],
    medial: [DVec3; 2],
    support: [DVec3; 2],
    /// Heel point to toe tip, m, mean of both feet.
    pub foot_length: f64,
    /// Between the ankles, m.
    pub stance: f64,
    /// Degrees, + = out, against square to the line between the ankles.
    pub toe_out: [f64; 2],
    /// Where the lifter faces: square to the line between the ankles, degrees from world z
    /// toward x.
    pub facing: f64,
    /// Pelvis height, m.
    pub pelvis: f64,
    values: [Option<f64>; CHANNELS],
}

impl Rest {
    /// From the moments of quiet standing; `None` when there are none.
    pub fn new(moments: &[Points]) -> Option<Self> {
        if moments.is_empty() {
            return None;
        }
        let n = moments.len() as f64;
        let mean = |pick: &dyn Fn(&Points) -> DVec3| -> DVec3 {
            moments.iter().map(pick).sum::<DVec3>() / n
        };
        let flat = |v: DVec3| DVec3::new(v.x, 0.0, v.z);
        let mut rest = Self {
            long: [DVec3::Z; 2],
            medial: [DVec3::X; 2],
            support: [DVec3::ZERO; 2],
            foot_length: 0.0,
            stance: 0.0,
            toe_out: [0.0; 2],
            facing: 0.0,
            pelvis: mean(&|p| p.pelvis).y,
            values: [None; CHANNELS],
        };
        let across = flat(mean(&|p| p.ankle[0] - p.ankle[1]));
        rest.stance = across.length();
        // Left of the way the lifter faces.
        rest.facing = (-across.z).atan2(across.x).to_degrees();
        for s in 0..2 {
            let foot = flat(mean(&|p| p.tip[s] - p.heel[s]));
            rest.foot_length += foot.length() / 2.0;
            rest.long[s] = foot.normalize_or_zero();
            let side = crate::body::sign(s);
            // Horizontal, square to the axis, toward the other foot.
            rest.medial[s] = rest.long[s].cross(DVec3::Y) * side;
            rest.support[s] = flat(mean(&|p| p.heel[s])) + foot * 0.4;
            rest.toe_out[s] = rest.long[s]
                .dot(across.normalize_or_zero() * side)
                .clamp(-1.0, 1.0)
                .asin()
                .to_degrees();
        }
        let mut sums = [Some(0.0); CHANNELS];
        for p in moments {
            for (sum, v) in sums.iter_mut().zip(rest.absolute(p)) {
                *sum = sum.zip(v).map(|(s, v)| s + v / n);
            }
        }
        rest.values = sums;
        Some(rest)
    }

    /// The same standing over feet that were set elsewhere since: where they are in `moment`, in which they
    /// are flat on the floor. Foot planes and the load's lever follow them; what is read against
    /// standing (the heel's height, the knee's lean, the way ahead of the feet) stays.
    pub fn with_feet_of(&self, moment: &Points) -> Self {
        let Some(there) = Self::new(&[*moment]) else {
            return *self;
        };
        Self {
            long: there.long,
            medial: there.medial,
            support: there.support,
            ..*self
        }
    }

    /// The channels, not yet relative to standing.
    fn absolute(&self, p: &Points) -> [Option<f64>; CHANNELS] {
        let knee = |s: usize| {
            let shank = p.knee[s] - p.ankle[s];
            let lean = (shank.dot(self.medial[s]) / shank.length().max(1e-9)).clamp(-1.0, 1.0);
            Some(lean.asin().to_degrees())
        };
        let heel = |s: usize| Some(p.heel[s].y * 1e3);
        let ahead = (self.long[0] + self.long[1]).normalize_or_zero();
        let feet = self.support[0].midpoint(self.support[1]);
        let forward = 100.0 * (p.com - feet).dot(ahead) / self.foot_length.max(1e-9);
        let line = self.support[0] - self.support[1];
        let share = (p.com - self.support[1]).dot(line) / line.length_squared().max(1e-9);
        [
            heel(0),
            heel(1),
            knee(0),
            knee(1),
            p.roll[0],
            p.roll[1],
            Some(forward),
            Some(100.0 * share),
        ]
    }

    /// The channels relative to standing (knees and load share absolute).
    pub fn read(&self, p: &Points) -> [Option<f64>; CHANNELS] {
        let mut out = self.absolute(p);
        for (i, v) in out.iter_mut().enumerate() {
            if !ABSOLUTE.contains(&i) {
                *v = v.zip(self.values[i]).map(|(v, r)| v - r);
            }
        }
        out
    }
}

/// A channel's excursion in a repetition that goes furthest beyond a default line, or comes closest to one.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Extreme {
    /// Signed.
    pub value: f64,
    /// When, ms.
    pub at_ms: f64,
}

/// Whether a channel is judged at this part of a repetition's deepest.
pub fn judged(channel: Channel, depth: f64) -> bool {
    channel.check() != Check::KneeIn || depth > BENT
}

/// That excursion among samples of a repetition: time (ms), value, and depth as a part of the
/// repetition's deepest.
pub fn extreme(channel: usize, samples: impl Iterator<Item = (f64, f64, f64)>) -> Option<Extreme> {
    let channel = Channel::ALL[channel];
    let lines = Thresholds::default();
    let band = lines.band(channel);
    let past = |v: f64| {
        let low = band.low.map_or(f64::NEG_INFINITY, |line| line - v);
        low.max(band.high.map_or(f64::NEG_INFINITY, |line| v - line))
    };
    samples
        .filter(|s| judged(channel, s.2))
        .max_by(|a, b| past(a.1).total_cmp(&past(b.1)))
        .map(|(at_ms, value, _)| Extreme { value, at_ms })
}

/// One repetition.
#[derive(Clone, Debug, Serialize)]
pub struct RepTruth {
    /// Leaves standing (the motion's first instant), ms.
    pub start_ms: f64,
    /// First instant at the bottom, ms.
    pub bottom_ms: f64,
    /// Last instant at the bottom, ms.
    pub bottom_end_ms: f64,
    /// Stands again (the motion's last instant), ms.
    pub end_ms: f64,
    /// Pelvis drop as a fraction of its standing height.
    pub depth: f64,
    /// By channel, in the order of [`NAMES`].
    pub extremes: [Option<Extreme>; CHANNELS],
    /// Start and end when the pelvis passes 5 % of its drop, ms.
    pub moving_ms: [f64; 2],
}

impl RepTruth {
    /// Reads a repetition off its moments (ms, points).
    pub fn new(rest: &Rest, moments: &[(f64, Points)], bottom_ms: [f64; 2]) -> Self {
        let drop = |p: &Points| rest.pelvis - p.pelvis.y;
        let deepest = moments.iter().map(|m| drop(&m.1)).fold(0.0, f64::max);
        let read: Vec<_> = moments
            .iter()
            .map(|(t, p)| (*t, rest.read(p), drop(p) / deepest.max(1e-9)))
            .collect();
        let extremes = std::array::from_fn(|i| {
            let seen = read.iter();
            extreme(i, seen.filter_map(|(t, v, d)| Some((*t, v[i]?, *d))))
        });
        let (start, end) = (
            moments.first().map_or(0.0, |m| m.0),
            moments.last().map_or(0.0, |m| m.0),
        );
        let low = |m: &&(f64, Points)| rest.pelvis - m.1.pelvis.y > 0.05 * deepest;
        Self {
            start_ms: start,
            bottom_ms: bottom_ms[0],
            bottom_end_ms: bottom_ms[1],
            end_ms: end,
            depth: deepest / rest.pelvis.max(1e-9),
            extremes,
            moving_ms: [
                moments.iter().find(low).map_or(start, |m| m.0),
                moments.iter().rev().find(low).map_or(end, |m| m.0),
            ],
        }
    }
}

/// Curves at the frames' times, in the order of [`NAMES`]; `None` where not defined.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Curves {
    /// ms.
    pub t_ms: Vec<f64>,
    /// One list for each channel.
    pub channels: [Vec<Option<f64>>; CHANNELS],
    /// Pelvis drop as a fraction of its standing height.
    pub depth: Vec<f64>,
}

/// All that is true about a recording.
#[derive(Clone, Debug, Serialize)]
pub struct Truth {
    /// Where it comes from.
    pub source: String,
    /// Camera's bearing seen from the lifter, degrees.
    pub azimuth_deg: f64,
    /// Camera along the floor, m.
    pub distance_m: f64,
    /// Stature, m, where known.
    pub height_m: Option<f64>,
    /// Field of view of the picture's width, degrees.
    pub hfov_deg: f64,
    /// Camera pitch and roll, degrees.
    pub pitch_roll_deg: [f64; 2],
    /// Between the ankles, mm.
    pub stance_width_mm: f64,
    /// Degrees, + = out.
    pub toe_out_deg: [f64; 2],
    /// Spans of quiet standing, ms.
    pub standing_ms: Vec<[f64; 2]>,
    /// Repetitions.
    pub reps: Vec<RepTruth>,
    /// Curves.
    pub curves: Curves,
}
