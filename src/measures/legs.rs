//! Shanks, thighs and pelvis of one frame: the knees' rays meet the spheres of the shanks' lengths, a
//! thigh's length ties its knee to the pelvis, and the pelvis ties both knees together.

// Sides and their blocks of unknowns are walked by one index.
#![allow(clippy::needless_range_loop)]

use super::assumed::{LEG, Leg, SLIDES, Shifts, UPPER_SD, Upper};
use super::drop::Drop;
use super::normal::Normal;
use super::shanks::{self, CLOSE, Knees, Moving, Prior, Shin};
use super::sighting::Point;
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
    /// The knees' points may be markers on the skin.
    pub may_slide: bool,
    /// Most Gauss-Newton rounds.
    pub rounds: usize,
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

/// What the points say near a place: their normal equations, and both thighs there.
#[derive(Clone, Copy, Default)]
struct Shown {
    points: Normal<N>,
    thighs: [Option<Thigh>; 2],
}

/// A thigh's length, m, and its slopes.
#[derive(Clone, Copy)]
struct Thigh {
    length: f64,
    of_knee: [f64; 3],
    of_pelvis: [f64; N - PELVIS],
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
        let Some((start, shown)) = self.start(&prior[0]) else {
            return (Knees::default(), None);
        };
        let solved = [
            self.under(&prior[0], start, &shown),
            self.may_slide
                .then(|| self.under(&prior[1], start, &shown))
                .flatten(),
        ];
        let legs = solved.map(|one| one.map(|s| (s.legs, s.cost)));
        let knees = shanks::weigh(self.body, &self.shins, self.shifts, &legs);
        let both = match solved {
            [Some(a), Some(b)] => {
                let share = knees.second;
                let turn = [0, 1].map(|i| a.turn[i] + (b.turn[i] - a.turn[i]) * share);
                Some((a.middle.lerp(b.middle, share), turn))
            }
            [a, b] => a.or(b).map(|one| (one.middle, one.turn)),
        };
        let pelvis = both
            .filter(|(middle, _)| self.hips.iter().any(Option::is_some) && middle.is_finite())
            .map(|(middle, [turn, tilt])| {
                let out = leftward(turn, tilt) * (self.body.hip_width / 2.0);
                Pair {
                    middle,
                    ends: [middle + out, middle - out],
                }
            });
        (knees, pelvis)
    }

    /// First guess, and what the points say there: legs as expected, the pelvis at the height that
    /// the drop in the picture says, a thigh's length behind the knees.
    fn start(&self, prior: &Prior) -> Option<(Solved, Shown)> {
        let body = self.body;
        let mut legs = prior.expected;
        for s in 0..2 {
            legs[3 * s] = legs[3 * s].max(0.02);
            legs[3 * s + 1] = body.legs[s].inward;
        }
        let mut shown = Shown::default();
        let knees = self.look_at_shins(&legs, &mut shown)?;
        let mut middle = DVec3::ZERO;
        let mut seen = 0.0;
        for (knee, _) in knees.iter().zip(&self.shins).filter(|(_, s)| s.is_some()) {
            middle += knee.place;
            seen += 1.0;
        }
        let middle = middle / seen;
        let y = body.pelvis.y * (1.0 - self.drop.share);
        let up = ((y - middle.y) / body.thigh).clamp(-0.6, 0.99);
        let back = body.thigh * (1.0 - up * up).sqrt();
        let start = Solved {
            legs,
            middle: DVec3::new(body.pelvis.x, y, middle.z - back),
            turn: body.pelvis_turn,
            cost: 0.0,
        };
        self.look_at_hips(&start, &knees, &mut shown)?;
        Some((start, shown))
    }

    fn look_at_shins(&self, legs: &shanks::Unknowns, shown: &mut Shown) -> Option<[Moving; 2]> {
        shanks::observe(self.camera, self.body, &self.shins, legs, &mut shown.points)
    }

    #[inline]
    fn look_at_hips(&self, at: &Solved, knees: &[Moving; 2], shown: &mut Shown) -> Option<()> {
        let half = self.body.hip_width / 2.0;
        let [turn, tilt] = at.turn;
        let out = leftward(turn, tilt);
        let by_turn = DVec3::new(out.z, 0.0, -out.x);
        for (s, sign) in [(0, half), (1, -half)] {
            let hip = at.middle + out * sign;
            let of_pelvis = |d: DVec3| [d.x, d.y, d.z, d.dot(by_turn) * sign, d.y * sign];
            let Some(point) = self.hips[s] else {
                continue;
            };
            for (slope, miss, weight) in point.rows(self.camera.project_with_slope(hip)?) {
                shown
                    .points
                    .add_block(PELVIS, &of_pelvis(slope), miss, weight);
            }
            if self.shins[s].is_some() {
                let arm = hip - knees[s].place;
                let length = arm.length().max(1e-3);
                let direction = arm / length;
                shown.thighs[s] = Some(Thigh {
                    length,
                    of_knee: knees[s].slopes.map(|by| -direction.dot(by)),
                    of_pelvis: of_pelvis(direction),
                });
            }
        }
        Some(())
    }

    /// The best legs and pelvis under one way of sliding (Gauss-Newton).
    #[inline]
    fn under(&self, prior: &Prior, start: Solved, shown: &Shown) -> Option<Solved> {
        let (body, shifts) = (self.body, self.shifts);
        let upper = |k: Upper| shifts[2 * LEG + k as usize];
        let [mean, sd] = prior.thigh;
        let sd = body.thigh * sd;
        let mut now = start;
        let mut shown = *shown;
        for round in 1.. {
            let normal = &mut shown.points;
            shanks::expect(body, &self.shins, prior, shifts, &now.legs, normal);
            for (s, thigh) in shown.thighs.iter().enumerate() {
                let Some(thigh) = thigh else { continue };
                let by = shifts[s * LEG + Leg::Thigh as usize];
                let miss = body.thigh * shanks::grown(mean + by) - thigh.length;
                let slopes = (&thigh.of_knee, &thigh.of_pelvis);
                normal.add_blocks([3 * s, PELVIS], slopes, miss, 1.0 / (sd * sd));
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
            if round >= self.rounds || moved + change.length() < CLOSE {
                break;
            }
            shown = Shown::default();
            let knees = self.look_at_shins(&now.legs, &mut shown)?;
            self.look_at_hips(&now, &knees, &mut shown)?;
        }
        Some(now)
    }
}
