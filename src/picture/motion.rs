//! How a planted foot can move, and which such motion explains what its patches did.
//!
//! Ten unknowns: pitch about the ball (of the foot behind it), roll about the long axis of the
//! heel, turn about the vertical, slip along and across, rise, twist of the forefoot against the
//! heel, drop of the foot behind the hinge (it may hinge elsewhere than assumed), and the camera's
//! shake, which is two.
//! Patches on the floor tell the shake alone, those ahead of the ball everything but the pitch.

use crate::measures::Estimate;
use crate::standing::body::Leg;
use crate::standing::camera::Camera;
use glam::{DMat2, DQuat, DVec2, DVec3};
use nalgebra::{SMatrix, SVector};

/// How many unknowns a foot's motion has.
pub(crate) const UNKNOWNS: usize = 10;
pub(crate) const PITCH: usize = 0;
pub(crate) const ROLL: usize = 1;
pub(crate) const SLIP: usize = 3;
pub(crate) const RISE: usize = 5;
pub(crate) const TWIST: usize = 6;
pub(crate) const DROP: usize = 7;
pub(crate) const SHAKE: usize = 8;

/// rad, rad, rad, m, m, m, rad, m, px, px.
pub(crate) type Unknowns = SVector<f64, UNKNOWNS>;
pub(crate) type Covariance = SMatrix<f64, UNKNOWNS, UNKNOWNS>;

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
}

/// Spreads of the unknowns before anything is seen; a planted foot hardly slips, and its heel
/// can't go into the floor by more than a soft sole lets it. Common practice, no source.
const SPREAD: [f64; UNKNOWNS] = [0.25, 0.0, 0.03, 0.004, 0.004, 0.0025, 0.0, 0.0, 4.0, 4.0];
/// Spread of where the foot hinges, in foot lengths along it, and of the drop of the foot behind
/// the hinge when it is not pitched, m.
const HINGE_SPREAD: f64 = 0.08;
const DROP_SPREAD: f64 = 0.0005;
/// Spread of the roll and of the twist seen from the side and along the foot, rad. From the side a
/// roll looks like a lift of the nearer edge and is taken to be small; it is a lift that is looked
/// for there.
const ROLL_SPREAD: [f64; 2] = [0.04, 0.20];
const TWIST_SPREAD: [f64; 2] = [0.02, 0.10];
/// Square of the misfit, in standard errors, at which a patch keeps a quarter of its weight.
const CUT: f64 = 6.0;
/// Spread of the pitch below zero, rad: 2 mm at the heel.
const SINKING: f64 = 0.012;

/// The foot's geometry in standing and the camera that sees it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Kinematics {
    pub camera: Camera,
    pub leg: Leg,
    /// +1 left, -1 right.
    pub sign: f64,
    /// Length of the foot, m.
    pub foot_m: f64,
}

/// A fitted motion.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted {
    pub q: Unknowns,
    pub covariance: Covariance,
}

/// The rough solid and the stiff foot are wrong by this part of what they predict.
const WRONG: f64 = 0.12;
/// The same where the foot bends, once the heel has left the floor by this pitch, rad.
const BENDING: f64 = 0.6;
const BENT: f64 = 0.02;
/// A foot rolls over its edge: how far the axis lies from the middle, in foot lengths, when rolled
/// outward and inward. Common practice, no source.
const EDGE: [f64; 2] = [0.10, 0.03];

/// Estimators put the heel point ahead of the heel, by this part of the foot's length (7 to 13 % in
/// rendered clips with known truth, of which the standing fit takes a part).
const BEHIND: f64 = 0.05;
/// The foot twists between these, in foot lengths ahead of the heel point (midtarsal joints).
const TWISTS: std::ops::Range<f64> = 0.3..0.75;

struct Moved {
    /// Where the ball is now, and the point of standing that the rotations leave in place.
    shift: DVec3,
    about: DVec3,
    lateral: DVec3,
    long: DVec3,
    whole: DQuat,
    hinge: DQuat,
    twist: f64,
    drop: DVec3,
}

impl Kinematics {
    /// How far the camera looks along the foot: 0 from the side, 1 from front or behind.
    pub fn endwise(&self) -> f64 {
        let view = self.leg.ball - self.camera.place;
        let level = DVec2::new(view.x, view.z).normalize_or_zero();
        level
            .dot(DVec2::new(self.leg.along.x, self.leg.along.z))
            .powi(2)
    }

    fn moved(&self, q: &Unknowns) -> Moved {
        let leg = &self.leg;
        let lateral = DVec3::Y.cross(leg.along);
        let long = leg.along * self.sign;
        let turn = DQuat::from_axis_angle(DVec3::Y, q[2]);
        let whole = turn * DQuat::from_axis_angle(long, q[ROLL]);
        let edge = if q[ROLL] < 0.0 { -EDGE[0] } else { EDGE[1] };
        Moved {
            shift: leg.along * q[SLIP] + leg.medial * q[SLIP + 1] + DVec3::Y * q[RISE],
            about: leg.ball + leg.medial * (edge * self.foot_m),
            lateral: whole * lateral,
            long: turn * long,
            whole,
            hinge: whole * DQuat::from_axis_angle(lateral, q[PITCH]),
            twist: q[TWIST],
            drop: whole * (DVec3::Y * q[DROP]),
        }
    }

    fn place(&self, moved: &Moved, part: Part, standing: DVec3) -> DVec3 {
        let arm = standing - moved.about;
        let turned = match part {
            Part::Rear | Part::Bend => moved.hinge * arm + moved.drop,
            Part::Fore => moved.whole * arm,
            Part::Floor => return standing,
        };
        let twist = moved.long.cross(turned) * (moved.twist * self.twisted(standing));
        moved.about + moved.shift + turned + twist
    }

    /// Share of the twist that a point takes: the foot twists between heel and ball.
    fn twisted(&self, standing: DVec3) -> f64 {
        let ahead = (standing - self.leg.heel).dot(self.leg.along) / self.foot_m;
        ((ahead - TWISTS.start) / (TWISTS.end - TWISTS.start)).clamp(0.0, 1.0)
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

    /// Heel rise in mm with its standard error from the unknowns' covariance.
    pub fn heel_lift(&self, fitted: &Fitted) -> Estimate {
        let here = self.heel_rise(&fitted.q);
        let slope = Unknowns::from_fn(|i, _| {
            let mut q = fitted.q;
            q[i] += 1e-4;
            (self.heel_rise(&q) - here) / 1e-4
        });
        let variance = (slope.transpose() * fitted.covariance * slope)[(0, 0)];
        Estimate {
            value: 1000.0 * here,
            sd: 1000.0 * variance.max(0.0).sqrt(),
        }
    }

    /// The motion that explains the patches, from the start `q` (iteratively reweighted
    /// Gauss-Newton; Geman & McClure's weight, so that patches of something else drop out).
    pub fn fit(&self, start: &Unknowns, patches: &mut [Observed], rounds: usize) -> Option<Fitted> {
        let mut q = *start;
        let spread = self.spread();
        let mut normal = Covariance::zeros();
        for round in 0..rounds {
            // From forgiving to strict.
            let cut = CUT * f64::from(1u32 << (2 * (rounds - 1 - round).min(3)));
            let moved = self.moved(&q);
            let wrong = self.wrong(&q, patches);
            normal = Covariance::zeros();
            let mut right = Unknowns::zeros();
            for p in patches.iter_mut().filter(|p| p.trust > 0.0) {
                let Some((expected, slopes)) = self.slopes(&moved, &q, p) else {
                    p.weight = 0.0;
                    continue;
                };
                p.expected = expected;
                let miss = p.moved - expected;
                let info = information(p, &wrong);
                let far = miss.dot(info * miss);
                p.weight = (cut / (cut + far)).powi(2);
                let info = info * (p.weight * p.trust);
                for i in 0..UNKNOWNS {
                    let s = info * slopes[i];
                    right[i] += s.dot(miss);
                    for j in 0..=i {
                        normal[(i, j)] += s.dot(slopes[j]);
                    }
                }
            }
            for i in 0..UNKNOWNS {
                let spread = match i {
                    PITCH if q[PITCH] < 0.0 => SINKING,
                    DROP => DROP_SPREAD.hypot(HINGE_SPREAD * self.foot_m * q[PITCH]),
                    _ => spread[i],
                };
                let hold = spread.powi(-2);
                normal[(i, i)] += hold;
                right[i] -= hold * q[i];
                for j in 0..i {
                    normal[(j, i)] = normal[(i, j)];
                }
            }
            q += normal.cholesky()?.solve(&right);
            for i in 0..SHAKE {
                q[i] = q[i].clamp(-0.7, 0.7);
            }
        }
        // The last step is small: the misfits of the round before it will do.
        let wrong = self.wrong(&q, patches);
        let (mut sum, mut count) = (0.0, 0.0);
        for p in patches.iter().filter(|p| p.trust > 0.0) {
            let miss = p.moved - p.expected;
            let w = p.weight * p.trust;
            sum += w * miss.dot(information(p, &wrong) * miss);
            count += 2.0 * w;
        }
        let misfit = sum / (count - UNKNOWNS as f64 * 0.5).max(1.0);
        let covariance = normal.cholesky()?.inverse() * misfit.max(1.0);
        (q.iter().all(|v| v.is_finite())).then_some(Fitted { q, covariance })
    }

    /// Spreads of the unknowns, for where the camera is.
    fn spread(&self) -> [f64; UNKNOWNS] {
        let endwise = self.endwise();
        let mut spread = SPREAD;
        spread[ROLL] = ROLL_SPREAD[0] + (ROLL_SPREAD[1] - ROLL_SPREAD[0]) * endwise;
        spread[TWIST] = TWIST_SPREAD[0] + (TWIST_SPREAD[1] - TWIST_SPREAD[0]) * endwise;
        spread
    }

    /// Model error of each part, px^2: the same for all patches of a part, so that those which are
    /// expected to move least do not count most.
    fn wrong(&self, q: &Unknowns, patches: &[Observed]) -> [f64; Part::COUNT] {
        let (mut sum, mut count) = ([0.0; Part::COUNT], [0.0f64; Part::COUNT]);
        let shake = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        for p in patches {
            let i = p.part as usize;
            sum[i] += (p.expected - shake).length_squared();
            count[i] += 1.0;
        }
        Part::ALL.map(|part| {
            let wrong = if part == Part::Bend && q[PITCH] > BENT {
                BENDING
            } else {
                WRONG
            };
            let i = part as usize;
            wrong * wrong * sum[i] / count[i].max(1.0)
        })
    }

    fn slopes(
        &self,
        moved: &Moved,
        q: &Unknowns,
        p: &Observed,
    ) -> Option<(DVec2, [DVec2; UNKNOWNS])> {
        let mut by = [DVec2::ZERO; UNKNOWNS];
        by[SHAKE] = DVec2::X;
        by[SHAKE + 1] = DVec2::Y;
        let shake = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        if p.part == Part::Floor {
            return Some((shake, by));
        }
        let x = self.place(moved, p.part, p.place);
        let (there, du, dv) = self.camera.project_with_slope(x)?;
        let arm = x - moved.about - moved.shift;
        let rolled = moved.long.cross(arm);
        let ways = [
            if p.part.pitches() {
                moved.lateral.cross(arm)
            } else {
                DVec3::ZERO
            },
            rolled,
            DVec3::Y.cross(arm),
            self.leg.along,
            self.leg.medial,
            DVec3::Y,
            rolled * self.twisted(p.place),
            if p.part.pitches() {
                moved.whole * DVec3::Y
            } else {
                DVec3::ZERO
            },
        ];
        for (to, way) in by.iter_mut().zip(ways) {
            *to = DVec2::new(du.dot(way), dv.dot(way));
        }
        Some((there - p.standing + shake, by))
    }
}

/// Information (1 / px^2) on where a patch went; `wrong` is its part's model error, px^2.
fn information(p: &Observed, wrong: &[f64; Part::COUNT]) -> DMat2 {
    let wrong = wrong[p.part as usize] + 1e-6;
    (p.variance + DMat2::from_diagonal(DVec2::splat(wrong))).inverse()
}

#[cfg(test)]
mod tests {
    //! Motions put in by formula must come out of the fit; no picture is involved.

    use super::*;
    use crate::keypoints::{ImageSize, Layout, Setup, Side};
    use crate::standing::Body;
    use crate::standing::camera::Placement;
    use crate::standing::priors::Priors;

    fn kinematics(azimuth_deg: f64) -> Kinematics {
        let image = ImageSize {
            width: 540.0,
            height: 960.0,
        };
        let layout = Layout::named("blazepose-33").expect("a known layout");
        let body = Body::new(&Priors::new(&Setup::new(layout, image)).mean, true);
        let at = Placement {
            azimuth: azimuth_deg.to_radians(),
            distance: 2.8,
            height: 0.7,
            pitch: -0.1,
            roll: 0.0,
            yaw: 0.0,
        };
        Kinematics {
            camera: Camera::new(&at, 830.0, DVec2::new(270.0, 480.0)),
            leg: body.legs[Side::Left.index()],
            sign: Side::Left.sign(),
            foot_m: body.foot,
        }
    }

    /// Patches over the foot's back and the floor, moved by `q` exactly; every fifth of the foot's
    /// is somewhere else.
    fn patches(k: &Kinematics, q: &Unknowns) -> Vec<Observed> {
        let mut all = Vec::new();
        for i in 0..45usize {
            let (a, b) = ((i % 5) as f64 / 4.0 - 0.5, (i / 5) as f64 / 8.0);
            let place = k.leg.heel
                + k.leg.along * (b * k.foot_m)
                + k.leg.medial * (0.3 * a * k.foot_m)
                + DVec3::Y * (0.07 * (1.0 - b) + 0.01 * (i % 3) as f64);
            let part = match b {
                b if b < 0.52 => Part::Rear,
                b if b < 0.80 => Part::Bend,
                _ => Part::Fore,
            };
            all.push((part, place));
        }
        all.extend((0..6).map(|_| (Part::Floor, DVec3::ZERO)));
        let moved: Vec<DVec2> = k.displacements(q, all.iter().copied()).collect();
        all.iter()
            .zip(moved)
            .enumerate()
            .map(|(i, (&(part, place), moved))| Observed {
                part,
                place,
                moved: if i % 5 == 2 && part != Part::Floor {
                    moved + DVec2::new(9.0, 5.0)
                } else {
                    moved
                },
                expected: DVec2::ZERO,
                standing: k.camera.project(place).expect("in front of the camera"),
                variance: DMat2::IDENTITY * 0.02,
                trust: 1.0,
                weight: 0.0,
            })
            .collect()
    }

    fn fitted(azimuth_deg: f64, set: &[(usize, f64)]) -> (Kinematics, Unknowns, Fitted) {
        let k = kinematics(azimuth_deg);
        let mut q = Unknowns::zeros();
        for &(i, v) in set {
            q[i] = v;
        }
        let mut seen = patches(&k, &q);
        let mut start = Unknowns::zeros();
        let mut got = None;
        for _ in 0..3 {
            let f = k.fit(&start, &mut seen, 6).expect("a motion");
            start = f.q;
            got = Some(f);
        }
        (k, q, got.expect("a motion"))
    }

    #[test]
    fn a_lift_is_read_from_every_side() {
        for azimuth in [0.0, 45.0, 90.0, 135.0, 180.0] {
            let (k, q, f) = fitted(azimuth, &[(PITCH, 0.18), (SHAKE, 1.5), (SHAKE + 1, -2.0)]);
            let (lift, truth) = (k.heel_lift(&f), 1000.0 * k.heel_rise(&q));
            assert!(
                (lift.value - truth).abs() < 2.0,
                "{azimuth}: {lift:?}, true {truth}"
            );
            assert!((f.q[SHAKE] - 1.5).abs() < 0.3 && (f.q[SHAKE + 1] + 2.0).abs() < 0.3);
        }
    }

    #[test]
    fn a_roll_is_read_from_front_and_rear() {
        for roll in [-0.2, 0.15] {
            let (_, _, f) = fitted(6.0, &[(ROLL, roll)]);
            assert!((f.q[ROLL] - roll).abs() < 0.02, "{roll}: {}", f.q[ROLL]);
            let (_, _, f) = fitted(186.0, &[(ROLL, roll)]);
            assert!((f.q[ROLL] - roll).abs() < 0.02, "{roll}: {}", f.q[ROLL]);
        }
    }

    #[test]
    fn a_heel_does_not_sink_into_the_floor() {
        let (k, _, f) = fitted(90.0, &[]);
        assert!(k.heel_lift(&f).value.abs() < 0.1);
    }
}
