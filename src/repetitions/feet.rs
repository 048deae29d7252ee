//! Feet planted or not: the difference between lifting and walking.

use crate::keypoints::{Part, Side};
use crate::pose::Pose;
use glam::DVec2;

/// Points of one foot, the ones that stay put when the lifter squats.
pub(super) const POINTS: [Part; 4] = [Part::Ankle, Part::Heel, Part::BigToe, Part::SmallToe];
/// A foot this far (shank lengths) from its place has stepped.
/// tuned: `reps`
const STEP: f64 = 0.10;
/// The same while squatting: heels rise and estimators pull the ankle along.
/// tuned: `reps`
const STEP_IN_SQUAT: f64 = 0.40;
/// A step lasts at least this long, ms; an outlier does not.
/// tuned: `reps`
const STEP_MS: f64 = 90.0;
/// Feet this still for [`SETTLED_MS`] are planted again, shank lengths.
/// tuned: `reps`
const STILL: f64 = 0.07;
/// Time until a step counts as over, ms.
/// tuned: `reps`
const SETTLED_MS: f64 = 140.0;
/// Feet that were not seen for so long may be anywhere, ms.
/// tuned: `reps`
const UNSEEN_MS: f64 = 900.0;
/// How slowly the remembered place follows, ms.
/// tuned: `reps`
const FOLLOW_MS: f64 = 500.0;
/// Noise is averaged over this long before the places are compared, ms.
/// tuned: `reps`
const SMOOTH_MS: f64 = 70.0;

pub(super) type Places = [[Option<DVec2>; POINTS.len()]; 2];

/// What the feet do in a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Stance {
    /// Any point of a foot was seen.
    pub seen: bool,
    /// The feet are where they were put.
    pub planted: bool,
    /// Distance of the feet from their place, shank lengths.
    pub away: f64,
    /// Where the feet were put, px.
    pub feet: [Option<DVec2>; 2],
}

/// Follows both feet.
#[derive(Clone, Debug, Default)]
pub(crate) struct Feet {
    smooth: Places,
    anchor: Places,
    t_ms: Option<f64>,
    seen_ms: f64,
    away_since: Option<f64>,
    still_since: Option<f64>,
    /// Points seen since the feet left their place.
    fresh: [[bool; POINTS.len()]; 2],
    /// Where the feet were when standing was taken.
    reference: Places,
    stance: Stance,
}

impl Feet {
    /// Takes one frame. `scale` is the shank's length in px; what a step is loosens with the
    /// `depth` of the lift under way.
    #[inline(never)]
    pub fn push(&mut self, pose: &Pose, scale: f64, depth: f64) -> Stance {
        let dt = self.t_ms.map_or(0.0, |t| pose.t_ms - t);
        let mut now = places(pose);
        // Where they were put tells for longer than where they were just now.
        let before = if self.stance.planted {
            &self.anchor
        } else {
            &self.smooth
        };
        if swapped(before, &now) {
            now.swap(0, 1);
        }
        self.stance.seen = now.iter().flatten().any(Option::is_some);
        if !self.stance.seen {
            if pose.t_ms - self.seen_ms > UNSEEN_MS && self.stance.planted {
                self.lift();
            }
            return self.stance;
        }
        self.t_ms = Some(pose.t_ms);
        self.seen_ms = pose.t_ms;
        let share = gain(dt, SMOOTH_MS);
        blend(&mut self.smooth, &now, share);
        let seen_now = masked(&self.smooth, &now);
        let away = distance(&self.anchor, &seen_now, scale);
        self.stance.away = away;
        if self.stance.planted {
            let deep = ((depth - 0.08) / 0.17).clamp(0.0, 1.0);
            self.watch(pose.t_ms, away, STEP + (STEP_IN_SQUAT - STEP) * deep);
            if self.stance.planted && depth == 0.0 && away < STEP {
                blend(&mut self.anchor, &seen_now, gain(dt, FOLLOW_MS));
            }
        } else {
            self.settle(pose.t_ms, dt, &seen_now, away);
        }
        if self.stance.planted {
            self.stance.feet = feet(&self.anchor);
        }
        self.stance
    }

    /// What the feet did in the last frame.
    pub fn stance(&self) -> Stance {
        self.stance
    }

    /// Standing is taken from here.
    pub fn set_reference(&mut self) {
        self.reference = self.smooth;
    }

    /// How far the feet are from where standing was taken: the larger of both feet's distances, px. `None`
    /// when no point was seen both times.
    pub fn distance_from_reference(&self) -> Option<f64> {
        let mut reference = self.reference;
        if swapped(&reference, &self.smooth) {
            reference.swap(0, 1);
        }
        let (was, is) = (reference.iter().flatten(), self.smooth.iter().flatten());
        let seen = was.zip(is).any(|(a, b)| a.is_some() && b.is_some());
        seen.then(|| distance(&reference, &self.smooth, 1.0))
    }

    /// The feet's place is taken from now on (after a long gap, say).
    pub fn lift(&mut self) {
        self.stance.planted = false;
        self.fresh = Default::default();
        self.still_since = None;
        self.away_since = None;
    }

    fn watch(&mut self, t_ms: f64, away: f64, limit: f64) {
        if away <= limit {
            self.away_since = None;
            return;
        }
        let since = *self.away_since.get_or_insert(t_ms);
        if t_ms - since >= STEP_MS {
            self.lift();
        }
    }

    fn settle(&mut self, t_ms: f64, dt: f64, now: &Places, away: f64) {
        if away > STILL {
            self.still_since = None;
        }
        blend(&mut self.anchor, now, gain(dt, 60.0));
        let since = *self.still_since.get_or_insert(t_ms);
        for (fresh, seen) in self.fresh.iter_mut().flatten().zip(now.iter().flatten()) {
            *fresh |= seen.is_some();
        }
        if t_ms - since >= SETTLED_MS {
            // What was not seen meanwhile may be anywhere.
            let fresh = self.fresh.iter().flatten();
            let places = self.smooth.iter_mut().flatten();
            for ((fresh, smooth), anchor) in fresh.zip(places).zip(self.anchor.iter_mut().flatten())
            {
                if !fresh {
                    (*smooth, *anchor) = (None, None);
                }
            }
            self.stance.planted = true;
            self.away_since = None;
        }
    }
}

/// Share of the way to go after `dt` ms with a time constant of `tau` ms.
pub(crate) fn gain(dt: f64, tau: f64) -> f64 {
    crate::decay::approach(dt / tau)
}

pub(super) fn places(pose: &Pose) -> Places {
    let mut out = Places::default();
    for (side, points) in Side::BOTH.into_iter().zip(&mut out) {
        for (part, at) in POINTS.into_iter().zip(points) {
            *at = pose.of(part, side);
        }
    }
    out
}

fn masked(places: &Places, seen: &Places) -> Places {
    let mut out = *places;
    for (o, s) in out.iter_mut().flatten().zip(seen.iter().flatten()) {
        if s.is_none() {
            *o = None;
        }
    }
    out
}

pub(super) fn blend(at: &mut Places, now: &Places, share: f64) {
    for (at, now) in at.iter_mut().zip(now) {
        for (a, n) in at.iter_mut().zip(now) {
            match (&a, n) {
                (Some(p), Some(q)) => *a = Some(*p + share * (*q - *p)),
                (None, Some(q)) => *a = Some(*q),
                _ => {}
            }
        }
    }
}

/// The larger of both feet's distances; a foot's is the median over its points.
pub(super) fn distance(anchor: &Places, now: &Places, scale: f64) -> f64 {
    let mut worst: f64 = 0.0;
    for (a, n) in anchor.iter().zip(now) {
        let mut list = [0.0; POINTS.len()];
        let mut count = 0;
        for (p, q) in a.iter().zip(n) {
            if let (Some(p), Some(q)) = (p, q) {
                list[count] = (*p - *q).length();
                count += 1;
            }
        }
        if let Some(seen) = list.get_mut(..count) {
            crate::order::ascending(seen);
            worst = worst.max(seen.get((count.max(1) - 1) / 2).copied().unwrap_or(0.0));
        }
    }
    worst / scale.max(1.0)
}

/// Left and right have changed places since the last frame.
pub(super) fn swapped(before: &Places, now: &Places) -> bool {
    let [left, right] = before;
    let (mut own, mut cross) = (0.0, 0.0);
    for (points, same, other) in [(&now[0], left, right), (&now[1], right, left)] {
        for ((q, p), r) in points.iter().zip(same).zip(other) {
            if let (Some(q), Some(p), Some(r)) = (q, p, r) {
                own += (*p - *q).length();
                cross += (*r - *q).length();
            }
        }
    }
    cross < 0.5 * own
}

fn feet(places: &Places) -> [Option<DVec2>; 2] {
    // The ankle is in every layout; the rest of the foot stands in for it.
    [0, 1].map(|side| places[side].iter().flatten().next().copied())
}

#[cfg(test)]
#[path = "feet_tests.rs"]
mod tests;
