//! The centre of mass in one frame, from the joints' places.

use super::arms;
use super::assumed::{LEG, Shifts, Upper};
use super::com::{self, Balance, Sex};
use super::foot::FootPose;
use super::geometry::{Geometry, Pixels};
use super::shanks::grown;
use super::trunk::Pair;
use crate::keypoints::{Carry, Joint, Part, Side};
use crate::pose::mean;
use glam::DVec3;

/// Body mass where none is given: 24 kg per m^2 of stature, the middle of the usual range.
const MASS_PER_STATURE_2: f64 = 24.0;

impl Geometry {
    /// Centre of mass (with the bar) of a lifter whose pelvis and chest are known.
    pub(super) fn balance(
        &self,
        (pixels, depth): (&Pixels, f64),
        shifts: &Shifts,
        feet: &[Option<FootPose>; 2],
        knees: [Option<DVec3>; 2],
        [below, above]: [Pair; 2],
    ) -> Option<DVec3> {
        let (camera, body) = (&self.camera, &self.body);
        let (pelvis, hips) = (below.middle, below.ends);
        let (chest, shoulders) = (above.middle, above.ends);
        let up = (chest - pelvis).normalize_or(DVec3::Y);
        let mut balance = Balance::new(Sex::Mean);
        balance.add(&com::TRUNK, chest, pelvis);
        // The head's centre is near the ears (de Leva: 0.6 of the way from the vertex to the jaw).
        let ears = [Joint::LeftEar, Joint::RightEar].map(|j| self.point(pixels, j, depth));
        let head = match (ears, self.point(pixels, Joint::Nose, depth)) {
            ([Some(a), Some(b)], _) => Some(((a.at + b.at) / 2.0, 0.02)),
            (_, Some(nose)) => Some((nose.at, 0.085)),
            ([a, b], None) => a.or(b).map(|p| (p.at, 0.02)),
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
        let longer = grown(shifts[2 * LEG + Upper::Arms as usize]);
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
            let shoulder = shoulders[s];
            let seen = [Part::Elbow, Part::Wrist].map(|part| {
                let i = Joint::of(part, side).index();
                self.standing[i].and(pixels[i])
            });
            let lengths = self.arms[s].map(|l| l * longer);
            let [elbow, wrist] = arms::arm(camera, shoulder, lengths, seen, self.load.carry);
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
            let hand = mean(hands);
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
        balance.centre().filter(|c| c.is_finite())
    }
}
