//! How a planted foot can move, and which such motion explains what its patches did.
//!
//! Eleven unknowns: pitch about the ball (of the foot behind it), roll about the long axis of the
//! heel, turn about the vertical, slip along and across, rise, twist of the forefoot against the
//! heel, drop of the foot behind the hinge (it may hinge elsewhere than assumed), lean of its upper
//! edge (a shoe's collar goes with the shank in part), and the camera's shake, which is two.
//! Patches on the floor tell the shake alone, those ahead of the ball everything but the pitch.

use crate::angle;
use crate::matrix::{Square, Vector};
use crate::measures::Estimate;
use crate::standing::body::Leg;
use crate::standing::camera::Camera;
use glam::{DMat2, DQuat, DVec2, DVec3};

/// How many unknowns a foot's motion has.
pub(crate) const UNKNOWNS: usize = 11;
pub(crate) const PITCH: usize = 0;
pub(crate) const ROLL: usize = 1;
pub(crate) const TURN: usize = 2;
pub(crate) const SLIP: usize = 3;
pub(crate) const RISE: usize = 5;
pub(crate) const TWIST: usize = 6;
pub(crate) const DROP: usize = 7;
pub(crate) const LEAN: usize = 8;
pub(crate) const SHAKE: usize = 9;

/// rad, rad, rad, m, m, m, rad, m, rad, px, px.
pub(crate) type Unknowns = Vector<UNKNOWNS>;
pub(crate) type Covariance = Square<UNKNOWNS>;

/// Which motions a patch takes part in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// The foot behind the ball.
    Rear,
    /// Just behind the ball, where a foot or shoe bends: as the rear foot, but for the pitch.
    Bend,
    /// Ahead of the ball.
    Fore,
    /// The floor, or anything else that stands still.
    Floor,
}

impl Part {
    pub const COUNT: usize = 4;
    pub const ALL: [Part; Self::COUNT] = [Self::Rear, Self::Bend, Self::Fore, Self::Floor];
    pub const OF_FOOT: [Part; 3] = [Self::Rear, Self::Bend, Self::Fore];

    /// Whether it takes part in the pitch.
    pub fn pitches(self) -> bool {
        matches!(self, Self::Rear | Self::Bend)
    }
}

/// What one patch did: where it is in the world in standing, how far it went in the picture (px),
/// less `expected`, and how well that is known (1 / px^2).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Observed {
    pub part: Part,
    pub place: DVec3,
    /// From where it was in standing, px.
    pub moved: DVec2,
    /// Where it should be by the motion at hand, px from where it was in standing.
    pub expected: DVec2,
    /// Where it was in standing, px.
    pub standing: DVec2,
    /// Variance of `moved`, px^2.
    pub variance: DMat2,
    /// Trust in the patch being what it is taken for, 0 to 1.
    pub trust: f64,
    /// Weight the fit left it, 0 to 1.
    pub weight: f64,
    /// How `expected` changes with each unknown.
    pub slopes: [DVec2; UNKNOWNS],
    /// Whether the motion at hand leaves it in front of the camera.
    pub sound: bool,
}

impl Observed {
    /// The floor tells the camera's shake only.
    pub fn first_unknown(&self) -> usize {
        if self.part == Part::Floor { SHAKE } else { 0 }
    }
}

/// Whether the foot is taken to be where it stood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stance {
    /// It is.
    Planted,
    /// It was out of sight, or does what no planted foot does: it may have been set elsewhere.
    Doubtful,
    /// It stands with its heel down, but may have been set elsewhere.
    Anew,
}

/// The foot's geometry in standing and the camera that sees it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Kinematics {
    pub camera: Camera,
    pub leg: Leg,
    /// +1 left, -1 right.
    pub sign: f64,
    /// Length of the foot, m.
    pub foot_m: f64,
    /// What is taken for granted of its place.
    pub stance: Stance,
    /// Spread of the camera's shake, px.
    pub shake_px: f64,
}

/// A fitted motion.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    pub q: Unknowns,
    pub covariance: Covariance,
}

/// A foot rolls over its edge: how far the axis lies from the middle, in foot lengths, when rolled
/// outward and inward. A soft one rolls about its middle, a stiff sole about its very edge, 0.17 off: the
/// heel rises by 0 to 6 mm with a roll of 8 degrees inward, and from behind the camera's shake may
/// explain that as well. Taken from between, common practice, no source; and what that errs by.
const EDGE: [f64; 2] = [0.10, 0.08];
pub(crate) const EDGE_SD: f64 = 0.06;

/// Spread of the shake of a camera of which nothing is known, px (common practice, no source), and the least. One that was
/// still while the lifter stood is taken to go on so: seen from behind a shake looks like a lift, on a floor without
/// texture nothing else tells them apart, and shoes' lifts were read half (100 rendered people).
pub(crate) const MOST_SHAKE: f64 = 4.0;
pub(crate) const LEAST_SHAKE: f64 = 1.2;

/// Estimators put the heel point ahead of the heel, by this part of the foot's length (7 to 13 % in
/// rendered clips with known truth, of which the standing fit takes a part).
const BEHIND: f64 = 0.05;
/// The foot twists between these, in foot lengths ahead of the heel point (midtarsal joints).
const TWISTS: std::ops::Range<f64> = 0.3..0.75;

/// A foot's upper edge leans with the shank from the lower to the higher of these, in foot lengths.
const LEANS: std::ops::Range<f64> = 0.15..0.35;

pub(crate) struct Moved {
    /// Where the ball is now, and the point of standing that the rotations leave in place.
    pub shift: DVec3,
    pub about: DVec3,
    pub lateral: DVec3,
    pub long: DVec3,
    pub whole: DQuat,
    pub hinge: DQuat,
    pub twist: f64,
    pub lean: f64,
    /// Axis that the upper edge leans about: level, the way the camera looks.
    pub leans_about: DVec3,
    pub drop: DVec3,
}

impl Kinematics {
    /// How much the camera looks at the foot from its toes: 0 from the side or behind, 1 in front.
    pub fn toeward(&self) -> f64 {
        let ahead = (self.camera.place - self.leg.ball).dot(self.leg.along) > 0.0;
        if ahead { self.endwise() } else { 0.0 }
    }

    /// How far the camera looks along the foot: 0 from the side, 1 from front or behind.
    pub fn endwise(&self) -> f64 {
        self.level_view().dot(self.leg.along).powi(2)
    }

    /// Level part of the way from the camera to the foot, of unit length.
    fn level_view(&self) -> DVec3 {
        let view = self.leg.ball - self.camera.place;
        DVec3::new(view.x, 0.0, view.z).normalize_or_zero()
    }

    pub fn moved(&self, q: &Unknowns) -> Moved {
        let leg = &self.leg;
        let lateral = DVec3::Y.cross(leg.along);
        let long = leg.along * self.sign;
        let turn = angle::turn(DVec3::Y, q[2]);
        let whole = turn * angle::turn(long, q[ROLL]);
        let edge = if q[ROLL] < 0.0 { -EDGE[0] } else { EDGE[1] };
        Moved {
            shift: leg.along * q[SLIP] + leg.medial * q[SLIP + 1] + DVec3::Y * q[RISE],
            about: leg.ball + leg.medial * (edge * self.foot_m),
            lateral: whole * lateral,
            long: turn * long,
            whole,
            hinge: whole * angle::turn(lateral, q[PITCH]),
            twist: q[TWIST],
            lean: q[LEAN],
            leans_about: self.level_view(),
            drop: whole * (DVec3::Y * q[DROP]),
        }
    }

    pub fn place(&self, moved: &Moved, part: Part, standing: DVec3) -> DVec3 {
        let arm = standing - moved.about;
        let turned = match part {
            Part::Rear | Part::Bend => moved.hinge * arm + moved.drop,
            Part::Fore => moved.whole * arm,
            Part::Floor => return standing,
        };
        let twist = moved.long.cross(turned) * (moved.twist * self.twisted(standing));
        let lean = moved.leans_about.cross(turned) * (moved.lean * self.leaned(part, standing));
        moved.about + moved.shift + turned + twist + lean
    }

    /// Share of the twist that a point takes: the foot twists between heel and ball.
    pub fn twisted(&self, standing: DVec3) -> f64 {
        let ahead = (standing - self.leg.heel).dot(self.leg.along) / self.foot_m;
        ((ahead - TWISTS.start) / (TWISTS.end - TWISTS.start)).clamp(0.0, 1.0)
    }

    /// Share of the lean that a point takes: the higher, the more it may go with the shank.
    pub fn leaned(&self, part: Part, standing: DVec3) -> f64 {
        let up = standing.y / self.foot_m;
        let share = ((up - LEANS.start) / (LEANS.end - LEANS.start)).clamp(0.0, 1.0);
        if part == Part::Rear { share } else { 0.0 }
    }

    /// Where points of one part go in the picture, px from where they were in standing.
    pub fn displacements<'a>(
        &'a self,
        q: &'a Unknowns,
        points: impl Iterator<Item = (Part, DVec3)> + 'a,
    ) -> impl Iterator<Item = DVec2> + 'a {
        let moved = self.moved(q);
        let shake = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        points.map(move |(part, place)| {
            let there = self.camera.project(self.place(&moved, part, place));
            match (part, self.camera.project(place), there) {
                (Part::Floor, ..) => shake,
                (_, Some(a), Some(b)) => b - a + shake,
                _ => shake,
            }
        })
    }

    /// Height of the heel point above standing, m.
    pub fn heel_rise(&self, q: &Unknowns) -> f64 {
        let heel = self.leg.heel - self.leg.along * (BEHIND * self.foot_m);
        self.place(&self.moved(q), Part::Rear, heel).y - heel.y
    }

    /// Where a point of the foot is in the picture, px, the camera held still.
    pub fn picture_of(&self, q: &Unknowns, part: Part, standing: DVec3) -> Option<DVec2> {
        self.camera
            .project(self.place(&self.moved(q), part, standing))
            .map(|p| p + DVec2::new(q[SHAKE], q[SHAKE + 1]))
    }

    /// Heel rise in mm with its standard error from the unknowns' covariance. The roll that it is
    /// made of in part looks smaller than it is by the factor `slide`.
    pub fn heel_lift(&self, fitted: &Fitted, slide: f64) -> Estimate {
        let rise = |q: &Unknowns| {
            let mut q = *q;
            q[ROLL] /= slide;
            self.heel_rise(&q)
        };
        let here = rise(&fitted.q);
        let slope = Unknowns::from_fn(|i| {
            let mut q = fitted.q;
            q[i] += 1e-4;
            (rise(&q) - here) / 1e-4
        });
        let variance = fitted.covariance.quadratic(&slope);
        Estimate {
            value: 1000.0 * here,
            sd: 1000.0 * variance.max(0.0).sqrt(),
        }
    }
}

#[cfg(test)]
#[path = "motion_tests.rs"]
mod tests;
