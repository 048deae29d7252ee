//! The pixels that a plain squat would have.

use super::drop::{DEEP_DROP, knee_at, lean_at};
use super::geometry::{Geometry, Pixels};
use crate::angle::sin_cos;
use crate::keypoints::{Joint, Part, Side};
use glam::DVec3;

impl Geometry {
    /// Where the pixels of a plain squat of this depth would be (0 standing, 1 deep): for telling
    /// in advance how well each measure can be seen.
    pub fn imagine(&self, depth: f64) -> Pixels {
        let mut places: [Option<DVec3>; Joint::COUNT] = Joint::ALL.map(|j| self.body.joint(j));
        let mut knees = [DVec3::ZERO; 2];
        for side in Side::BOTH {
            let leg = &self.body.legs[side.index()];
            let knee = knee_at(&self.body, leg, lean_at(DEEP_DROP * depth));
            knees[side.index()] = knee;
            places[Joint::of(Part::Knee, side).index()] = Some(knee);
        }
        let middle = (knees[0] + knees[1]) / 2.0;
        let (s, c) = sin_cos(0.07 + 1.5 * depth);
        let flat = 0.9 * self.body.thigh;
        let pelvis = DVec3::new(self.body.pelvis.x, middle.y + flat * c, middle.z - flat * s);
        let (s, c) = sin_cos(self.body.trunk_lean[0] + 0.6 * depth);
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
            let more = self.shift(i, depth).mean;
            Some(self.camera.project(places[i]?)? + self.offsets[i]? + more)
        })
    }
}
