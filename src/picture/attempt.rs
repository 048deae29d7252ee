//! One try at finding the foot in a frame: from a start to a fitted motion, and how well it holds.

use super::motion::{Fitted, Part, RISE, SHAKE, SLIP, Stance, Unknowns};
use super::solve::ROLL_SPREAD;
use super::telling::NEAR_EDGE;
use super::tracker::FootTracker;
use glam::DVec2;

/// Fewest agreeing patches of a part.
pub(super) const FEWEST: f64 = 4.0;
/// A planted foot sinks no further into the floor, m, and slides no further, m: a foot that
/// seems to was mistaken, or was set elsewhere.
const SUNK: f64 = 0.006;
const SLID: f64 = 0.015;
/// Furthest from its place that a foot which was set elsewhere is looked for, m.
const SET: f64 = 0.09;
/// Rounds of a fit, from forgiving to strict.
const ROUNDS: usize = 4;
/// Rounds of a fit that goes on from another one.
const AGAIN: usize = 2;

/// How much better than an earlier start another one must do: half of a bare foot's patches may agree
/// on a motion that it does not make (drawn feet: 14 mm read 27 for two frames).
const BETTER: f64 = 1.1;

/// A patch at a bare foot's edge may hold the floor, which goes with any foot that stays down: what goes otherwise than the
/// floor by this, px, counts for this much more.
/// tuned: findings.py on 78 rendered people, 2026-12-01: one bare heel on boards that came up 33 mm was read as 0
const MOVES_BY: f64 = 1.5;
const MOVES: f64 = 0.5;

/// A fitted motion, and what holds it.
pub(super) struct Attempt {
    pub fitted: Fitted,
    heel_rise: f64,
    /// Agreeing trust and all trust, by part.
    support: [[f64; 2]; Part::COUNT],
    /// Agreeing trust of patches behind the ball that went otherwise than the floor.
    moving: f64,
    /// Furthest that the foot may have slid, m.
    reach: f64,
    /// Furthest that the heel may have sunk, m.
    deepest: f64,
}

impl Attempt {
    /// Part of a part's trust that agrees.
    pub(super) fn share(&self, part: Part) -> f64 {
        let [yes, all] = self.support[part as usize];
        if yes >= FEWEST {
            yes / all.max(1.0)
        } else {
            0.0
        }
    }

    /// The same over several parts.
    pub(super) fn share_of(&self, parts: &[Part]) -> f64 {
        let of = parts.iter().map(|&p| self.support[p as usize]);
        let [yes, all] = of.fold([0.0; 2], |s, f| [s[0] + f[0], s[1] + f[1]]);
        if yes >= FEWEST { yes / all } else { 0.0 }
    }

    /// Whether a planted foot can do that: it does not sink or slide.
    pub(super) fn plausible(&self) -> bool {
        self.heel_rise > -SUNK && self.bearable()
    }

    /// Whether one that rolls can.
    pub(super) fn bearable(&self) -> bool {
        let q = &self.fitted.q;
        self.heel_rise > -self.deepest
            && q[RISE].abs() < SLID
            && crate::angle::hypot(q[SLIP], q[SLIP + 1]) < self.reach
    }

    fn score(&self) -> f64 {
        let doubt = if self.plausible() { 1.0 } else { 0.5 };
        doubt * (self.agreement() + MOVES * self.moving)
    }

    fn agreement(&self) -> f64 {
        Part::ALL
            .iter()
            .map(|&p| self.support[p as usize][0] * if p == Part::Floor { 0.5 } else { 1.0 })
            .sum()
    }
}

impl FootTracker {
    /// Tries from one start more; see [`Self::attempt`].
    pub(super) fn consider(
        &mut self,
        start: &Unknowns,
        coarse: bool,
        told: Option<DVec2>,
        best: &mut Option<Attempt>,
    ) {
        if let Some(attempt) = self.attempt(start, coarse, told)
            && best
                .as_ref()
                .is_none_or(|b| attempt.score() > b.score() * BETTER)
        {
            *best = Some(attempt);
            std::mem::swap(&mut self.best, &mut self.seen);
        }
    }

    /// Follows every patch from where the motion `start` puts it, and fits the motion anew. `coarse`
    /// when the start may be far off: the half-size picture is then asked first. `told` is the camera's shake where
    /// something else than the foot tells it, px.
    fn attempt(&mut self, start: &Unknowns, coarse: bool, told: Option<DVec2>) -> Option<Attempt> {
        let mut q = self.steady(start);
        let mut fitted = None;
        for round in 0..3 {
            self.follow(&q, coarse && round == 0, round > 0);
            let rounds = if round == 0 { ROUNDS } else { AGAIN };
            let f = self.kinematics.fit(&q, told, &mut self.seen, rounds)?;
            let step = self.largest_step(&q, &f.q);
            q = f.q;
            fitted = Some(f);
            if step < 0.35 {
                break;
            }
        }
        let mut support = [[0.0; 2]; Part::COUNT];
        let mut moving = 0.0;
        for (p, feature) in self.seen.iter().zip(&self.reference.features) {
            let s = &mut support[p.part as usize];
            if p.trust > 0.0 || !self.hidden {
                s[1] += feature.trust;
            }
            if p.trust > 0.0 && p.weight > 0.25 {
                s[0] += feature.trust;
                let shake = DVec2::new(q[SHAKE], q[SHAKE + 1]);
                if p.part.pitches()
                    && p.expected.distance(shake).min(p.expected.length()) > MOVES_BY
                {
                    moving += feature.trust;
                }
            }
        }
        // Seen from the side the edge of a foot that rolls outward goes down.
        let edge = (1.0 - self.kinematics.endwise()) * ROLL_SPREAD[1] * NEAR_EDGE;
        fitted.map(|fitted| Attempt {
            deepest: SUNK + edge * self.kinematics.foot_m,
            heel_rise: self.kinematics.heel_rise(&fitted.q),
            reach: match self.kinematics.stance {
                Stance::Anew => SET,
                _ => SLID,
            },
            fitted,
            support,
            moving,
        })
    }
}
