//! One frame's pixels become places in the lifter's world and the eight measures.

use super::arms;
use super::assumed::{LEG, LEG_SD, Shifts};
use super::channel::Channel;
use super::com;
use super::drop::Drop;
use super::foot::{self, FootPose};
use super::legs;
use super::shanks;
use super::sighting::{Point, Sighting};
use super::trunk;
use crate::keypoints::{Joint, Load, Offset, Part, Setup, Side, Stage};
use crate::standing::body::FootMove;
use crate::standing::{Body, Camera, StandingFit, camera_of, priors::Unknown, priors::Unknowns};
use glam::{DVec2, DVec3};

/// Pixels of one frame, by [`Joint::index`].
pub(crate) type Pixels = [Option<DVec2>; Joint::COUNT];

/// Where the knees' points come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Knees {
    /// The estimator.
    Estimated,
    /// Across the shin its axis in the picture, along it the estimator.
    Followed,
}

/// Standard error of a followed knee across its shin at the bottom, of the shank's length in the picture.
/// measured: 1.3 to 1.9 % of 38 rendered people, 2026-11-30
const ACROSS: f64 = 0.016;

/// Everything that turns pixels into measures; fixed while the feet stay planted.
#[derive(Clone, Debug)]
pub(crate) struct Geometry {
    pub camera: Camera,
    pub body: Body,
    /// Keypoint less the joint's place in the fit, standing, px: taken off in every frame.
    pub(super) offsets: Pixels,
    /// What the estimator is known to add to that half-way down and at the bottom.
    shifts: [Option<[Offset; 2]>; Joint::COUNT],
    /// Variances of the joints' smoothed points beyond that, px^2.
    variances: [f64; Joint::COUNT],
    /// Standard error of a followed knee across its shin at the bottom, px.
    across: f64,
    pub(super) standing: Pixels,
    pub(super) load: Load,
    /// Left and right arm's lengths.
    pub(super) arms: [arms::Lengths; 2],
    base: [f64; Channel::READ],
    /// Centre of mass in standing, m.
    rest: DVec3,
}

/// What one frame gives. Values are relative to standing; the knees' leans, the load share and the
/// thighs' inclination are absolute.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Reading {
    /// By [`Channel::index`]; at [`Channel::THIGH`] the thighs' mean inclination below level, degrees.
    pub values: [Option<f64>; Channel::READ],
    /// Heel, big-toe base and little-toe base above their standing height, m, by side.
    pub rises: [Option<[f64; 3]>; 2],
    /// 0 standing, 1 at the bottom of a deep squat.
    pub depth: Option<f64>,
    /// How far it is believed that the knees' points slide, 0 to 1.
    pub second: f64,
    /// Mean change of the logarithm of the shanks' apparent lengths against standing.
    pub slide: f64,
    /// Inward leans of the shanks if they do, less if they don't, rad.
    pub apart: [f64; 2],
    /// Weighted sum of squares of what the points and the assumptions leave unexplained.
    pub misfit: f64,
    /// Centre of mass, m.
    com: Option<DVec3>,
}

/// Most Gauss-Newton rounds in which legs and chest are solved.
#[derive(Clone, Copy)]
struct Rounds {
    legs: usize,
    chest: usize,
}

/// After the set.
const THOROUGH: Rounds = Rounds { legs: 12, chest: 4 };
/// For the error budget, which asks how a reading changes.
const MOVED: Rounds = Rounds { legs: 2, chest: 2 };
/// Live.
const QUICK: Rounds = Rounds { legs: 1, chest: 2 };

/// On tiptoe the heel of a long foot is up by less, mm: what reads more was not its heel.
const HIGHEST_MM: f64 = 200.0;

const NO_SHIFTS: Shifts = [0.0; super::assumed::COUNT];

impl Geometry {
    /// Geometry of unknowns that may differ a little from the fit's own.
    pub fn new(
        fit: &StandingFit,
        unknowns: &Unknowns,
        setup: &Setup,
        variances: [f64; Joint::COUNT],
    ) -> Self {
        let camera = camera_of(unknowns, fit.camera.centre);
        let body = Body::new(unknowns, fit.one_toe());
        let offsets = Joint::ALL.map(|j| {
            let seen = fit.seen[j.index()]?;
            Some(seen - camera.project(body.joint(j)?)?)
        });
        let azimuth = unknowns[Unknown::Azimuth.index()];
        let shifts = Joint::ALL.map(|j| {
            let at = |stage| fit.offsets?.at(j, azimuth, stage, fit.shank_px);
            Some([at(Stage::Half)?, at(Stage::Bottom)?])
        });
        let mut new = Self {
            shifts,
            across: ACROSS * fit.shank_px,
            arms: arms::lengths(&camera, &body, &fit.seen),
            camera,
            body,
            offsets,
            variances,
            standing: fit.seen,
            load: setup.load,
            base: [0.0; Channel::READ],
            rest: DVec3::ZERO,
        };
        let at_rest = new.read(&fit.seen, Knees::Estimated);
        for (base, value) in new.base.iter_mut().zip(at_rest.values) {
            *base = value.unwrap_or(0.0);
        }
        new.base[Channel::LoadLeft.index()] = 0.0;
        new.base[Channel::THIGH] = 0.0;
        // Standing reads as the standing fit has it, whatever a single frame would make of it.
        for (s, leg) in new.body.legs.iter().enumerate() {
            new.base[Channel::KneeInLeft.index() + s] -= leg.inward.to_degrees();
        }
        new.rest = at_rest.com.unwrap_or_default();
        new
    }

    /// The same lifter with the feet set elsewhere; upright over them as in standing.
    pub fn with_feet(&self, moves: &[FootMove; 2]) -> Self {
        let mut new = self.clone();
        let mut rest = self.rest;
        for (leg, by) in new.body.legs.iter_mut().zip(moves) {
            let before = leg.ball;
            leg.set_elsewhere(by);
            rest += (leg.ball - before) / 2.0;
        }
        new.base[Channel::Forward.index()] = new.forward(rest);
        new.rest = rest;
        new
    }

    /// Place of the centre of mass along the feet, % of foot length.
    fn forward(&self, com: DVec3) -> f64 {
        let along = (self.body.legs[0].along + self.body.legs[1].along).normalize_or_zero();
        com.dot(along) / self.body.foot * 100.0
    }

    /// What the estimator is known to add to a point's offset at a depth; nothing where nothing is known.
    #[inline]
    pub(super) fn shift(&self, joint: usize, depth: f64) -> Offset {
        self.shifts[joint].map_or(Offset::default(), |[half, bottom]| {
            let twice = 2.0 * depth.clamp(0.0, 1.0);
            if twice < 1.0 {
                Offset::default().toward(half, twice)
            } else {
                half.toward(bottom, twice - 1.0)
            }
        })
    }

    /// Where a point is at a depth, its offset taken off.
    #[inline]
    pub(super) fn point(&self, pixels: &Pixels, joint: Joint, depth: f64) -> Point {
        let i = joint.index();
        let shift = self.shift(i, depth);
        Some(Sighting {
            at: pixels[i]? - self.offsets[i]? - shift.mean,
            axis: DVec2::X,
            weights: [shift.sd.x, shift.sd.y].map(|sd| self.weight(i, sd)),
        })
    }

    /// Weight of a joint's point whose offset has this standard deviation, 1 / px^2.
    #[inline]
    fn weight(&self, joint: usize, sd: f64) -> f64 {
        1.0 / (self.variances[joint] + sd * sd)
    }

    /// A knee that lies on its shin's axis in the picture: only along it is its place the estimator's.
    fn followed(&self, pixels: &Pixels, side: Side, depth: f64) -> Point {
        let knee = Joint::of(Part::Knee, side).index();
        let axis = self.shin_axis(pixels, side)?;
        let shift = self.shift(knee, depth);
        let off = self.offsets[knee]? + shift.mean;
        let sds = self.knee_sds(axis, shift, depth);
        Some(Sighting {
            at: pixels[knee]? - axis * off.dot(axis),
            axis,
            weights: sds.map(|sd| self.weight(knee, sd)),
        })
    }

    /// Direction of a shin in the picture.
    fn shin_axis(&self, pixels: &Pixels, side: Side) -> Option<DVec2> {
        let at = |p: Part| pixels[Joint::of(p, side).index()];
        (at(Part::Knee)? - at(Part::Ankle)?).try_normalize()
    }

    /// Standard errors of a followed knee along its shin and across it, px.
    fn knee_sds(&self, axis: DVec2, shift: Offset, depth: f64) -> [f64; 2] {
        [
            (shift.sd * axis).length(),
            self.across * depth.clamp(0.0, 1.0),
        ]
    }

    /// Axis and systematic errors along and across it of a joint's point at a depth, px; `None` where nothing is known.
    pub(super) fn systematic(
        &self,
        pixels: &Pixels,
        joint: Joint,
        knees: Knees,
        depth: f64,
    ) -> Option<(DVec2, [f64; 2])> {
        let i = joint.index();
        self.shifts[i]?;
        let shift = self.shift(i, depth);
        let side = joint.side()?;
        if knees == Knees::Followed && joint == Joint::of(Part::Knee, side) {
            let axis = self.shin_axis(pixels, side)?;
            return Some((axis, self.knee_sds(axis, shift, depth)));
        }
        Some((DVec2::X, [shift.sd.x, shift.sd.y]))
    }

    /// Pelvis drop over its standing height as the picture shows it; from the shins when the hips
    /// are not seen.
    #[inline]
    fn drop(&self, pixels: &Pixels) -> Option<Drop> {
        let (mut now, mut then) = (0.0, 0.0);
        for side in Side::BOTH {
            let [hip, ankle] = [Part::Hip, Part::Ankle].map(|p| Joint::of(p, side).index());
            if let (Some(p), Some(p0), Some(a0)) =
                (pixels[hip], self.standing[hip], self.standing[ankle])
            {
                now += a0.y - p.y;
                then += a0.y - p0.y;
            }
        }
        if then > 1.0 {
            return Some(Drop::of_hips(1.0 - now / then));
        }
        let knees = Side::BOTH.map(|s| self.point(pixels, Joint::of(Part::Knee, s), 0.0));
        Drop::of_shins(&self.camera, &self.body, &knees)
    }

    /// Measures of one frame.
    pub fn read(&self, pixels: &Pixels, knees: Knees) -> Reading {
        self.read_in(pixels, knees, &NO_SHIFTS, THOROUGH)
    }

    /// The same for the error budget, which only asks how they change: near enough in fewer rounds.
    /// `shifts` moves the assumptions.
    pub fn read_moved(&self, pixels: &Pixels, knees: Knees, shifts: &Shifts) -> Reading {
        self.read_in(pixels, knees, shifts, MOVED)
    }

    /// Measures of one frame, soon: the legs may be a few tenths of a degree from their best.
    pub fn read_live(&self, pixels: &Pixels, knees: Knees) -> Reading {
        self.read_in(pixels, knees, &NO_SHIFTS, QUICK)
    }

    fn read_in(&self, pixels: &Pixels, how: Knees, shifts: &Shifts, rounds: Rounds) -> Reading {
        let drop = self.drop(pixels);
        let deep = drop.map_or(0.0, Drop::depth);
        let mut out = Reading {
            depth: drop.map(Drop::depth),
            ..Reading::default()
        };
        let (mut knees, mut shins) = ([None; 2], [None; 2]);
        let mut feet: [Option<FootPose>; 2] = [None; 2];
        for side in Side::BOTH {
            let s = side.index();
            let leg = &self.body.legs[s];
            let get = |part: Part| self.point(pixels, Joint::of(part, side), deep);
            let means = &shifts[s * LEG..(s + 1) * LEG];
            let points = [
                get(Part::Heel),
                get(Part::BigToe),
                get(Part::SmallToe),
                get(Part::Ankle),
            ];
            if points.iter().all(Option::is_none) {
                continue;
            }
            let Some(pose) = foot::locate(
                &self.camera,
                leg,
                self.body.foot,
                side.sign(),
                &points,
                means,
                &LEG_SD,
            ) else {
                continue;
            };
            feet[s] = Some(pose);
            out.misfit += pose.misfit;
            if points[0].is_some() || points[1].is_some() {
                let heel = pose.heel.y - leg.heel.y;
                let [big, small] = pose.toe_bases_rise;
                out.rises[s] = Some([heel, big, small]);
                if points[0].is_some() {
                    out.values[Channel::HeelLiftLeft.index() + s] =
                        Some(heel * 1e3).filter(|mm| mm.abs() <= HIGHEST_MM);
                }
                if points[1].is_some() {
                    out.values[Channel::FootRollLeft.index() + s] = Some(pose.roll.to_degrees());
                }
            }
            let knee = match how {
                Knees::Estimated => get(Part::Knee),
                Knees::Followed => self.followed(pixels, side, deep),
            };
            shins[s] = points[3].and(knee).map(|knee| shanks::Shin {
                ankle: pose.ankle,
                knee,
            });
        }
        let drop = drop.unwrap_or(Drop::UNKNOWN);
        let seen = legs::Seen {
            camera: &self.camera,
            body: &self.body,
            shins,
            hips: Side::BOTH.map(|s| self.point(pixels, Joint::of(Part::Hip, s), deep)),
            drop,
            shifts,
            // What an estimator that is known does to the knees is taken off.
            may_slide: self.shifts[Joint::LeftKnee.index()].is_none(),
            rounds: rounds.legs,
        };
        let (solved, pelvis) = seen.solve();
        out.apart = solved.apart;
        out.second = solved.second;
        out.slide = solved.slide;
        out.misfit += solved.misfit;
        for (s, knee) in solved.legs.into_iter().enumerate() {
            if let Some((place, inward)) = knee {
                knees[s] = Some(place);
                out.values[Channel::KneeInLeft.index() + s] = Some(inward.to_degrees());
            }
        }
        out.values[Channel::THIGH] = pelvis
            .as_ref()
            .and_then(|pelvis| inclination(&knees, pelvis));
        let com = pelvis.and_then(|below| {
            let shoulders =
                Side::BOTH.map(|s| self.point(pixels, Joint::of(Part::Shoulder, s), deep));
            let (camera, body, rounds) = (&self.camera, &self.body, rounds.chest);
            let (above, misfit) =
                trunk::chest(camera, body, below.middle, shoulders, drop, shifts, rounds)?;
            let com = self.balance((pixels, deep), shifts, &feet, knees, [below, above])?;
            Some((com, misfit))
        });
        if let Some((com, misfit)) = com {
            out.misfit += misfit;
            out.com = Some(com);
            out.values[Channel::Forward.index()] = Some(self.forward(com));
            // Where quiet standing puts the load: 40 to 50 % of the foot from the heel (Winter).
            let [l, r] = [0, 1].map(|s| {
                let leg = &self.body.legs[s];
                leg.heel + leg.along * (0.4 * self.body.foot)
            });
            let across = DVec3::new(l.x - r.x, 0.0, l.z - r.z).normalize_or_zero();
            out.values[Channel::LoadLeft.index()] =
                com::left_share(com.dot(across), l.dot(across), r.dot(across))
                    // A foot carries nothing less than nothing, and no more than all.
                    .map(|v| v.clamp(0.0, 1.0) * 100.0);
        }
        for (value, base) in out.values.iter_mut().zip(self.base) {
            *value = value.map(|v| v - base).filter(|v| v.is_finite());
        }
        out
    }
}

/// Mean inclination of the thighs that are seen, degrees below level: + = the hip joint is lower than
/// the knee joint.
fn inclination(knees: &[Option<DVec3>; 2], pelvis: &trunk::Pair) -> Option<f64> {
    let (mut sum, mut seen) = (0.0, 0.0);
    for (knee, hip) in knees.iter().zip(pelvis.ends) {
        if let Some(knee) = knee {
            let thigh = *knee - hip;
            let across = crate::angle::hypot(thigh.x, thigh.z);
            sum += libm::atan2(thigh.y, across).to_degrees();
            seen += 1.0;
        }
    }
    (seen > 0.0).then(|| sum / seen)
}
