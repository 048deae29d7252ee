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
/// mostly hidden, by the other foot as a rule.
const ENOUGH: usize = 8;
/// Contrast of a patch, of its contrast in standing, below which its texture is gone.
const WEAK: f32 = 0.45;
/// Brightness, of that in standing, below which it is dark, and within which it is still the foot's.
const DARK: f32 = 0.3;
const LIT: std::ops::Range<f32> = 0.62..1.4;
/// A rounded foot's outline and shading slide over its skin as it rolls, as if they belonged to
/// points nearer its axis: a roll looks smaller than it is by this factor, give or take this much. By what is worn (not
/// known, bare feet, shoes), seen from the toes and from behind. Measured: 2026-11-30, 100 rendered people, rolls over
/// 3 degrees, `underfoot-sim validate --clips FOLDER --values FILE`.
const SLIDE: [[[f64; 2]; 2]; 3] = [
    [[0.55, 0.18], [0.78, 0.2]],
    [[0.55, 0.18], [0.62, 0.2]],
    [[0.56, 0.17], [0.87, 0.13]],
];
/// How much the camera may look at the toes for a lift to be told (cosine squared of the bearing
/// from the foot's axis; about 42 degrees off). Nearer the front the heel is hidden, and the instep
/// of a plain shoe hardly shows what happens behind it: in drawn feet 16 mm read 1 to 12 there.
const TOEWARD: f64 = 0.55;
/// Error of a lift seen wholly from the toes, mm; and the error, but for its size, at which a lift counts
/// as unseen (drawn bare feet on concrete: 31 mm read 3 with an error of 7).
const HIDDEN_SD: f64 = 4.0;
const LARGEST_SD: f64 = 5.5;
/// The same for a roll, degrees; and how much the camera must look along the foot to tell one (its
/// sine squared, about 63 degrees off): from the side a roll looks like a lift.
const LARGEST_ROLL_SD: f64 = 6.0;
/// What a roll as it looks errs by however well the patches agree: some of them lean with the shank (measured as
/// [`SLIDE`], on feet that stayed level).
const LEANING_SD: f64 = 0.9;
const ENDWISE: f64 = 0.2;
/// Error of a length that the standing fit leaves, as a part of it.
const SCALE_SD: f64 = 0.04;

/// Patches overlap and share their errors, and yet the fit says too much of them: factors of its covariance that make
/// errors over standard errors 1, for lifts and for rolls (measured as [`SLIDE`]).
const SHARED: f64 = 1.3;
const SHARED_ROLL: f64 = 0.8;

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
            .worn
            .map_or(0, |w| 1 + usize::from(w != Footwear::Barefoot));
        let [slide, slide_sd] = SLIDE[worn][usize::from(self.kinematics.toeward() == 0.0)];
        let mut lift = self.kinematics.heel_lift(&fitted, slide);
        let hidden = HIDDEN_SD * self.kinematics.toeward();
        lift.sd = crate::angle::hypot(lift.sd, hidden);
        let told = lift.sd < LARGEST_SD;
        lift.sd = crate::angle::hypot(lift.sd, SCALE_SD * lift.value);
        let over = 1000.0 * EDGE_SD * self.kinematics.foot_m * q[ROLL] / slide;
        lift.sd = crate::angle::hypot(lift.sd, over);
        let roll = q[ROLL].to_degrees() / slide;
        let own = self.kinematics.roll_sd(&attempt.fitted) * SHARED_ROLL.sqrt();
        let own = crate::angle::hypot(own.to_degrees(), LEANING_SD) / slide;
        let roll = Estimate {
            value: roll,
            sd: crate::angle::hypot(own, slide_sd / slide * roll),
        };
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
        let seen = !self.hidden && rear >= SUPPORT && patches[Part::Rear as usize] >= ENOUGH;
        FootMotion {
            heel_lift_mm: (seen && told && self.kinematics.toeward() < TOEWARD).then_some(lift),
            foot_roll_deg: (seen
                && roll.sd < LARGEST_ROLL_SD
                && self.kinematics.endwise() > ENDWISE)
                .then_some(roll),
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
