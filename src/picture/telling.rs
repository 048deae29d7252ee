//! Puts a fitted motion into words and numbers, and says why when there is none.

use super::attempt::Attempt;
use super::motion::{Covariance, EDGE_SD, Fitted, Part, ROLL, SHAKE, SLIP, Unknowns};
use super::outcome::{FootMotion, Lost};
use super::tracker::{FootTracker, SUPPORT};
use crate::keypoints::Footwear;
use crate::measures::Estimate;
use crate::standing::body::Leg;
use glam::{DVec2, DVec3};

/// Fewest patches behind the ball that a lift or a roll is read from: a rear foot with less is
/// mostly hidden, by the other foot as a rule. So many of them tell where they agree, however few that is of all.
const ENOUGH: usize = 8;
const AGREE: usize = 6;
/// The same of a foot that the other one hides in part, of which a lift is still told; and what such a lift errs by,
/// of itself and mm, by what is worn as [`SLIDE`]: a shoe's sole and stripes are followed better than skin.
/// measured: 2026-12-01, far feet of 16 rendered people from the side
const AGREE_HIDDEN: usize = 4;
const HIDDEN_FOOT: [[f64; 2]; 3] = [[0.25, 6.0], [0.25, 6.0], [0.25, 3.0]];
/// Contrast of a patch, of its contrast in standing, below which its texture is gone.
const WEAK: f32 = 0.45;
/// Brightness, of that in standing, below which it is dark, and within which it is still the foot's.
const DARK: f32 = 0.3;
const LIT: std::ops::Range<f32> = 0.62..1.4;
/// A rounded foot's outline and shading slide over its skin as it rolls, as if they belonged to
/// points nearer its axis: a roll looks smaller than it is by this factor, give or take this much; of a foot that is small
/// in the picture, and of a large one. By what is worn (not known, bare feet, shoes), seen from the toes and from behind.
/// measured: 2026-11-30, 40 feet of rendered people and close-ups that rolled over 3 degrees; moved by hand toward what 150
/// people gave before, because some of these groups are only four feet
const SLIDE: [[[f64; 4]; 2]; 3] = [
    [[0.52, 0.20, 0.66, 0.16], [0.70, 0.25, 0.82, 0.14]],
    [[0.40, 0.15, 0.62, 0.16], [0.50, 0.16, 0.78, 0.12]],
    [[0.58, 0.17, 0.68, 0.13], [0.87, 0.12, 0.85, 0.09]],
];
/// Lengths in the picture of a small and a large foot, px.
/// measured: the medians of whole bodies and of close-ups, as [`SLIDE`]
const SIZES: [f64; 2] = [90.0, 160.0];
/// How much the camera may look at the toes for a lift to be told (cosine squared of the bearing
/// from the foot's axis; about 10 degrees off). Nearer the front the heel is hidden, and the instep
/// hardly shows what happens behind it: 26 mm read 2 there.
const TOEWARD: f64 = 0.97;
/// Error of a lift seen wholly from the toes, mm; and the error, but for its size, at which a lift counts
/// as unseen (drawn bare feet on concrete: 31 mm read 3 with an error of 7).
const HIDDEN_SD: f64 = 4.5;
const LARGEST_SD: f64 = 6.5;
/// A lift looks smaller than it is: behind the foot by this part, and from in front from the first bearing on, in
/// [`TOEWARD`]'s measure, down to nothing at the second; and what that differs by, as a part of the lift. Measured:
/// 2026-11-30, 50 rendered people, lifts over 10 mm; the bearings moved by the 5 degrees that the foot's line was then off.
const GAIN_BEHIND: [f64; 2] = [0.2, 0.12];
const GAIN_AHEAD: [f64; 3] = [0.93, 1.03, 0.3];
/// A foot that rolls outward turns about its outer edge: seen from the toes its heel comes up by this, mm a degree, give
/// or take the half.
const EDGE_LIFT: f64 = 0.9;
/// A roll of usual size, rad: from the side it is not seen, and lifts the edge that is.
/// tuned: to common practice, no source: about half of the line of 6 degrees either way
const ROLL_UNSEEN: f64 = 0.09;
/// How far that edge lies from the axis of the roll, in foot lengths.
/// tuned: to common practice, no source: half the foot's breadth and the axis' own place, see `EDGE`
pub(super) const NEAR_EDGE: f64 = 0.2;
/// The same for a roll, degrees; and how much the camera must look along the foot to tell one (its
/// sine squared, about 63 degrees off): from the side a roll looks like a lift.
const LARGEST_ROLL_SD: f64 = 6.0;
/// What a roll as it looks errs by however well the patches agree: some of them lean with the shank.
/// measured: as [`SLIDE`], on feet that stayed level
const LEANING_SD: f64 = 0.7;
pub(super) const ENDWISE: f64 = 0.2;
/// Error of a length that the standing fit leaves, as a part of it.
const SCALE_SD: f64 = 0.04;

/// Patches overlap and share their errors, and yet the fit says too much of them: factors of its covariance that make
/// errors over standard errors 1, for lifts and for rolls.
/// measured: as [`SLIDE`]
const SHARED: f64 = 1.3;
const SHARED_ROLL: f64 = 0.6;

impl FootTracker {
    /// Why the foot was not found in the frame at hand.
    pub(super) fn why(&self) -> Lost {
        let (mut n, mut weak, mut dark, mut other) = (0usize, 0usize, 0usize, 0usize);
        for (f, found) in self.reference.features.iter().zip(&self.found) {
            let (Some(patch), Some(found)) = (&f.patches[0], found) else {
                continue;
            };
            if f.part == Part::Floor {
                continue;
            }
            n += 1;
            let light = (patch.mean + found.brighter) / patch.mean.max(1.0);
            weak += usize::from(found.gain < WEAK);
            dark += usize::from(light < DARK);
            other += usize::from(!(LIT.contains(&light)));
        }
        if 2 * weak <= n {
            Lost::Covered
        } else if 2 * dark > n {
            Lost::Dark
        } else if 3 * other > n {
            // Flat, but not as bright as the foot: something plain is in front of it.
            Lost::Covered
        } else {
            Lost::Blurred
        }
    }

    pub(super) fn report(&self, attempt: &Attempt, rear: f64) -> FootMotion {
        let fitted = Fitted {
            covariance: attempt.fitted.covariance * SHARED,
            ..attempt.fitted
        };
        let (q, c): (&Unknowns, &Covariance) = (&fitted.q, &fitted.covariance);
        let sd = |i: usize| c[(i, i)].max(0.0).sqrt();
        let slip = |i: usize| Estimate {
            value: 1000.0 * q[i],
            sd: 1000.0 * sd(i),
        };
        let worn = self
            .known
            .worn
            .map_or(0, |w| 1 + usize::from(w != Footwear::Barefoot));
        let long = 1000.0 * self.kinematics.foot_m * self.px_per_mm();
        let large = ((long - SIZES[0]) / (SIZES[1] - SIZES[0])).clamp(0.0, 1.0);
        let [small, small_sd, most, most_sd] =
            SLIDE[worn][usize::from(self.kinematics.toeward() == 0.0)];
        let slide = small + (most - small) * large;
        let slide_sd = small_sd + (most_sd - small_sd) * large;
        let mut lift = self.kinematics.heel_lift(&fitted, slide);
        let hidden = HIDDEN_SD * self.kinematics.toeward();
        lift.sd = crate::angle::hypot(lift.sd, hidden);
        let told = lift.sd < LARGEST_SD;
        let roll = q[ROLL].to_degrees() / slide;
        let own = self.kinematics.roll_sd(&attempt.fitted) * SHARED_ROLL.sqrt();
        let own = crate::angle::hypot(own.to_degrees(), LEANING_SD) / slide;
        let turned = own < LARGEST_ROLL_SD;
        let roll = Estimate {
            value: roll,
            sd: crate::angle::hypot(own, slide_sd / slide * roll),
        };
        let over = 1000.0 * EDGE_SD * self.kinematics.foot_m * q[ROLL] / slide;
        lift.sd = crate::angle::hypot(lift.sd, over);
        let (toeward, endwise) = (self.kinematics.toeward(), self.kinematics.endwise());
        let edge = if toeward > 0.5 {
            EDGE_LIFT * roll.value.min(0.0)
        } else {
            0.0
        };
        lift.value += edge;
        // A heel that is down can't have been lifted by it.
        let aside = 1000.0 * ROLL_UNSEEN * NEAR_EDGE * self.kinematics.foot_m * (1.0 - endwise);
        lift.sd = crate::angle::hypot(lift.sd, aside.min(lift.value.abs()));
        lift.sd = crate::angle::hypot(lift.sd, 0.5 * edge);
        let [gain, differs] = if toeward > 0.0 {
            let [from, to, differs] = GAIN_AHEAD;
            let beyond = ((toeward - from) / (to - from)).max(0.0);
            [1.0 - beyond, if beyond > 0.0 { differs } else { SCALE_SD }]
        } else {
            let [less, differs] = GAIN_BEHIND;
            [1.0 - less * endwise, differs * endwise]
        };
        lift.value /= gain;
        lift.sd = crate::angle::hypot(lift.sd / gain, differs / gain * lift.value);
        lift.sd = crate::angle::hypot(lift.sd, SCALE_SD * lift.value);
        if self.hidden {
            let [of_it, more] = HIDDEN_FOOT[worn];
            lift.sd = crate::angle::hypot(lift.sd, crate::angle::hypot(of_it * lift.value, more));
        }
        let leg: &Leg = &self.kinematics.leg;
        let foot = self.kinematics.foot_m;
        // Where the foot meets the floor: the back of the heel; the toes' bases at the ball, a
        // quarter of foot length apart, on the axis' inner third.
        let contact = |part, ahead: f64, across: f64| {
            let heel = DVec3::new(leg.heel.x, 0.0, leg.heel.z);
            let at = heel + (leg.along * ahead + leg.medial * across) * foot;
            let seen = self.kinematics.picture_of(q, part, at)?;
            Some(seen + DVec2::Y * self.reference.habit)
        };
        let mut agreeing = [0; Part::COUNT];
        let mut patches = [0; Part::COUNT];
        for (p, f) in self.best.iter().zip(&self.reference.features) {
            patches[f.part as usize] += 1;
            agreeing[p.part as usize] += usize::from(p.trust > 0.0 && p.weight > 0.25);
        }
        let agree = agreeing[Part::Rear as usize];
        let enough = patches[Part::Rear as usize] >= ENOUGH;
        let held = enough && (rear >= SUPPORT || agree >= AGREE);
        let seen = held && !self.hidden;
        let both = |n: &[usize; Part::COUNT]| n[Part::Rear as usize] + n[Part::Bend as usize];
        let partly = self.hidden && both(&patches) >= ENOUGH && both(&agreeing) >= AGREE_HIDDEN;
        FootMotion {
            heel_lift_mm: ((seen || partly) && told && toeward < TOEWARD).then_some(lift),
            foot_roll_deg: (seen && turned && endwise > ENDWISE).then_some(roll),
            slip_mm: [slip(SLIP), slip(SLIP + 1)],
            shake_px: DVec2::new(q[SHAKE], q[SHAKE + 1]),
            contacts_px: [
                contact(Part::Rear, 0.0, 0.0).filter(|_| seen),
                contact(Part::Fore, 0.74, 0.1),
                contact(Part::Fore, 0.64, -0.18),
            ],
            agreeing,
            patches,
            set_by: (self.set_by != DVec3::ZERO).then(|| self.set_by.to_array()),
        }
    }
}
