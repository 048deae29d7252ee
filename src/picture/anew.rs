//! A foot that was set a few centimetres elsewhere: noticed, and learnt where it stands now.

use super::attempt::Attempt;
use super::grey::GreyView;
use super::motion::{SHAKE, SLIP, Stance, TURN, Unknowns};
use super::tracker::FootTracker;
use crate::standing::body::Body;
use crate::standing::camera::Camera;
use glam::{DVec2, DVec3};

/// Where a foot is looked for, along and across it: at so many places each way, this far apart, m.
const PLACES: i32 = 2;
const APART: f64 = 0.025;
/// Part of the foot's trusted patches that must agree on where it is now (in drawn feet 0.88 and more
/// do of one that was set elsewhere, 0.7 of one with a heel 25 mm up).
const FOUND: f64 = 0.8;
/// Furthest that the camera may have gone, px of the crop.
const STEADY: f64 = 6.0;
/// Nearer to its old place than this, m and rad, or than its standard error, a foot still stands there
/// (drawn feet that stood there read up to 7 mm, seen from behind with an error of 20).
const THERE: (f64, f64) = (0.01, 0.05);

/// Where a foot stands that was thought to have been set elsewhere.
pub(super) enum Stood {
    /// Where it did before.
    There,
    /// Elsewhere; followed from there on. The camera's shake then, px.
    Anew(Box<FootTracker>, DVec2),
}

impl FootTracker {
    /// How far the foot has been set from where it was first learnt: along itself, and toward the
    /// other foot, mm. Nothing before [`Self::learnt_anew`] found it elsewhere.
    pub fn set_by_mm(&self) -> DVec2 {
        self.set_by.truncate()
    }

    /// The foot learnt anew from crops of quiet standing, its heel down, after it was set up to
    /// about 6 cm elsewhere; `None` when it can't be found again, or stands where it did. `camera`
    /// and `body` are those of the standing fit that it was learnt with.
    pub fn learnt_anew(
        &self,
        camera: &Camera,
        body: &Body,
        standing: &[GreyView<'_>],
    ) -> Option<Self> {
        match self.stood(camera, body, standing, None)? {
            Stood::There => None,
            Stood::Anew(tracker, _) => Some(*tracker),
        }
    }

    /// Looks for the foot near its old place; `None` when it isn't found. `shake` is the camera's in
    /// the last crop, px, when something else tells it.
    pub(super) fn stood(
        &self,
        camera: &Camera,
        body: &Body,
        standing: &[GreyView<'_>],
        shake: Option<DVec2>,
    ) -> Option<Stood> {
        let mut seeker = self.clone();
        seeker.kinematics.stance = Stance::Anew;
        seeker.kinematics.shake = shake;
        let shake = shake.unwrap_or_default();
        seeker.take(standing.last()?)?;
        let mut best: Option<Attempt> = None;
        for along in -PLACES..=PLACES {
            for across in -PLACES..=PLACES {
                let mut q = Unknowns::zeros();
                q[SLIP] = f64::from(along) * APART;
                q[SLIP + 1] = f64::from(across) * APART;
                (q[SHAKE], q[SHAKE + 1]) = (shake.x, shake.y);
                seeker.consider(&q, true, &mut best);
            }
        }
        let found = best?;
        let q = found.fitted.q;
        let went = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        let strayed = went.distance(shake) / self.reference.scale > STEADY;
        if found.share_of_foot() < FOUND || strayed || !found.plausible() {
            return None;
        }
        let sd = found.fitted.covariance.diagonal().map(f64::sqrt);
        let near = |i: usize, there: f64| q[i].abs() < there.max(sd[i]);
        if near(SLIP, THERE.0) && near(SLIP + 1, THERE.0) && near(TURN, THERE.1) {
            return Some(Stood::There);
        }
        let (mut body, mut leg) = (*body, self.kinematics.leg);
        let out = self.kinematics.sign * q[TURN].to_degrees();
        let set_by = self.set_by + DVec3::new(1000.0 * q[SLIP], 1000.0 * q[SLIP + 1], out);
        let shift = leg.along * q[SLIP] + leg.medial * q[SLIP + 1];
        let turn = crate::angle::turn(DVec3::Y, q[TURN]);
        (leg.along, leg.medial) = (turn * leg.along, turn * leg.medial);
        let about = leg.ball;
        for point in [
            &mut leg.ball,
            &mut leg.heel,
            &mut leg.big_toe,
            &mut leg.small_toe,
            &mut leg.ankle,
        ] {
            *point = about + shift + turn * (*point - about);
        }
        body.legs[self.side.index()] = leg;
        let mut tracker = Self::anchor_worn(self.side, camera, &body, self.worn, standing).ok()?;
        tracker.set_by = set_by;
        Some(Stood::Anew(Box::new(tracker), went))
    }
}
