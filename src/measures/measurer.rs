//! Live values: one frame in, eight estimates out.

use super::channel::{Channel, Check, Estimate, Evidence};
use super::errors::{Sources, Variance, budget};
use super::geometry::{Geometry, Knees, Pixels, Reading};
use super::profile::{Err, Profile};
use crate::gather::Gather;
use crate::keypoints::{Joint, Part, Setup, Side, TrackedFeet, TrackedFoot};
use crate::pose::Pose;
use crate::standing::{StandingFit, body::FootMove, priors::Unknown};
use crate::statistics::upper_median;
use glam::DVec2;

/// What a tracked picture of the feet adds to one frame; all relative to standing, left first.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PictureEvidence {
    /// Heel lift, mm.
    pub heel_lift_mm: [Option<Estimate>; 2],
    /// Foot roll, inward +, degrees.
    pub foot_roll_deg: [Option<Estimate>; 2],
    /// Each shin's axis in the picture, ankle and top, px; this not against standing.
    pub shin_px: [Option<[DVec2; 2]>; 2],
}

impl PictureEvidence {
    /// What tracked feet say.
    pub fn of_feet(feet: &TrackedFeet) -> Self {
        let pick = |of: fn(&TrackedFoot) -> Option<[f64; 2]>| {
            feet.map(|foot| {
                let [value, sd] = of(&foot?)?;
                Some(Estimate { value, sd })
            })
        };
        Self {
            heel_lift_mm: pick(|f| f.heel_lift_mm),
            foot_roll_deg: pick(|f| f.foot_roll_deg),
            shin_px: feet.map(|foot| Some(foot?.shin_px?.map(DVec2::from))),
        }
    }

    /// Whether a shin was followed.
    pub(super) fn any_shin(&self) -> bool {
        self.shin_px.iter().any(Option::is_some)
    }

    /// A pose whose knees lie on the shins' axes in the picture, as far up as they are seen: what an estimator
    /// makes of a knee errs across the shin by twice as much. A knee without an axis is left out.
    pub(super) fn on_shins(&self, pose: &Pose) -> Pose {
        let mut out = *pose;
        for (side, axis) in Side::BOTH.into_iter().zip(self.shin_px) {
            let knee = &mut out.joints[Joint::of(Part::Knee, side).index()];
            *knee = knee.and_then(|mut seen| {
                let [ankle, top] = axis?;
                let across = (top - ankle).normalize_or_zero().perp();
                seen.at += across * (top - seen.at).dot(across);
                Some(seen)
            });
        }
        out
    }

    /// The evidence for a channel.
    pub fn of(&self, channel: Channel) -> Option<Estimate> {
        let side = channel.side()?.index();
        match channel.check() {
            Check::HeelLift => self.heel_lift_mm[side],
            Check::FootRoll => self.foot_roll_deg[side],
            _ => None,
        }
    }
}

/// Part of the weight below which keypoints are not said to have carried a value.
const LITTLE: f64 = 0.1;

/// Two estimates of a knee that are further apart than so many standard errors have one that is wrong: what
/// they are apart beyond that is added to the error (common practice, no source).
const AGREES: f64 = 2.0;

/// A channel's value in one frame and what carried it.
pub(super) fn weigh(
    keypoints: Option<Estimate>,
    on_shin: Option<Estimate>,
    picture: Option<Estimate>,
) -> Option<(Estimate, Evidence)> {
    if let Some(knee) = on_shin {
        let apart = keypoints.map_or(0.0, |k| {
            let expected = crate::angle::hypot(k.sd, knee.sd);
            ((k.value - knee.value).abs() - AGREES * expected).max(0.0)
        });
        let sd = crate::angle::hypot(knee.sd, apart);
        return Some((Estimate { sd, ..knee }, Evidence::Both));
    }
    match (keypoints, picture) {
        (Some(k), Some(p)) => {
            let both = fuse(k, p);
            let little = (both.sd / k.sd).powi(2) < LITTLE;
            let evidence = if little {
                Evidence::Picture
            } else {
                Evidence::Both
            };
            Some((both, evidence))
        }
        (None, Some(p)) => Some((p, Evidence::Picture)),
        (k, None) => k.map(|k| (k, Evidence::Keypoints)),
    }
}

/// Two independent estimates weighed by their variances.
pub fn fuse(a: Estimate, b: Estimate) -> Estimate {
    let (wa, wb) = (a.sd.powi(-2), b.sd.powi(-2));
    Estimate {
        value: (a.value * wa + b.value * wb) / (wa + wb),
        sd: (wa + wb).sqrt().recip(),
    }
}

/// Standard error beyond which a check counts as unseen, in its unit.
///
/// About the distance from an ordinary value to its line: a value with a larger error could be
/// on either side whatever it is (common practice, no source).
pub const fn largest_sd(check: Check) -> f64 {
    match check {
        Check::HeelLift => 13.0,
        Check::KneeIn => 8.0,
        Check::FootRoll => 6.0,
        Check::Forward => 15.0,
        Check::LoadLeft => 5.5,
    }
}

/// Error that a check has more where the feet stand elsewhere than in standing, in its unit: their place is
/// then known from the moment before the repetition only (what was left of UI-PRMD's errors).
const fn elsewhere_sd(check: Check) -> f64 {
    match check {
        Check::HeelLift => 5.0,
        Check::LoadLeft => 1.2,
        _ => 0.0,
    }
}

/// Error of the thighs' inclination that comes with the squat itself, degrees (common practice, no
/// source: 20 mm at a hip that cloth and belly hide, over a thigh of 430 mm).
const THIGH_SD: f64 = 2.7;

/// Turns frames into estimates, once standing is known. Frames cost no allocation.
#[derive(Clone, Debug)]
pub struct Measurer {
    pub(super) geometry: Geometry,
    pub(super) sources: Sources,
    /// Systematic error of each measure at full depth where the shins are followed in the picture, in its unit.
    pub(super) followed: [f64; Channel::READ],
    /// Error budgets of a plain squat at these depths, for live values: by the keypoints alone, and with the
    /// shins followed.
    table: [[[Option<Variance>; Channel::READ]; TABLE.len()]; 2],
    /// What is known of the estimator, and the camera's bearing, rad.
    profile: &'static Profile,
    azimuth: f64,
}

const TABLE: [f64; 4] = [0.0, 0.35, 0.7, 1.0];

impl Measurer {
    /// A measurer for a standing fit.
    pub fn new(fit: &StandingFit, setup: &Setup) -> Self {
        let profile = Profile::of(setup.estimator.as_deref());
        let habit = profile.joint * fit.shank_px;
        let azimuth = fit.unknowns[Unknown::Azimuth.index()];
        let variances = variances_of(fit, setup);
        let geometry = Geometry::new(fit, &fit.unknowns, setup, variances);
        let root = fit.covariance().cholesky();
        let fits = (0..Unknown::COUNT)
            .filter_map(|k| {
                let root = root.as_ref()?;
                let mut moved = fit.unknowns;
                for (i, value) in moved.iter_mut().enumerate() {
                    *value += root.lower(i, k);
                }
                Some(Geometry::new(fit, &moved, setup, variances))
            })
            .gather();
        let sources = Sources {
            fits,
            noise: fit.noise,
            habit,
            shank_px: fit.shank_px,
            habits: std::array::from_fn(|i| match Channel::ALL.get(i) {
                Some(channel) => profile.at(*channel, azimuth, 1.0).spread,
                None => THIGH_SD,
            }),
        };
        let mut followed = sources.habits;
        for channel in Channel::ALL {
            if channel.check() == Check::KneeIn {
                followed[channel.index()] = profile.followed(channel, azimuth, 1.0).spread;
            }
        }
        let kinds = [
            (sources.habits, Knees::Estimated),
            (followed, Knees::Followed),
        ];
        let table = kinds.map(|(habits, knees)| {
            TABLE.map(|depth| {
                let pixels = geometry.imagine(depth);
                budget(&geometry, &sources, &habits, &pixels, knees)
            })
        });
        Self {
            geometry,
            sources,
            followed,
            table,
            profile,
            azimuth,
        }
    }

    /// The same with the feet set elsewhere.
    pub(super) fn with_feet(&self, moves: &[FootMove; 2]) -> Self {
        let mut new = self.clone();
        new.geometry = new.geometry.with_feet(moves);
        for fit in &mut new.sources.fits {
            *fit = fit.with_feet(moves);
        }
        for channel in Channel::ALL {
            let moved = moves.iter().zip(Side::BOTH);
            let moved = moved.filter(|(m, _)| **m != FootMove::NONE);
            let of_it = |side| channel.side().is_none_or(|own| own == side);
            if moved.into_iter().any(|(_, side)| of_it(side)) {
                for habits in [&mut new.sources.habits, &mut new.followed] {
                    let habit = &mut habits[channel.index()];
                    *habit = crate::angle::hypot(*habit, elsewhere_sd(channel.check()));
                }
            }
        }
        new
    }

    /// Live, unsmoothed values of one frame with their standard errors; `None` where unseen.
    pub fn frame(
        &self,
        pose: &Pose,
        picture: Option<&PictureEvidence>,
    ) -> [Option<Estimate>; Channel::COUNT] {
        let reading = self.geometry.read_live(&pixels(pose), Knees::Estimated);
        let shins = picture.filter(|p| p.any_shin());
        let on_shins = shins.map(|p| {
            let pixels = pixels(&p.on_shins(pose));
            self.geometry.read_live(&pixels, Knees::Followed)
        });
        let depth = reading.depth.unwrap_or(0.7).clamp(0.0, 1.0);
        let after = TABLE
            .iter()
            .position(|&d| d >= depth)
            .unwrap_or(TABLE.len() - 1)
            .max(1);
        let share = (depth - TABLE[after - 1]) / (TABLE[after] - TABLE[after - 1]);
        Channel::ALL.map(|channel| {
            let i = channel.index();
            let variance = |followed: bool| {
                let table = &self.table[usize::from(followed)];
                Some(table[after - 1][i]?.mix(&table[after][i]?, share))
            };
            let own = (|| {
                let own = self.keypoints(channel, &reading, &variance(false)?, 1.0)?;
                Some(picture.map_or(own, |_| self.restless(channel, own)))
            })();
            let knee = (|| self.knee_on_shin(channel, on_shins.as_ref()?, &variance(true)?, 1.0))();
            weigh(own, knee, picture.and_then(|p| p.of(channel)))
                .map(|(value, _)| value)
                .filter(|e| e.sd <= largest_sd(channel.check()))
        })
    }

    /// Standard error to be expected of a channel at the bottom of a deep squat, one frame alone;
    /// `None` where nothing can be measured. Tells before the set what can be seen from here.
    pub fn expected_sd(&self, channel: Channel) -> Option<f64> {
        self.table[0][TABLE.len() - 1][channel.index()].map(|v| v.sd(0.3))
    }

    /// What the keypoints of a frame say of a channel, by all that was read there and its error budget;
    /// smoothing left `gain` of the white noise's variance. What the estimator is known to do to it is taken off.
    pub(super) fn keypoints(
        &self,
        channel: Channel,
        reading: &Reading,
        variance: &Variance,
        gain: f64,
    ) -> Option<Estimate> {
        self.corrected(channel, reading, variance, gain, Profile::at)
    }

    /// What a knee that lies on its shin's axis in the picture says of its channel, the same way.
    pub(super) fn knee_on_shin(
        &self,
        channel: Channel,
        reading: &Reading,
        variance: &Variance,
        gain: f64,
    ) -> Option<Estimate> {
        let knee = channel.check() == Check::KneeIn;
        knee.then(|| self.corrected(channel, reading, variance, gain, Profile::followed))?
    }

    fn corrected(
        &self,
        channel: Channel,
        reading: &Reading,
        variance: &Variance,
        gain: f64,
        errs: fn(&Profile, Channel, f64, f64) -> Err,
    ) -> Option<Estimate> {
        let depth = reading.depth.unwrap_or(0.7);
        let err = errs(self.profile, channel, self.azimuth, depth);
        let values = &reading.values;
        let forward = values[Channel::Forward.index()].unwrap_or(0.0);
        let zero = match channel.check() {
            Check::LoadLeft => 50.0,
            _ => 0.0,
        };
        let read = values[channel.index()]? - variance.pull * forward - zero;
        Some(Estimate {
            value: zero + err.correct(read),
            sd: variance.sd(gain),
        })
    }

    /// The same beside a picture.
    pub(super) fn restless(&self, channel: Channel, own: Estimate) -> Estimate {
        let more = self.profile.restless(channel, self.azimuth);
        Estimate {
            sd: crate::angle::hypot(own.sd, more),
            ..own
        }
    }

    /// Value of each channel in quiet standing: 0 where it is read against standing.
    pub(super) fn standing(&self) -> [f64; Channel::COUNT] {
        Channel::ALL.map(|channel| match (channel.check(), channel.side()) {
            (Check::KneeIn, Some(side)) => {
                self.geometry.body.legs[side.index()].inward.to_degrees()
            }
            (Check::LoadLeft, _) => 50.0,
            _ => 0.0,
        })
    }

    pub(super) fn shank_px(&self) -> f64 {
        self.sources.shank_px
    }

    pub(super) fn read(&self, pixels: &Pixels, knees: Knees) -> Reading {
        self.geometry.read(pixels, knees)
    }
}

/// Variances of the joints' smoothed points, px^2, but for what an estimator is known to do to them.
pub(super) fn variances_of(fit: &StandingFit, setup: &Setup) -> [f64; Joint::COUNT] {
    let habit = Profile::of(setup.estimator.as_deref()).joint * fit.shank_px;
    Joint::ALL.map(|j| {
        let i = j.index();
        let (white, slow) = (fit.noise.white[i], fit.noise.slow[i]);
        (0.2 * white * white + slow * slow + habit * habit).max(0.01)
    })
}

pub(super) fn pixels(pose: &Pose) -> Pixels {
    pose.joints
        .map(|seen| seen.map(|s| s.at).filter(|at| at.is_finite()))
}

/// Median place of each point, by axis; `None` for one that is seen in fewer than `fewest` of them.
pub(super) fn middle(poses: &[Pose], fewest: usize) -> Pixels {
    let mut axis = Vec::with_capacity(poses.len());
    let mut median = |joint: Joint, of: fn(&DVec2) -> f64| {
        axis.clear();
        let seen = poses.iter().filter_map(|p| p.at(joint));
        axis.extend(seen.filter(|at| at.is_finite()).map(|at| of(&at)));
        let enough = axis.len() >= fewest;
        upper_median(&mut axis).filter(|_| enough)
    };
    Joint::ALL.map(|j| Some(DVec2::new(median(j, |p| p.x)?, median(j, |p| p.y)?)))
}
