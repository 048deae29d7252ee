//! Which motion of a planted foot, and which shake, explains where its patches went.

use super::motion::{
    DROP, Fitted, Kinematics, LEAN, MOST_SHAKE, Moved, Observed, PITCH, Part, RISE, ROLL, SHAKE,
    SLIP, Stance, TURN, TWIST, UNKNOWNS, Unknowns,
};
use crate::least_squares::Normal;
use glam::{DMat2, DVec2, DVec3};

/// Spreads of the unknowns before anything is seen; a planted foot hardly slips, and its heel
/// can't go into the floor by more than a soft sole lets it. Common practice, no source.
const SPREAD: [f64; UNKNOWNS] = [
    0.25, 0.0, 0.03, 0.004, 0.004, 0.0025, 0.0, 0.0, 0.0, MOST_SHAKE, MOST_SHAKE,
];
/// Spread of the slip and turn, m and rad, of a foot that may have been set elsewhere; and of one
/// that was, and whose heel is down. Common practice, no source.
const DOUBTFUL: (f64, f64) = (0.02, 0.08);
const ANEW: (f64, f64) = (0.05, 0.12);
/// Spread of the camera's shake about what the other foot says of it, px.
const TOLD: f64 = 0.8;
/// Spread of where the foot hinges, in foot lengths along it, and of the drop of the foot behind
/// the hinge when it is not pitched, m.
const HINGE_SPREAD: f64 = 0.08;
const DROP_SPREAD: f64 = 0.0005;
/// Spread of the roll and of the twist seen from the side and along the foot, rad. From the side a
/// roll looks like a lift of the nearer edge and is taken to be small; it is a lift that is looked
/// for there.
pub(super) const ROLL_SPREAD: [f64; 2] = [0.04, 0.20];
const TWIST_SPREAD: [f64; 2] = [0.02, 0.10];
const LEAN_SPREAD: f64 = 0.05;
/// Square of the misfit, in standard errors, at which a patch keeps a quarter of its weight.
const CUT: f64 = 6.0;
/// Largest step of a patch for which the slopes at hand still do, px.
const STRAIGHT: f64 = 0.3;
/// Spread of the pitch below zero, rad: 2 mm at the heel; and of that of a heel that is down.
const SINKING: f64 = 0.012;
const DOWN: f64 = 0.002;

/// The rough solid and the stiff foot are wrong by this part of what they predict.
const WRONG: f64 = 0.12;
/// The same where the foot bends, once the heel has left the floor by this pitch, rad.
const BENDING: f64 = 0.6;
const BENT: f64 = 0.02;

impl Kinematics {
    /// The motion that explains the patches, from the start `q` (iteratively reweighted
    /// Gauss-Newton; Geman & McClure's weight, so that patches of something else drop out). `told` is
    /// the camera's shake where something else than the foot tells it, px.
    pub fn fit(
        &self,
        start: &Unknowns,
        told: Option<DVec2>,
        patches: &mut [Observed],
        rounds: usize,
    ) -> Option<Fitted> {
        let mut q = *start;
        let spread = self.spread(told.is_some());
        let mut rest = Unknowns::zeros();
        if let Some(shake) = told {
            (rest[SHAKE], rest[SHAKE + 1]) = (shake.x, shake.y);
        }
        let mut normal = Normal::new();
        let mut wrong = [0.0; Part::COUNT];
        let mut step = f64::INFINITY;
        for round in 0..rounds {
            // From forgiving to strict.
            let cut = CUT * f64::from(1u32 << (2 * (rounds - 1 - round).min(3)));
            // What the motion does to a patch is all but straight over small steps.
            if step > STRAIGHT {
                self.expect(&q, patches);
                wrong = self.wrong(&q, patches);
            }
            normal = Normal::new();
            let mut floor = 0.0;
            for p in patches.iter_mut().filter(|p| p.trust > 0.0 && p.sound) {
                let miss = p.moved - p.expected;
                let info = information(p, &wrong);
                let far = miss.dot(info * miss);
                p.weight = (cut / (cut + far)).powi(2);
                if p.part == Part::Floor {
                    floor += p.weight * p.trust * 0.5 * (info.x_axis.x + info.y_axis.y);
                }
            }
            let shared = 1.0 / (1.0 + floor * self.shadows(&q, &spread, patches));
            for p in patches.iter().filter(|p| p.trust > 0.0 && p.sound) {
                let miss = p.moved - p.expected;
                let mut info = information(p, &wrong) * (p.weight * p.trust);
                if p.part == Part::Floor {
                    info *= shared;
                }
                for i in p.first_unknown()..UNKNOWNS {
                    let s = info * p.slopes[i];
                    normal.gradient[i] += s.dot(miss);
                    for (k, slope) in p.slopes[..=i].iter().enumerate() {
                        normal.matrix[(i, k)] += s.dot(*slope);
                    }
                }
            }
            for i in 0..UNKNOWNS {
                let spread = match i {
                    PITCH if q[PITCH] < 0.0 => SINKING.min(spread[PITCH]),
                    DROP => crate::angle::hypot(DROP_SPREAD, HINGE_SPREAD * self.foot_m * q[PITCH]),
                    _ => spread[i],
                };
                normal.prior(i, spread.powi(-2), rest[i] - q[i]);
            }
            let before = q;
            q += normal.step()?;
            for i in 0..SHAKE {
                q[i] = q[i].clamp(-0.7, 0.7);
            }
            let change = q - before;
            step = 0.0;
            for p in patches.iter_mut().filter(|p| p.trust > 0.0 && p.sound) {
                let first = p.first_unknown();
                let slopes = p.slopes[first..].iter().zip(change.iter().skip(first));
                let by = slopes.fold(DVec2::ZERO, |sum, (slope, c)| sum + *slope * *c);
                p.expected += by;
                step = by.length_squared().max(step);
            }
            step = step.sqrt();
        }
        let (mut sum, mut count) = (0.0, 0.0);
        for p in patches.iter().filter(|p| p.trust > 0.0 && p.sound) {
            let miss = p.moved - p.expected;
            let w = p.weight * p.trust;
            sum += w * miss.dot(information(p, &wrong) * miss);
            count += 2.0 * w;
        }
        let misfit = sum / (count - UNKNOWNS as f64 * 0.5).max(1.0);
        let covariance = normal.covariance()? * misfit.max(1.0);
        (q.iter().all(|v| v.is_finite())).then_some(Fitted { q, covariance })
    }

    /// Spreads of the unknowns, for where the camera is; and for whether its shake is told.
    fn spread(&self, told: bool) -> [f64; UNKNOWNS] {
        let endwise = self.endwise();
        let mut spread = SPREAD;
        (spread[SHAKE], spread[SHAKE + 1]) = (self.shake_px, self.shake_px);
        spread[ROLL] = ROLL_SPREAD[0] + (ROLL_SPREAD[1] - ROLL_SPREAD[0]) * endwise;
        spread[TWIST] = TWIST_SPREAD[0] + (TWIST_SPREAD[1] - TWIST_SPREAD[0]) * endwise;
        spread[LEAN] = LEAN_SPREAD;
        let slip = match self.stance {
            Stance::Planted => spread[SLIP],
            Stance::Doubtful => {
                spread[TURN] = DOUBTFUL.1;
                DOUBTFUL.0
            }
            Stance::Anew => {
                (spread[PITCH], spread[TURN]) = (DOWN, ANEW.1);
                ANEW.0
            }
        };
        (spread[SLIP], spread[SLIP + 1]) = (slip, slip);
        if told {
            (spread[SHAKE], spread[SHAKE + 1]) = (TOLD, TOLD);
        }
        spread
    }

    /// Variance of what all patches on the floor err by together, px^2: on a plain floor they hold the edges of shadows,
    /// which go with the lifter. A planted foot that stays where it is in the picture then seems to slide with the camera,
    /// further than one does.
    fn shadows(&self, q: &Unknowns, spread: &[f64; UNKNOWNS], patches: &[Observed]) -> f64 {
        let shake = DVec2::new(q[SHAKE], q[SHAKE + 1]);
        let fore = patches
            .iter()
            .filter(|p| p.part == Part::Fore && p.trust > 0.0);
        let (sum, count) = fore.fold((DVec2::ZERO, 0.0), |(sum, n), p| {
            (sum + p.expected, n + 1.0)
        });
        let went = sum / f64::max(count, 1.0);
        let stays = 1.0 - went.length() / shake.length().max(1e-9);
        let unlikely: f64 = [SLIP, SLIP + 1, RISE]
            .iter()
            .map(|&i| (q[i] / spread[i]).powi(2))
            .sum();
        shake.distance_squared(went) * stays.max(0.0) * unlikely / (unlikely + CUT)
    }

    /// Standard error of the roll, rad, by what the patches tell of it alone: where little is seen
    /// of it the fit holds it near none, which is no knowledge.
    pub fn roll_sd(&self, fitted: &Fitted) -> f64 {
        let held = self.spread(false)[ROLL].powi(-2);
        let seen = fitted.covariance[(ROLL, ROLL)].max(1e-12).recip() - held;
        (seen.max(0.0) + ROLL_SPREAD[1].powi(-2)).sqrt().recip()
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

    /// Where every patch should be by the motion, and how that changes with each unknown.
    fn expect(&self, q: &Unknowns, patches: &mut [Observed]) {
        let moved = self.moved(q);
        for p in patches.iter_mut().filter(|p| p.trust > 0.0) {
            let slopes = self.slopes(&moved, q, p);
            p.sound = slopes.is_some();
            match slopes {
                Some((expected, slopes)) => (p.expected, p.slopes) = (expected, slopes),
                None => p.weight = 0.0,
            }
        }
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
            moved.leans_about.cross(arm) * self.leaned(p.part, p.place),
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
