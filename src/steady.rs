//! The camera's own motion, read off a lifter whose feet are planted: a slow drift takes both feet and the
//! trunk along alike, a knock takes every joint along at once and leaves it there.

use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Side};
use crate::order::ascending;
use crate::pose::Pose;
use glam::DVec2;

/// Places are medians over so long, ms.
const BIN_MS: f64 = 200.0;
/// Feet that move by more than this between two bins step, shank lengths.
const STEP: f64 = 0.06;
/// A drift this small over its stretch of time is none, shank lengths: quiet feet wander by a part of it.
const LEAST_DRIFT: f64 = 0.022;
/// ... and over a shorter stretch of time it is not told from wandering, ms.
const LEAST_MS: f64 = 4000.0;
/// Both feet stay within this, or this share of the drift, of the way that the camera goes ...
const ON_LINE: (f64, f64) = (0.016, 0.15);
/// ... and the trunk goes along within this share.
const ALONG: f64 = 0.45;
/// A knock is no smaller, shank lengths; both feet go the same way within this and this share of it.
const LEAST_KNOCK: f64 = 0.06;
const ALIKE: (f64, f64) = (0.03, 0.15);
/// Before and after it the feet stay within this, shank lengths.
const STILL: f64 = 0.035;
/// It is over within so long, ms: nobody moves every joint so far so soon.
const SUDDEN_MS: f64 = 140.0;
/// This share of all joints goes along, within this and this share of it.
const MOST: f64 = 0.7;
const WITH_IT: (f64, f64) = (0.035, 0.35);
/// Hips this high above the ankles, by their greatest height, are those of a lifter who stands.
const UPRIGHT: f64 = 0.95;

/// Joints of the trunk.
const TRUNK: [Part; 2] = [Part::Hip, Part::Shoulder];
/// Frames further apart than this tell nothing of shaking, ms.
const NEXT_MS: f64 = 90.0;
/// Feet and trunk bend their ways alike by more than this when the camera shakes (measured: a correlation of
/// -0.20 to 0.12 in 136 films of squats from phones that stood still, 0.56 to 0.96 in 16 shaken by 1 to 4 px).
const SHAKEN: f64 = 0.3;
/// A knock stands out from shaking by so many of its standard deviations (tuned on 40 shaken films: with none,
/// 11 of them had false knocks of up to 14 px).
const KNOCK_IN_SHAKE: f64 = 5.0;
/// A foot's place is its mean over so long before and after, ms ...
const PLACE_MS: f64 = 1000.0;
/// ... and this share of a hand's shaking is slower than that (of a first-order process whose time constant is
/// 0.15 s: the root of 2 / pi * atan(0.25 Hz * 2 pi * 0.15 s)).
const SLOWER: f64 = 0.4;

/// A sudden shift of the whole picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Knock {
    /// When it was over, ms.
    pub at_ms: f64,
    /// How far everything went, px.
    pub by: DVec2,
}

/// A steady drift over a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Drift {
    pub from_ms: f64,
    pub to_ms: f64,
    /// px a ms.
    pub speed: DVec2,
}

/// What a reader is told of the camera.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Moved {
    /// When it was knocked, ms.
    pub knocks_ms: Vec<f64>,
    /// The farthest that a drift went, px.
    pub drift_px: f64,
    pub shaken: bool,
}

impl Moved {
    /// Adds what it did later.
    pub fn add(&mut self, later: &Self) {
        self.knocks_ms.extend_from_slice(&later.knocks_ms);
        self.drift_px = self.drift_px.max(later.drift_px);
        self.shaken |= later.shaken;
    }
}

/// What the camera did.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Motion {
    pub knocks: Vec<Knock>,
    pub drifts: Vec<Drift>,
    /// Shaking: how far everything was from its place at each time, px.
    pub shakes: Vec<(f64, DVec2)>,
    /// What a joint may still be off by, px.
    pub left_px: f64,
}

impl Motion {
    /// The pose as a camera that stands still would show it.
    pub fn taken_off(&self, pose: &Pose) -> Pose {
        let t_ms = pose.t_ms;
        let knocks = self.knocks.iter().filter(|k| t_ms >= k.at_ms);
        let mut by: DVec2 = knocks.map(|k| k.by).sum();
        for drift in &self.drifts {
            by += drift.speed * (t_ms.min(drift.to_ms) - drift.from_ms).max(0.0);
        }
        let i = self.shakes.partition_point(|s| s.0 < t_ms);
        if let Some(shake) = self.shakes.get(i).filter(|s| s.0 <= t_ms) {
            by += shake.1;
        }
        let mut out = *pose;
        for seen in out.joints.iter_mut().flatten() {
            seen.at -= by;
        }
        out
    }

    /// Finds out how far everything was from its place in each frame: planted toes do not move.
    fn shaken(&mut self, poses: &[Pose], shank: f64) {
        let still: Vec<Pose> = poses.iter().map(|p| self.taken_off(p)).gather();
        // Toes stay where they are when heels come up; some estimators give no toes.
        let toes = [Part::BigToe, Part::SmallToe];
        let seen = |p: &&Pose| toes.iter().any(|&t| p.of(t, Side::Left).is_some());
        let parts = match 2 * still.iter().filter(seen).count() > still.len() {
            true => &toes[..],
            false => &[Part::Ankle][..],
        };
        let [left, right] = Side::BOTH.map(|side| off_place(&still, parts, side, STEP * shank));
        let (mut apart, mut n) = (0.0, 0.0);
        let mut shakes = Vec::with_capacity(still.len());
        for ((pose, l), r) in still.iter().zip(left).zip(right) {
            if let (Some(l), Some(r)) = (l, r) {
                apart += (l - r).length_squared();
                n += 1.0;
            }
            let by = l.zip(r).map(|(l, r)| (l + r) / 2.0).or(l).or(r);
            shakes.push((pose.t_ms, by.unwrap_or_default()));
        }
        if n > 0.0 {
            self.shakes = shakes;
            // What the feet differ by is the error of their mean, twice.
            let error = (apart / (2.0 * n)).sqrt() / 2.0;
            let slower = SLOWER * self.shake_px();
            self.left_px = self.left_px.max(crate::angle::hypot(error, slower));
        }
    }

    /// Standard deviation of the shaking, px an axis.
    fn shake_px(&self) -> f64 {
        let squares: f64 = self.shakes.iter().map(|s| s.1.length_squared()).sum();
        (squares / (2.0 * self.shakes.len().max(1) as f64)).sqrt()
    }

    /// What is told of it.
    pub fn moved(&self) -> Moved {
        let far = |d: &Drift| d.speed.length() * (d.to_ms - d.from_ms);
        Moved {
            knocks_ms: self.knocks.iter().map(|k| k.at_ms).gather(),
            drift_px: self.drifts.iter().map(far).fold(0.0, f64::max),
            shaken: !self.shakes.is_empty(),
        }
    }
}

type Places = [Option<DVec2>; Joint::COUNT];

/// Medians over a short time.
struct Bin {
    t_ms: f64,
    at: Places,
}

/// What the camera did while these poses were filmed; `None` when it stood still as far as can be told.
pub(crate) fn motion(poses: &[Pose]) -> Option<Motion> {
    let mut shanks = poses.iter().filter_map(Pose::shank).gather();
    let shank = middle(&mut shanks).filter(|&px| px > 8.0)?;
    let mut motion = Motion {
        knocks: knocks(poses, shank),
        ..Motion::default()
    };
    // A knock too moves everything at once.
    let steady = match motion.knocks.is_empty() {
        true => Vec::new(),
        false => poses.iter().map(|p| motion.taken_off(p)).gather(),
    };
    let shakes = together(if steady.is_empty() { poses } else { &steady });
    let shakes = shakes.is_some_and(|share| share > SHAKEN);
    if shakes {
        // What a hand's shaking does within a few frames is no knock.
        let mut whole = Motion::default();
        whole.shaken(poses, shank);
        let least = KNOCK_IN_SHAKE * whole.shake_px();
        motion.knocks.retain(|k| k.by.length() > least);
    }
    let mut bins = bins(poses);
    for bin in &mut bins {
        let knocks = motion.knocks.iter().filter(|k| bin.t_ms >= k.at_ms);
        let by: DVec2 = knocks.map(|k| k.by).sum();
        bin.at.iter_mut().flatten().for_each(|at| *at -= by);
    }
    motion.drifts = drifts(&bins, shank, &mut motion.left_px);
    if shakes {
        motion.shaken(poses, shank);
    }
    let any = !motion.knocks.is_empty() || !motion.drifts.is_empty() || !motion.shakes.is_empty();
    if !motion.knocks.is_empty() {
        motion.left_px = motion.left_px.max(0.01 * shank);
    }
    any.then_some(motion)
}

fn middle(values: &mut [f64]) -> Option<f64> {
    ascending(values);
    values.get(values.len() / 2).copied()
}

fn median(points: impl Iterator<Item = DVec2>) -> Option<DVec2> {
    let (mut xs, mut ys) = (Vec::new(), Vec::new());
    for p in points {
        xs.push(p.x);
        ys.push(p.y);
    }
    Some(DVec2::new(middle(&mut xs)?, middle(&mut ys)?))
}

fn bins(poses: &[Pose]) -> Vec<Bin> {
    let mut out: Vec<Bin> = Vec::new();
    let mut rest = poses;
    while let Some(first) = rest.first() {
        let n = rest.partition_point(|p| p.t_ms < first.t_ms + BIN_MS);
        let (these, next) = rest.split_at(n.max(1));
        rest = next;
        let at = Joint::ALL.map(|j| {
            let seen = these.iter().filter_map(|p| p.at(j)).count();
            let enough = 2 * seen > these.len();
            median(these.iter().filter_map(|p| p.at(j))).filter(|_| enough)
        });
        let t_ms = (first.t_ms + these.last().map_or(first.t_ms, |p| p.t_ms)) / 2.0;
        out.push(Bin { t_ms, at });
    }
    out
}

const FOOT: [Part; 4] = [Part::Ankle, Part::Heel, Part::BigToe, Part::SmallToe];

/// How far a foot has moved between two bins, px.
fn foot(a: &Places, b: &Places, side: Side) -> Option<DVec2> {
    let moved = FOOT.into_iter().filter_map(|part| {
        let j = Joint::of(part, side).index();
        Some(b[j]? - a[j]?)
    });
    median(moved)
}

fn feet(a: &Places, b: &Places) -> Option<[DVec2; 2]> {
    let [left, right] = Side::BOTH.map(|s| foot(a, b, s));
    Some([left?, right?])
}

/// Sudden shifts of everything between stretches in which the feet stay where they are.
fn knocks(poses: &[Pose], shank: f64) -> Vec<Knock> {
    let bins = bins(poses);
    let mut out: Vec<Knock> = Vec::new();
    for four in bins.windows(5) {
        let [before, a, _, b, after] = four else {
            continue;
        };
        let near = a.t_ms - before.t_ms < 3.0 * BIN_MS && after.t_ms - a.t_ms < 6.0 * BIN_MS;
        let (Some([left, right]), Some(earlier), Some(later)) = (
            feet(&a.at, &b.at).filter(|_| near),
            feet(&before.at, &a.at),
            feet(&b.at, &after.at),
        ) else {
            continue;
        };
        let by = (left + right) / 2.0;
        let size = by.length();
        let alike = (left - right).length() < ALIKE.0 * shank + ALIKE.1 * size;
        let still = |moved: [DVec2; 2]| moved.iter().all(|m| m.length() < STILL * shank);
        let told = out.last().is_some_and(|k| k.at_ms >= a.t_ms);
        if size < LEAST_KNOCK * shank || !alike || !still(earlier) || !still(later) || told {
            continue;
        }
        if let Some(at_ms) = sudden(poses, a.t_ms, b.t_ms, by, shank) {
            out.push(Knock { at_ms, by });
        }
    }
    out
}

/// When most joints went by so much at once.
fn sudden(poses: &[Pose], from_ms: f64, to_ms: f64, by: DVec2, shank: f64) -> Option<f64> {
    let a = poses.partition_point(|p| p.t_ms < from_ms);
    let b = poses.partition_point(|p| p.t_ms <= to_ms);
    let near = WITH_IT.0 * shank + WITH_IT.1 * by.length();
    let mut best: Option<(f64, f64)> = None;
    for i in a..b {
        for k in i + 1..b {
            let (p, q) = (poses.get(i)?, poses.get(k)?);
            let took = q.t_ms - p.t_ms;
            if took > SUDDEN_MS.max(2.2 * (poses.get(i + 1)?.t_ms - p.t_ms)) {
                break;
            }
            let moved = Joint::ALL.map(|j| Some(q.at(j)? - p.at(j)?));
            let seen = moved.iter().flatten().count();
            let along = moved.iter().flatten();
            let along = along.filter(|m| (**m - by).length() < near).count();
            if seen >= 8 && along as f64 > MOST * seen as f64 && best.is_none_or(|b| took < b.0) {
                best = Some((took, q.t_ms));
            }
        }
    }
    best.map(|b| b.1)
}

/// Stretches without a step in which both feet and the trunk go steadily along.
fn drifts(bins: &[Bin], shank: f64, left_px: &mut f64) -> Vec<Drift> {
    let mut out = Vec::new();
    let mut from = 0;
    for to in 1..=bins.len() {
        let steps = to == bins.len()
            || feet(&bins[to - 1].at, &bins[to].at)
                .is_some_and(|moved| moved.iter().any(|m| m.length() > STEP * shank));
        if steps {
            if let Some((drift, off)) = drift(&bins[from..to], shank) {
                *left_px = left_px.max(off);
                out.push(drift);
            }
            from = to;
        }
    }
    out
}

/// How far both feet and the trunk are from where they were, px, and since when, ms.
type Way = (f64, [DVec2; 2], Option<DVec2>);

fn drift(bins: &[Bin], shank: f64) -> Option<(Drift, f64)> {
    let (first, last) = (bins.first()?, bins.last()?);
    let lasts = last.t_ms - first.t_ms;
    if lasts < LEAST_MS {
        return None;
    }
    let tall = |bin: &Bin| {
        let y = |part| {
            crate::pose::mean(Side::BOTH.map(|s| Some(bin.at[Joint::of(part, s).index()]?.y)))
        };
        Some(y(Part::Ankle)? - y(Part::Hip)?)
    };
    let tallest = bins.iter().filter_map(tall).fold(0.0, f64::max);
    let upright: Vec<&Bin> = bins
        .iter()
        .filter(|b| tall(b).is_some_and(|t| t > UPRIGHT * tallest))
        .gather();
    let start = *upright.first()?;
    let mut ways: Vec<Way> = Vec::new();
    for bin in &upright {
        let trunk = [Part::Hip, Part::Shoulder].into_iter().flat_map(|part| {
            Side::BOTH.into_iter().filter_map(move |s| {
                let j = Joint::of(part, s).index();
                Some(bin.at[j]? - start.at[j]?)
            })
        });
        if let Some(feet) = feet(&start.at, &bin.at) {
            ways.push((bin.t_ms - start.t_ms, feet, median(trunk)));
        }
    }
    let covers = ways.last()?.0;
    if covers < 0.5 * lasts || ways.len() < 6 {
        return None;
    }
    let line = |of: &dyn Fn(&Way) -> Option<DVec2>| {
        let (mut n, mut t, mut tt, mut y, mut ty) = (0.0, 0.0, 0.0, DVec2::ZERO, DVec2::ZERO);
        for way in &ways {
            if let Some(at) = of(way) {
                n += 1.0;
                t += way.0;
                tt += way.0 * way.0;
                y += at;
                ty += at * way.0;
            }
        }
        let det = n * tt - t * t;
        (det > 1e-9).then(|| {
            let slope = (ty * n - y * t) / det;
            (slope, (y - slope * t) / n)
        })
    };
    let (speed, start_at) = line(&|w| Some((w.1[0] + w.1[1]) / 2.0))?;
    let far = speed.length() * covers;
    if far < LEAST_DRIFT * shank {
        return None;
    }
    let (trunk, _) = line(&|w| w.2)?;
    if (trunk - speed).length() > ALONG * speed.length() {
        return None;
    }
    let mut squares = 0.0;
    for (t, feet, _) in &ways {
        for foot in feet {
            squares += (*foot - start_at - speed * *t).length_squared();
        }
    }
    let off = (squares / (2.0 * ways.len() as f64)).sqrt();
    (off < (ON_LINE.0 * shank).max(ON_LINE.1 * far)).then_some((
        Drift {
            from_ms: first.t_ms,
            to_ms: last.t_ms,
            speed,
        },
        off,
    ))
}

/// How much feet and trunk bend their ways alike from frame to frame: the correlation of their second
/// differences. A body bends its ways slowly, and an estimator errs in each part anew; what all parts do
/// at once within a frame is the camera's.
fn together(poses: &[Pose]) -> Option<f64> {
    let (mut both, mut feet, mut trunk, mut n) = (0.0, 0.0, 0.0, 0.0);
    for three in poses.windows(3) {
        let [a, b, c] = three else { continue };
        if c.t_ms - a.t_ms > 2.0 * NEXT_MS {
            continue;
        }
        let bend = |parts: &[Part]| {
            let (mut sum, mut n) = (DVec2::ZERO, 0.0);
            for part in parts {
                for side in Side::BOTH {
                    let [p, q, r] = [a, b, c].map(|pose| pose.of(*part, side));
                    if let (Some(p), Some(q), Some(r)) = (p, q, r) {
                        sum += p - 2.0 * q + r;
                        n += 1.0;
                    }
                }
            }
            (n > 1.5).then(|| sum / n)
        };
        if let (Some(f), Some(t)) = (bend(&FOOT), bend(&TRUNK)) {
            both += f.dot(t);
            feet += f.length_squared();
            trunk += t.length_squared();
            n += 1.0;
        }
    }
    (n > 60.0).then(|| both / (feet * trunk).sqrt().max(1e-12))
}

/// How far a foot's points are from their place in each frame, px: their mean over what is seen; a point
/// that is further off than `most` steps.
fn off_place(poses: &[Pose], parts: &[Part], side: Side, most: f64) -> Vec<Option<DVec2>> {
    let mut sums = vec![(DVec2::ZERO, 0.0); poses.len()];
    for &part in parts {
        let mut until = Vec::with_capacity(poses.len() + 1);
        let mut now = (DVec2::ZERO, 0.0_f64);
        until.push(now);
        for at in poses.iter().map(|p| p.of(part, side)) {
            if let Some(at) = at {
                now = (now.0 + at, now.1 + 1.0);
            }
            until.push(now);
        }
        let (mut a, mut b) = (0, 0);
        for (pose, sum) in poses.iter().zip(&mut sums) {
            while poses.get(a).is_some_and(|p| p.t_ms < pose.t_ms - PLACE_MS) {
                a += 1;
            }
            while poses.get(b).is_some_and(|p| p.t_ms <= pose.t_ms + PLACE_MS) {
                b += 1;
            }
            if let (Some(at), Some(from), Some(to)) =
                (pose.of(part, side), until.get(a), until.get(b))
            {
                let off = at - (to.0 - from.0) / (to.1 - from.1).max(1.0);
                if off.length() < most {
                    *sum = (sum.0 + off, sum.1 + 1.0);
                }
            }
        }
    }
    sums.into_iter()
        .map(|(sum, n)| (n > 0.0).then(|| sum / n))
        .gather()
}
