//! One frame's pixels become places in the lifter's world and the eight measures.

use super::assumed::{LEG, Shifts, Upper};
use super::channel::Channel;
use super::com::{self, Balance, Sex};
use super::foot::{self, FootPose};
use super::limbs::{self, Drop};
use crate::keypoints::{Carry, Joint, Load, Part, Setup, Side};
use crate::standing::{Body, Camera, StandingFit, camera_of, priors::Unknowns};
use glam::{DVec2, DVec3};

/// Pixels of one frame, by [`Joint::index`].
pub(crate) type Pixels = [Option<DVec2>; Joint::COUNT];

/// Everything that turns pixels into measures; fixed while the feet stay planted.
#[derive(Clone, Debug)]
pub(crate) struct Geometry {
    pub camera: Camera,
    pub body: Body,
    /// Keypoint less the joint's place in the fit, standing, px: taken off in every frame.
    offsets: Pixels,
    weights: [f64; Joint::COUNT],
    standing: Pixels,
    load: Load,
    base: [f64; Channel::COUNT],
}

/// What one frame gives. Values are relative to standing, the load share absolute.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Reading {
    pub values: [Option<f64>; Channel::COUNT],
    /// Heel, big-toe base and little-toe base above their standing height, m, by side.
    pub rises: [Option<[f64; 3]>; 2],
    /// 0 standing, 1 at the bottom of a deep squat.
    pub depth: Option<f64>,
    /// Mean change of the logarithm of the shanks' apparent lengths against standing.
    pub slide: f64,
    /// Weighted sum of squares of what the points and the assumptions leave unexplained.
    pub misfit: f64,
}

const NO_SHIFTS: Shifts = [0.0; super::assumed::COUNT];
/// Body mass where none is given: 24 kg per m^2 of stature, the middle of the usual range.
const MASS_PER_STATURE_2: f64 = 24.0;

impl Geometry {
    /// Geometry of unknowns that may differ a little from the fit's own.
    pub fn new(
        fit: &StandingFit,
        unknowns: &Unknowns,
        setup: &Setup,
        weights: [f64; Joint::COUNT],
    ) -> Self {
        let camera = camera_of(unknowns, fit.camera.centre);
        let body = Body::new(unknowns, fit.one_toe());
        let offsets = Joint::ALL.map(|j| {
            let seen = fit.seen[j.index()]?;
            Some(seen - camera.project(body.joint(j)?)?)
        });
        let mut new = Self {
            camera,
            body,
            offsets,
            weights,
            standing: fit.seen,
            load: setup.load,
            base: [0.0; Channel::COUNT],
        };
        let at_rest = new.read(&fit.seen, &NO_SHIFTS);
        for (base, value) in new.base.iter_mut().zip(at_rest.values) {
            *base = value.unwrap_or(0.0);
        }
        new.base[Channel::LoadLeft.index()] = 0.0;
        new
    }

    #[inline]
    fn point(&self, pixels: &Pixels, joint: Joint) -> limbs::Point {
        let i = joint.index();
        Some((pixels[i]? - self.offsets[i]?, self.weights[i]))
    }

    /// Pelvis drop over its standing height as the picture shows it; from the shins when the hips
    /// are not seen.
    #[inline]
    fn drop(&self, pixels: &Pixels) -> Option<Drop> {
        let rise = |part: Part| {
            let (mut now, mut then) = (0.0, 0.0);
            for side in Side::BOTH {
                let (upper, ankle) = (
                    Joint::of(part, side).index(),
                    Joint::of(Part::Ankle, side).index(),
                );
                if let (Some(p), Some(p0), Some(a0)) =
                    (pixels[upper], self.standing[upper], self.standing[ankle])
                {
                    now += a0.y - p.y;
                    then += a0.y - p0.y;
                }
            }
            (then > 1.0).then(|| now / then)
        };
        if let Some(ratio) = rise(Part::Hip) {
            return Some(Drop {
                share: (1.0 - ratio).clamp(-0.1, 0.9),
                by_hips: true,
            });
        }
        let lean = (self.body.legs[0].lean + self.body.legs[1].lean) / 2.0;
        rise(Part::Knee).map(|ratio| Drop::of_shins(ratio, lean))
    }

    /// Measures of one frame; `shifts` moves the assumptions for the error budget.
    pub fn read(&self, pixels: &Pixels, shifts: &Shifts) -> Reading {
        let drop = self.drop(pixels);
        let mut out = Reading {
            depth: drop.map(Drop::depth),
            ..Reading::default()
        };
        let (mut knees, mut shins) = ([None; 2], [None; 2]);
        let mut feet: [Option<FootPose>; 2] = [None; 2];
        for side in Side::BOTH {
            let s = side.index();
            let leg = &self.body.legs[s];
            let get = |part: Part| self.point(pixels, Joint::of(part, side));
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
                    out.values[Channel::HeelLiftLeft.index() + s] = Some(heel * 1e3);
                }
                if points[1].is_some() {
                    out.values[Channel::FootRollLeft.index() + s] = Some(pose.roll.to_degrees());
                }
            }
            shins[s] = points[3].and(get(Part::Knee)).map(|knee| limbs::Shin {
                ankle: pose.ankle,
                knee,
            });
        }
        let drop = drop.unwrap_or(Drop {
            share: 0.0,
            by_hips: false,
        });
        let solved = limbs::knees(&self.camera, &self.body, &shins, drop, shifts);
        out.slide = solved.slide;
        out.misfit += solved.misfit;
        for (s, knee) in solved.legs.into_iter().enumerate() {
            if let Some((place, inward)) = knee {
                knees[s] = Some(place);
                out.values[Channel::KneeInLeft.index() + s] =
                    Some((inward - self.body.legs[s].inward).to_degrees());
            }
        }
        if let Some((com, misfit)) = self.balance(pixels, shifts, &feet, knees, drop) {
            out.misfit += misfit;
            let along = (self.body.legs[0].along + self.body.legs[1].along).normalize_or_zero();
            out.values[Channel::Forward.index()] = Some(com.dot(along) / self.body.foot * 100.0);
            // Where quiet standing puts the load: 40 to 50 % of the foot from the heel (Winter).
            let [l, r] = [0, 1].map(|s| {
                let leg = &self.body.legs[s];
                leg.heel + leg.along * (0.4 * self.body.foot)
            });
            let across = DVec3::new(l.x - r.x, 0.0, l.z - r.z).normalize_or_zero();
            out.values[Channel::LoadLeft.index()] =
                com::left_share(com.dot(across), l.dot(across), r.dot(across)).map(|v| v * 100.0);
        }
        for (value, base) in out.values.iter_mut().zip(self.base) {
            *value = value.map(|v| v - base).filter(|v| v.is_finite());
        }
        out
    }

    fn balance(
        &self,
        pixels: &Pixels,
        shifts: &Shifts,
        feet: &[Option<FootPose>; 2],
        knees: [Option<DVec3>; 2],
        drop: Drop,
    ) -> Option<(DVec3, f64)> {
        let pair = |part: Part| Side::BOTH.map(|s| self.point(pixels, Joint::of(part, s)));
        let (camera, body) = (&self.camera, &self.body);
        let below = limbs::pelvis(camera, body, knees, pair(Part::Hip), drop, shifts)?;
        let (pelvis, hips) = (below.middle, below.ends);
        let above = limbs::chest(camera, body, pelvis, pair(Part::Shoulder), drop, shifts)?;
        let (chest, shoulders) = (above.middle, above.ends);
        let up = (chest - pelvis).normalize_or(DVec3::Y);
        let mut balance = Balance::new(Sex::Mean);
        balance.add(&com::TRUNK, chest, pelvis);
        // The head's centre is near the ears (de Leva: 0.6 of the way from the vertex to the jaw).
        let ears = [Joint::LeftEar, Joint::RightEar].map(|j| self.point(pixels, j));
        let head = match (ears, self.point(pixels, Joint::Nose)) {
            ([Some(a), Some(b)], _) => Some(((a.0 + b.0) / 2.0, 0.02)),
            (_, Some(nose)) => Some((nose.0, 0.085)),
            ([a, b], None) => a.or(b).map(|p| (p.0, 0.02)),
        };
        let stature = body.stature;
        let rest = chest + up * (0.12 * stature);
        let head_at = head.map_or(rest, |(px, ahead)| {
            let front = DVec3::Z * (ahead * stature);
            camera.at_depth(px, camera.depth(rest + front)) - front
        });
        balance.add_at(
            0.0681,
            if head_at.distance(chest) < 0.3 * stature {
                head_at
            } else {
                rest
            },
        );
        let mut hands = [None; 2];
        for side in Side::BOTH {
            let s = side.index();
            let leg = &body.legs[s];
            let knee = knees[s].unwrap_or_else(|| {
                let other = knees[1 - s].unwrap_or(leg.knee);
                DVec3::new(leg.knee.x, other.y, other.z)
            });
            let (ankle, heel) = feet[s].map_or((leg.ankle, leg.heel), |f| (f.ankle, f.heel));
            balance.add(&com::THIGH, hips[s], knee);
            balance.add(&com::SHANK, knee, ankle);
            balance.add(&com::FOOT, heel, leg.heel + leg.along * body.foot);
            // Drillis & Contini: upper arm 0.186, forearm 0.146 of stature.
            let limb = |from: DVec3, length: f64, part: Part| {
                let px = pixels[Joint::of(part, side).index()]?;
                self.standing[Joint::of(part, side).index()]?;
                Some(limbs::tip(camera, from, length * stature, px))
            };
            let shoulder = shoulders[s];
            let elbow = limb(shoulder, 0.186, Part::Elbow);
            let wrist = elbow.and_then(|e| limb(e, 0.146, Part::Wrist));
            hands[s] = wrist;
            let elbow = elbow.unwrap_or(shoulder - DVec3::Y * (0.13 * stature));
            let wrist = wrist.unwrap_or(elbow);
            balance.add(&com::UPPER_ARM, shoulder, elbow);
            balance.add(&com::FOREARM, elbow, wrist);
            balance.add(&com::HAND, wrist, wrist + (wrist - elbow) * 0.2);
        }
        if let Some(bar) = self.load.bar_kg.filter(|kg| kg.is_finite() && *kg > 0.0) {
            let own = MASS_PER_STATURE_2 * stature * stature;
            let kg = self.load.body_kg.filter(|kg| *kg > 10.0).unwrap_or(own);
            let hand = match hands {
                [Some(a), Some(b)] => Some((a + b) / 2.0),
                [a, b] => a.or(b),
            };
            let forward = DVec3::X.cross(up).normalize_or_zero();
            let raised = shifts[2 * LEG + Upper::Bar as usize];
            let at = match self.load.carry {
                // On the back it lies behind and above the shoulders' centres, on the front ahead
                // of them (common practice, no source; how high varies, see `Upper::Bar`).
                Carry::Back => {
                    Some(chest + up * (0.018 * stature + raised) - forward * (0.03 * stature))
                }
                Carry::Front => {
                    Some(chest + up * (0.012 * stature + raised) + forward * (0.05 * stature))
                }
                Carry::Overhead => hand,
                Carry::Goblet => hand.or(Some(chest + (forward * 0.12 - up * 0.08) * stature)),
                Carry::None => None,
            };
            if let Some(at) = at {
                balance.add_at(bar / kg, at);
            }
        }
        let centre = balance.centre().filter(|c| c.is_finite())?;
        Some((centre, below.misfit + above.misfit))
    }

    /// Where the pixels of a plain squat of this depth would be (0 standing, 1 deep): for telling
    /// in advance how well each measure can be seen.
    pub fn imagine(&self, depth: f64) -> Pixels {
        let mut places: [Option<DVec3>; Joint::COUNT] = Joint::ALL.map(|j| self.body.joint(j));
        let mut knees = [DVec3::ZERO; 2];
        for side in Side::BOTH {
            let leg = &self.body.legs[side.index()];
            let lean = leg.lean + limbs::lean_at(0.52 * depth);
            let arm = crate::standing::body::shankward(leg.along, leg.medial, lean, leg.inward);
            let knee = leg.ankle + arm * self.body.shank;
            knees[side.index()] = knee;
            places[Joint::of(Part::Knee, side).index()] = Some(knee);
        }
        let middle = (knees[0] + knees[1]) / 2.0;
        let (s, c) = (0.07 + 1.5 * depth).sin_cos();
        let flat = 0.9 * self.body.thigh;
        let pelvis = DVec3::new(self.body.pelvis.x, middle.y + flat * c, middle.z - flat * s);
        let (s, c) = (self.body.trunk_lean[0] + 0.6 * depth).sin_cos();
        let chest = pelvis + DVec3::new(0.0, c, s) * self.body.trunk;
        for joint in Joint::ALL {
            let place = &mut places[joint.index()];
            let Some(p) = *place else { continue };
            if joint.index() <= Joint::RightShoulder.index() {
                *place = Some(p - self.body.chest + chest);
            } else if joint == Joint::LeftHip || joint == Joint::RightHip {
                *place = Some(p - self.body.pelvis + pelvis);
            }
        }
        Joint::ALL.map(|j| {
            let i = j.index();
            Some(self.camera.project(places[i]?)? + self.offsets[i]?)
        })
    }
}
