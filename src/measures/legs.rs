//! Shanks, thighs and pelvis of one frame: the knees' rays meet the spheres of the shanks' lengths, a
//! thigh's length ties its knee to the pelvis, and the pelvis ties both knees together.

// Sides and their blocks of unknowns are walked by one index.
#![allow(clippy::needless_range_loop)]

use super::assumed::{LEG, Leg, SLIDES, Shifts, UPPER_SD, Upper};
use super::normal::Normal;
use super::shanks::{self, CLOSE, Drop, Knees, Point, Prior, Shin};
use super::trunk::Pair;
use crate::standing::Camera;
use crate::standing::body::{Body, leftward};
use glam::DVec3;

/// Both shanks (see [`shanks::Unknowns`]), the pelvis' place, its turn and its tilt.
const N: usize = 11;
/// Where the pelvis' unknowns begin.
const PELVIS: usize = 6;
/// What is known of a leg that is not seen leaves the pelvis this free, m.
const FREE: f64 = 0.5;

/// What one frame shows of the legs.
pub(super) struct Seen<'a> {
    pub camera: &'a Camera,
    pub body: &'a Body,
    pub shins: [Option<Shin>; 2],
    pub hips: [Point; 2],
    pub drop: Drop,
    pub shifts: &'a Shifts,
    /// Most Gauss-Newton rounds: for the first way of sliding, and from there for the second.
    pub rounds: [usize; 2],
}

/// A solution.
#[derive(Clone, Copy)]
struct Solved {
    legs: shanks::Unknowns,
    middle: DVec3,
    turn: [f64; 2],
    /// Weighted sum of squares that is left.
    cost: f64,
}

impl Seen<'_> {
    /// Knees and pelvis. It is solved for each way of sliding, and the solutions are weighed by how
    /// well they fit. No pelvis without hips.
    #[inline]
    pub fn solve(&self) -> (Knees, Option<Pair>) {
        if self.shins.iter().all(Option::is_none) {
            return (Knees::default(), None);
        }
        let prior =
            [0, 1].map(|way| shanks::prior(self.body, self.drop, &SLIDES[way], self.shifts));
        let first = self.under(&prior[0], self.start(&prior[0]), self.rounds[0]);
        let start = first.unwrap_or_else(|| self.start(&prior[1]));
        let solved = [first, self.under(&prior[1], start, self.rounds[1])];
        let legs = solved.map(|one| one.map(|s| (s.legs, s.cost)));
        let knees = shanks::weigh(self.body, &self.shins, self.shifts, &legs);
        let pair = |s: Solved| {
            let out = leftward(s.turn[0], s.turn[1]) * (self.body.hip_width / 2.0);
            [s.middle, s.middle + out, s.middle - out]
        };
        let places = match solved {
            [Some(a), Some(b)] => {
                let (a, b) = (pair(a), pair(b));
                Some([0, 1, 2].map(|i| a[i].lerp(b[i], knees.second)))
            }
            [a, b] => a.or(b).map(pair),
        };
        let pelvis = places
            .filter(|p| self.hips.iter().any(Option::is_some) && p[0].is_finite())
            .map(|[middle, left, right]| Pair {
                middle,
                ends: [left, right],
            });
        (knees, pelvis)
    }

    /// First guess: legs as expected, the pelvis at the height that the drop in the picture says, a
    /// thigh's length behind the knees.
    fn start(&self, prior: &Prior) -> Solved {
        let body = self.body;
        let mut legs = prior.expected;
        let mut knees = DVec3::ZERO;
        let mut seen = 0.0;
        for s in 0..2 {
            legs[3 * s] = legs[3 * s].max(0.02);
            legs[3 * s + 1] = body.legs[s].inward;
            if let Some(shin) = &self.shins[s] {
                knees += shanks::knee(body, s, shin, &legs);
                seen += 1.0;
            }
        }
        let knees = knees / seen;
        let y = body.pelvis.y * (1.0 - self.drop.share);
        let up = ((y - knees.y) / body.thigh).clamp(-0.6, 0.99);
        let back = body.thigh * (1.0 - up * up).sqrt();
        Solved {
            legs,
            middle: DVec3::new(body.pelvis.x, y, knees.z - back),
            turn: body.pelvis_turn,
            cost: 0.0,
        }
    }

    /// The best legs and pelvis under one way of sliding (Gauss-Newton).
    #[inline]
    fn under(&self, prior: &Prior, start: Solved, rounds: usize) -> Option<Solved> {
        let (body, shifts) = (self.body, self.shifts);
        let upper = |k: Upper| shifts[2 * LEG + k as usize];
        let half = body.hip_width / 2.0;
        let [mean, sd] = prior.thigh;
        let sd = body.thigh * sd;
        let thighs = [0, 1].map(|s| {
            let by = shifts[s * LEG + Leg::Thigh as usize];
            body.thigh * libm::exp(mean + by)
        });
        let mut now = start;
        for _ in 0..rounds {
            let mut normal = Normal::<N>::new();
            let [turn, tilt] = now.turn;
            let knees = shanks::observe(
                self.camera,
                body,
                &self.shins,
                prior,
                shifts,
                &now.legs,
                &mut normal,
            )?;
            let out = leftward(turn, tilt);
            let by_turn = DVec3::new(out.z, 0.0, -out.x);
            for (s, sign) in [(0, half), (1, -half)] {
                let hip = now.middle + out * sign;
                let of_pelvis = |d: DVec3| [d.x, d.y, d.z, d.dot(by_turn) * sign, d.y * sign];
                let Some((px, weight)) = self.hips[s] else {
                    continue;
                };
                let (at, du, dv) = self.camera.project_with_slope(hip)?;
                normal.add_block(PELVIS, &of_pelvis(du), px.x - at.x, weight);
                normal.add_block(PELVIS, &of_pelvis(dv), px.y - at.y, weight);
                if self.shins[s].is_some() {
                    let arm = hip - knees[s].place;
                    let length = arm.length().max(1e-3);
                    let direction = arm / length;
                    let miss = thighs[s] - length;
                    let of_knee = knees[s].slopes.map(|by| -direction.dot(by));
                    let slopes = (&of_knee, &of_pelvis(direction));
                    normal.add_blocks([3 * s, PELVIS], slopes, miss, 1.0 / (sd * sd));
                }
            }
            let held = [Upper::PelvisTurn, Upper::PelvisTilt];
            for (k, which) in held.into_iter().enumerate() {
                let miss = body.pelvis_turn[k] + upper(which) - now.turn[k];
                normal.hold(PELVIS + 3 + k, miss, UPPER_SD[which as usize]);
            }
            // Nothing pulls the pelvis anywhere else; this only keeps a lone hip from running away.
            for axis in 0..3 {
                normal.hold(PELVIS + axis, 0.0, FREE);
            }
            let step = normal.solve()?;
            now.cost = normal.left(&step);
            let moved = shanks::advance(&mut now.legs, &step[..PELVIS]);
            let change = DVec3::new(step[6], step[7], step[8]).clamp_length_max(0.3);
            now.middle += change;
            for (angle, by) in now.turn.iter_mut().zip(&step[9..]) {
                *angle = (*angle + by).clamp(-1.0, 1.0);
            }
            if moved + change.length() < CLOSE {
                break;
            }
        }
        Some(now)
    }
}
