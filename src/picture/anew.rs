//! A foot that was set a few centimetres elsewhere: noticed, and learnt where it stands now.

use super::attempt::Attempt;
use super::grey::GreyView;
use super::motion::{Part, SHAKE, SLIP, Stance, TURN, Unknowns};
use super::tracker::FootTracker;
use crate::standing::body::Body;
use crate::standing::camera::Camera;
use glam::{DVec2, DVec3};

/// Where a foot is looked for, along and across it: at so many places each way, this far apart, m.
const PLACES: i32 = 2;
const APART: f64 = 0.025;
/// How far it is taken to be turned where it isn't found otherwise, rad.
const TURNED: f64 = 0.17;
/// Part of the foot's trusted patches that must agree on where it is now (in drawn feet 0.88 and more
/// do of one that was set elsewhere, 0.7 of one with a heel 25 mm up).
const FOUND: f64 = 0.8;
/// Part that is enough of one that turned by more than so much, rad, seen along itself: it shows other sides
/// of itself then (0.54 to 0.86 of drawn feet turned by 10 degrees), and a lift looks like no turn there.
const SEEN_ALONG: (f64, f64, f64) = (0.52, 0.1, 0.6);
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
        let told = shake;
        let shake = shake.unwrap_or_default();
        seeker.take(standing.last()?)?;
        let mut best: Option<Attempt> = None;
        for turn in [0.0, TURNED, -TURNED] {
            for along in -PLACES..=PLACES {
                for across in -PLACES..=PLACES {
                    let mut q = Unknowns::zeros();
                    q[SLIP] = f64::from(along) * APART;
                    q[SLIP + 1] = f64::from(across) * APART;
                    q[TURN] = turn;
                    (q[SHAKE], q[SHAKE + 1]) = (shake.x, shake.y);
                    seeker.consider(&q, true, told, &mut best);
                }
            }
            if best
                .as_ref()
                .is_some_and(|a| a.share_of(&Part::OF_FOOT) >= FOUND)
            {
                break;
            }
        }
        let found = best?;
        let q = found.fitted.q;
        let went = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        let strayed = went.distance(shake) / self.reference.scale > STEADY;
        let (least, turned, along) = SEEN_ALONG;
        let other = q[TURN].abs() > turned && self.kinematics.endwise() > along;
        let least = if other { least } else { FOUND };
        if found.share_of(&Part::OF_FOOT) < least || strayed || !found.plausible() {
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
        let mut tracker =
            Self::anchor_known(self.side, camera, &body, self.known, standing).ok()?;
        tracker.set_by = set_by;
        Some(Stood::Anew(Box::new(tracker), went))
    }
}
