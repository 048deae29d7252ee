//! One shin: a rigid body of known length that turns about its ankle.

use super::line::Line;
use super::outline::{Edge, INSIDE, outline};
use crate::angle;
use crate::matrix::{Square, Vector};
use crate::picture::grey::GreyView;
use crate::standing::body::{Leg, shankward};
use crate::standing::camera::Camera;
use glam::{DVec2, DVec3};

/// Lean along the foot and out of its plane, rad, and their speeds, rad/s; the ankle's shift, of the shin's length in the
/// picture; growth of the breadth.
const UNKNOWNS: usize = 7;
type Unknowns = Vector<UNKNOWNS>;
type Covariance = Square<UNKNOWNS>;
const LEAN: usize = 0;
const INWARD: usize = 1;
const SPEED: usize = 2;
const SHIFT: usize = 4;
const GROWTH: usize = 6;

/// What the marks leave open: standard deviations of the unknowns in standing.
const STANDING: [f64; UNKNOWNS] = [0.03, 0.02, 0.05, 0.05, 0.004, 0.004, 0.005];
/// Where a shin that was lost is looked for: lean and lean inward, rad, and standard deviations of all unknowns.
const USUAL: [f64; 2] = [0.25, 0.0];
const SPREAD: [f64; UNKNOWNS] = [0.30, 0.20, 0.5, 0.3, 0.008, 0.008, 0.03];
/// How the shin moves: its speeds die away with this time, ms, and are pushed so much, rad^2/s^3.
const SPEED_MS: f64 = 400.0;
const PUSH: [f64; 2] = [2.5, 0.2];
/// Of the push, what is left while nothing moves in the picture; the edges' movement since the frame before, of the
/// shin's length, at which it is half there.
const STILL: f64 = 0.02;
const STIRS: f64 = 0.004;
/// Lean and lean inward are drawn to the usual with this time while the shin moves, ms.
const PULL_MS: f64 = 2500.0;
/// The shin stands as marked when its edges are there within this, px and of its length, and so many of them.
const HOME: [f64; 2] = [0.5, 0.003];
const HOME_HELD: f64 = 0.8;
/// Shift and growth wander about zero with these times, ms, and standard deviations.
const WANDER_MS: [f64; 2] = [1000.0, 1500.0];
const WANDER: [f64; 2] = [0.006, 0.012];
/// An edge's place errs by this much, px, and of the shank's length.
const EDGE_SD: [f64; 2] = [0.8, 0.006];
/// Edges share their errors: their number counts this much less.
const SHARED: f64 = 8.0;
/// How far about its place an edge is looked for, of the shank's length: at the ankle, and more at the knee.
const SEARCH: [f64; 2] = [0.03, 0.09];
/// Times the edges are looked for, and rounds of a fit.
const LOOKS: usize = 2;
const ROUNDS: usize = 4;
/// An edge counts with this part of its slope in standing, and at least so many grey levels per px.
const PART: f32 = 0.25;
const LEAST: f32 = 1.2;
/// How far the brightness inside may differ, grey levels and of itself.
const ALIKE: [f32; 2] = [8.0, 0.12];
/// An estimator's knee errs along the shin by this, of the shin's length in the picture.
const KNEE_SEEN_SD: f64 = 0.05;
/// The knee's place errs by this at least, of the shin's length in the picture.
const LEAST_SD: f64 = 0.008;
/// The other shin's axis within this distance on one side, of the shin's length: the edge there may be the other's.
const BESIDE: f64 = 0.4;
const APART: f64 = 0.04;
/// Part of the trusted edges that must be found where the fit puts them.
const SUPPORT: f64 = 0.4;
/// With this part no other place is looked at.
const ENOUGH: f64 = 0.7;

/// A knee that is shown errs by this, of the shin's length in the picture; steps to where it was shown.
/// tuned: to common practice, no source: 3 px on a shin of 150
const SHOWN_SD: f64 = 0.02;
const SHOWN_ROUNDS: usize = 6;

/// What was found in one frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub ankle: DVec2,
    pub knee: DVec2,
    /// Standard errors of the knee's place along the shin and across it, px.
    pub sd: [f64; 2],
}

/// A shin and its outline in standing.
#[derive(Clone, Debug)]
pub(super) struct Shin {
    camera: Camera,
    along: DVec3,
    medial: DVec3,
    /// In standing, m.
    pub ankle: DVec3,
    knee: DVec3,
    long: f64,
    /// Length in the picture in standing, px.
    px: f64,
    start: [f64; 2],
    pub edges: Vec<Edge>,
    state: Option<State>,
    /// Where an estimator sees the knee in this frame, px.
    pub knee_seen: Option<DVec2>,
    t_ms: Option<f64>,
    /// How much moves between frames, 0 to 1.
    stir: f64,
    line: Line,
    seen: Vec<Seen>,
}

#[derive(Clone, Copy, Debug)]
struct Seen {
    edge: usize,
    at: DVec2,
    likeness: f64,
}

/// The unknowns and their covariance.
#[derive(Clone, Copy, Debug)]
struct State {
    q: Unknowns,
    p: Covariance,
}

/// Where an edge is by the unknowns, which way is out, and how it moves outward with each.
struct Placed {
    at: DVec2,
    out: DVec2,
    up: DVec2,
    slopes: Unknowns,
}

/// The shin by the unknowns: from the ankle to the knee, m, and how that changes with lean and lean inward.
struct Posed {
    ankle: DVec3,
    up: DVec3,
    by: [DVec3; 2],
    shift: DVec2,
}

impl Shin {
    /// Learns the shin whose ankle and top are marked at these places, px.
    /// Where `other` is, the other shin's marks, its edges can't be told from this one's.
    pub fn new(
        camera: &Camera,
        leg: &Leg,
        [ankle, knee]: [DVec2; 2],
        other: [Option<DVec2>; 2],
        view: &GreyView<'_>,
    ) -> Self {
        let [ankle_m, knee_m] = [(ankle, leg.ankle), (knee, leg.knee)]
            .map(|(px, place)| camera.at_depth(px, camera.depth(place)));
        let d = (knee_m - ankle_m).normalize_or_zero();
        let inward = libm::asin(d.dot(leg.medial).clamp(-1.0, 1.0));
        let start = [libm::atan2(d.dot(leg.along), d.y), inward];
        let mut edges = outline(view, ankle, knee);
        if let [Some(a), Some(k)] = other {
            let up = knee - ankle;
            let across = up.perp() / up.length();
            edges.retain(|edge| {
                let beside = (a - ankle).lerp(k - knee, edge.up).dot(across) * edge.side;
                !(APART..BESIDE).contains(&(beside / up.length()))
            });
        }
        Self {
            camera: *camera,
            along: leg.along,
            medial: leg.medial,
            ankle: ankle_m,
            knee: knee_m,
            long: ankle_m.distance(knee_m),
            px: ankle.distance(knee),
            start,
            edges,
            state: None,
            knee_seen: None,
            t_ms: None,
            stir: 0.0,
            line: Line::default(),
            seen: Vec::new(),
        }
    }

    /// The shin by the unknowns, its ankle at `ankle`, m; the picture has shaken by so much, px.
    fn posed(&self, ankle: DVec3, shake: DVec2, q: &Unknowns) -> Posed {
        let ((sl, cl), (si, ci)) = (angle::sin_cos(q[LEAN]), angle::sin_cos(q[INWARD]));
        let (ahead, high) = (self.along * self.long, DVec3::Y * self.long);
        Posed {
            ankle,
            up: shankward(self.along, self.medial, q[LEAN], q[INWARD]) * self.long,
            by: [
                (ahead * cl - high * sl) * ci,
                self.medial * (ci * self.long) - (ahead * sl + high * cl) * si,
            ],
            shift: DVec2::new(q[SHIFT], q[SHIFT + 1]) * self.px + shake,
        }
    }

    /// Where an edge is.
    fn placed(&self, edge: &Edge, posed: &Posed, q: &Unknowns) -> Option<Placed> {
        let place = posed.ankle + posed.up * edge.up;
        let (p, du, dv) = self.camera.project_with_slope(place)?;
        let axis = DVec2::new(du.dot(posed.up), dv.dot(posed.up)).normalize_or_zero();
        let was = self
            .camera
            .depth(self.ankle + (self.knee - self.ankle) * edge.up);
        let now = self.camera.depth(place);
        let half = edge.half * (was / now);
        let out = axis.perp() * edge.side;
        let mut slopes = Unknowns::zeros();
        for (slope, by) in slopes.iter_mut().zip(posed.by) {
            let by = by * edge.up;
            // The edge goes with the axis, and nearer the camera the shin is broader.
            *slope = DVec2::new(du.dot(by), dv.dot(by)).dot(out)
                - half / now * self.camera.forward.dot(by);
        }
        (slopes[SHIFT], slopes[SHIFT + 1]) = (out.x * self.px, out.y * self.px);
        slopes[GROWTH] = half;
        Some(Placed {
            at: p + out * (half * (1.0 + q[GROWTH])) + posed.shift,
            out,
            up: axis,
            slopes,
        })
    }

    fn knee_of(&self, posed: &Posed) -> Option<DVec2> {
        Some(self.camera.project(posed.ankle + posed.up)? + posed.shift)
    }

    /// Looks for the edges about where the unknowns put them, `wide` times as far as usual.
    fn look(&mut self, view: &GreyView<'_>, posed: &Posed, q: &Unknowns, wide: f64) {
        let mut line = std::mem::take(&mut self.line);
        self.seen.clear();
        let near = (INSIDE[0] * self.px).round() as isize;
        let far = (INSIDE[1] * self.px).round() as isize;
        for (k, edge) in self.edges.iter().enumerate() {
            let Some(placed) = self.placed(edge, posed, q) else {
                continue;
            };
            let reach = (SEARCH[0] + (SEARCH[1] - SEARCH[0]) * edge.up) * self.px * wide;
            let reach = reach.ceil().max(4.0) as usize;
            let back = reach + far as usize + 2;
            let count = back + reach + 3;
            line.read(
                view,
                placed.at - placed.out * back as f64,
                placed.out,
                placed.up * (0.01 * self.px).max(1.0),
                count,
            );
            let least = (PART * edge.slope.abs()).max(LEAST);
            let tolerance = ALIKE[0] + ALIKE[1] * edge.inside;
            let mut best: Option<(f64, f64)> = None;
            for i in back - reach..=back + reach {
                let s = line.slopes[i].abs();
                if s < least || s < line.slopes[i - 1].abs() || s < line.slopes[i + 1].abs() {
                    continue;
                }
                let inside = line.mean(i as isize - far, i as isize - near);
                let differs = (inside - edge.inside).abs() / tolerance;
                if differs.is_nan() || differs > 2.5 {
                    continue;
                }
                let same_sign = if line.slopes[i] * edge.slope > 0.0 {
                    0.3
                } else {
                    0.0
                };
                let off = (i as f64 - back as f64) / reach as f64;
                let score = f64::from((s / edge.slope.abs()).min(1.0) - 0.5 * differs) + same_sign
                    - 0.4 * off * off;
                if best.is_none_or(|b| score > b.0) {
                    best = Some((score, line.peak(i) - back as f64));
                }
            }
            if let Some((score, off)) = best {
                self.seen.push(Seen {
                    edge: k,
                    at: placed.at + placed.out * off,
                    likeness: (0.6 + score).clamp(0.05, 1.0),
                });
            }
        }
        self.line = line;
    }

    fn sd(&self) -> f64 {
        angle::hypot(EDGE_SD[0], EDGE_SD[1] * self.px)
    }

    /// Fits the unknowns to what was seen, beginning at `q`, about what was foretold (an iterated extended Kalman
    /// filter's update, robust by Geman and McClure's weights).
    fn fit(
        &self,
        ankle: DVec3,
        shake: DVec2,
        q: &mut Unknowns,
        foretold: &State,
    ) -> Option<Covariance> {
        let sd = self.sd();
        let prior = foretold.p.cholesky()?.inverse();
        let mut covariance = None;
        for round in 0..ROUNDS {
            let mut a = prior;
            let mut g = prior * (foretold.q - *q);
            // From forgiving to strict.
            let scale = sd * [4.0, 2.5, 1.7][round.min(2)];
            let posed = self.posed(ankle, shake, q);
            for seen in &self.seen {
                let edge = &self.edges[seen.edge];
                let placed = self.placed(edge, &posed, q)?;
                let miss = (seen.at - placed.at).dot(placed.out);
                let r = miss / scale;
                let weight =
                    edge.trust * seen.likeness / (1.0 + r * r).powi(2) / (sd * sd * SHARED);
                a.add_outer(weight, &placed.slopes);
                g += placed.slopes * (miss * weight);
            }
            if let Some(seen) = self.knee_seen {
                let (p, du, dv) = self.camera.project_with_slope(posed.ankle + posed.up)?;
                let up = DVec2::new(du.dot(posed.up), dv.dot(posed.up)).normalize_or_zero();
                let mut slopes = Unknowns::zeros();
                for (slope, by) in slopes.iter_mut().zip(posed.by) {
                    *slope = DVec2::new(du.dot(by), dv.dot(by)).dot(up);
                }
                let miss = (seen - p - posed.shift).dot(up);
                let r = miss / (2.0 * KNEE_SEEN_SD * self.px);
                let weight = (KNEE_SEEN_SD * self.px).powi(-2) / SHARED / (1.0 + r * r).powi(2);
                a.add_outer(weight, &slopes);
                g += slopes * (miss * weight);
            }
            let inverse = a.cholesky()?.inverse();
            *q += inverse * g;
            q[LEAN] = q[LEAN].clamp(-0.5, 1.2);
            q[INWARD] = q[INWARD].clamp(-0.8, 0.8);
            covariance = Some(inverse);
        }
        covariance
    }

    /// Part of the trusted edges that are seen where the unknowns put them.
    fn held(&self, posed: &Posed, q: &Unknowns) -> f64 {
        let (mut yes, mut all) = (0.0, 1e-9);
        for edge in &self.edges {
            all += edge.trust;
        }
        for seen in &self.seen {
            let edge = &self.edges[seen.edge];
            if let Some(placed) = self.placed(edge, posed, q)
                && (seen.at - placed.at).dot(placed.out).abs() < 2.5 * self.sd()
            {
                yes += edge.trust;
            }
        }
        yes / all
    }

    /// Median distance of what was seen from where the unknowns put it, px, and how many of the trusted edges were seen.
    fn misfit(&self, posed: &Posed, q: &Unknowns) -> (f64, f64) {
        let (mut yes, mut all) = (0.0, 1e-9);
        let mut misses = Vec::new();
        for edge in &self.edges {
            all += edge.trust;
        }
        for seen in &self.seen {
            let edge = &self.edges[seen.edge];
            if let Some(placed) = self.placed(edge, posed, q) {
                yes += edge.trust;
                misses.push((seen.at - placed.at).dot(placed.out).abs());
            }
        }
        crate::order::ascending(&mut misses);
        let middle = misses
            .get(misses.len() / 2)
            .copied()
            .unwrap_or(f64::INFINITY);
        (middle, yes / all)
    }

    /// What the frame before foretells of one that is so much later, ms.
    fn foretold(&self, dt_ms: f64) -> Option<State> {
        let State { mut q, mut p } = self.state?;
        let dt = dt_ms / 1000.0;
        let mut f = Covariance::identity();
        let keep = libm::exp(-dt_ms / SPEED_MS);
        for i in 0..2 {
            f[(i, SPEED + i)] = dt;
            f[(SPEED + i, SPEED + i)] = keep;
        }
        for i in SHIFT..UNKNOWNS {
            f[(i, i)] = libm::exp(-dt_ms / WANDER_MS[usize::from(i == GROWTH)]);
        }
        q = f * q;
        p = f * p * f.transpose();
        let push = PUSH.map(|v| v * (STILL + (1.0 - STILL) * self.stir));
        for i in 0..2 {
            // White noise of the acceleration (Bar-Shalom, Li & Kirubarajan 2001, section 6.2.2).
            p[(i, i)] += push[i] * dt * dt * dt / 3.0;
            p[(i, SPEED + i)] += push[i] * dt * dt / 2.0;
            p[(SPEED + i, i)] += push[i] * dt * dt / 2.0;
            p[(SPEED + i, SPEED + i)] += push[i] * dt;
        }
        // Pulled to what shins in a squat do.
        let pull = 1.0 - libm::exp(-dt_ms * self.stir / PULL_MS);
        for i in 0..2 {
            q[i] += pull * (USUAL[i] - q[i]);
            p[(i, i)] += pull * SPREAD[i] * SPREAD[i];
        }
        for i in SHIFT..UNKNOWNS {
            let sd = WANDER[usize::from(i == GROWTH)];
            p[(i, i)] += sd * sd * (1.0 - f[(i, i)] * f[(i, i)]);
        }
        Some(State { q, p })
    }

    /// What is foretold where nothing was before: standing as marked, or leaning by so much.
    fn anew(&self, lean: Option<f64>) -> State {
        let mut q = Unknowns::zeros();
        let spread = if lean.is_some() { SPREAD } else { STANDING };
        q[LEAN] = lean.map_or(self.start[0], |_| USUAL[0]);
        q[INWARD] = lean.map_or(self.start[1], |_| USUAL[1]);
        let p = Covariance::from_diagonal(&Unknowns::from_fn(|i| spread[i] * spread[i]));
        State { q, p }
    }

    /// The knee was shown at `knee`, px, its ankle being at `ankle`, m: the next frame's is looked for from there.
    pub fn set_right(&mut self, ankle: DVec3, shake: DVec2, knee: DVec2) {
        let State { mut q, p } = self.anew(Some(USUAL[LEAN]));
        let (usual, Some(spread)) = (q, p.cholesky()) else {
            return;
        };
        let (prior, weight) = (spread.inverse(), (SHOWN_SD * self.px).powi(-2));
        for _ in 0..SHOWN_ROUNDS {
            let posed = self.posed(ankle, shake, &q);
            let Some((at, du, dv)) = self.camera.project_with_slope(posed.ankle + posed.up) else {
                return;
            };
            let miss = knee - at - posed.shift;
            let (mut a, mut g) = (prior, prior * (usual - q));
            for (slope, miss) in [(du, miss.x), (dv, miss.y)] {
                let mut slopes = Unknowns::zeros();
                for (s, by) in slopes.iter_mut().zip(posed.by) {
                    *s = slope.dot(by);
                }
                a.add_outer(weight, &slopes);
                g += slopes * (miss * weight);
            }
            let Some(inverse) = a.cholesky().map(|c| c.inverse()) else {
                return;
            };
            q += inverse * g;
            self.state = Some(State { q, p: inverse });
        }
        (self.t_ms, self.stir) = (None, 1.0);
    }

    /// Where the shin is in a frame, its ankle being at `ankle`, m, the picture having shaken by so much, px.
    pub fn follow(
        &mut self,
        t_ms: f64,
        view: &GreyView<'_>,
        ankle: DVec3,
        shake: DVec2,
    ) -> Option<Found> {
        let dt_ms = self.t_ms.map_or(0.0, |t| (t_ms - t).clamp(0.0, 500.0));
        self.t_ms = Some(t_ms);
        let mut tries = Vec::new();
        let standing = self.anew(None);
        let posed = self.posed(ankle, shake, &standing.q);
        self.look(view, &posed, &standing.q, 0.4);
        let (miss, held) = self.misfit(&posed, &standing.q);
        let home = miss < angle::hypot(HOME[0], HOME[1] * self.px) && held > HOME_HELD;
        if let Some(before) = &self.state {
            let q = before.q;
            let posed = self.posed(ankle, shake, &q);
            self.look(view, &posed, &q, 0.6);
            let (miss, _) = self.misfit(&posed, &q);
            let r = (miss - 0.4).max(0.0) / (STIRS * self.px);
            self.stir = r * r / (1.0 + r * r);
        } else {
            self.stir = 1.0;
        }
        let foretold = if home {
            Some(standing)
        } else {
            self.foretold(dt_ms)
        };
        match foretold {
            Some(state) => tries.push((state, state.q)),
            None => {
                tries.push((standing, standing.q));
                for lean in [0.1, 0.3, 0.5, 0.7] {
                    let state = self.anew(Some(lean));
                    let mut q = state.q;
                    (q[LEAN], q[INWARD]) = (lean, 0.5 * self.start[1]);
                    tries.push((state, q));
                }
            }
        }
        let mut best: Option<(f64, State)> = None;
        for (foretold, mut q) in tries {
            if best.as_ref().is_some_and(|b| b.0 > ENOUGH) {
                break;
            }
            for look in 0..LOOKS {
                let posed = self.posed(ankle, shake, &q);
                self.look(view, &posed, &q, if look == 0 { 1.0 } else { 0.6 });
                let Some(p) = self.fit(ankle, shake, &mut q, &foretold) else {
                    break;
                };
                if look + 1 == LOOKS {
                    let held = self.held(&self.posed(ankle, shake, &q), &q);
                    if best.as_ref().is_none_or(|b| held > b.0) {
                        best = Some((held, State { q, p }));
                    }
                }
            }
        }
        let Some((_, state)) = best.filter(|b| b.0 >= SUPPORT) else {
            self.state = None;
            return None;
        };
        self.state = Some(state);
        let State { q, p } = state;
        let posed = self.posed(ankle, shake, &q);
        let knee = self.knee_of(&posed)?;
        let foot = self.camera.project(ankle)? + posed.shift;
        let up = (knee - foot).normalize_or_zero();
        let (_, du, dv) = self.camera.project_with_slope(ankle + posed.up)?;
        let sd = [up, up.perp()].map(|way| {
            let mut slope = Unknowns::zeros();
            for (s, by) in slope.iter_mut().zip(posed.by) {
                *s = DVec2::new(du.dot(by), dv.dot(by)).dot(way);
            }
            angle::hypot(p.quadratic(&slope).max(0.0).sqrt(), LEAST_SD * self.px)
        });
        Some(Found {
            ankle: foot,
            knee,
            sd,
        })
    }
}
