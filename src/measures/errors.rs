//! How far each measure can be off: pixels, assumptions and the fit are moved one by one.

use super::assumed;
use super::channel::Channel;
use super::geometry::{Geometry, Knees, Pixels};
use crate::keypoints::Joint;
use crate::standing::Noise;

/// Error budget of one measure, variances in its own unit squared.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Variance {
    /// From noise that is new in every frame (one frame, unsmoothed).
    pub white: f64,
    /// From slowly varying noise.
    pub slow: f64,
    /// From everything that a whole repetition shares: fit, assumptions, the estimator's habits.
    pub common: f64,
    /// Error of this measure that goes with each percent by which the centre of mass seems to have
    /// left its place over the feet: taken off (see [`assumed::BALANCE`]).
    pub pull: f64,
}

impl Variance {
    /// Standard error when smoothing leaves `gain` of the white noise's variance.
    pub fn sd(&self, gain: f64) -> f64 {
        (self.white * gain + self.slow + self.common)
            .max(1e-12)
            .sqrt()
    }

    /// A forward shift by its spread where the lifter keeps the balance: what the filter calls the
    /// normalised innovation (Y. Bar-Shalom et al., Estimation with Applications to Tracking and
    /// Navigation, 2001, section 5.4). With f and b as at [`budget`], the pull is f / (f + b).
    pub fn imbalance(&self, forward: f64) -> f64 {
        forward * (1.0 - self.pull).max(0.0).sqrt() / assumed::BALANCE
    }

    /// Between two budgets.
    pub fn mix(&self, other: &Self, share: f64) -> Self {
        let f = |a: f64, b: f64| a + (b - a) * share;
        Self {
            white: f(self.white, other.white),
            slow: f(self.slow, other.slow),
            common: f(self.common, other.common),
            pull: f(self.pull, other.pull),
        }
    }
}

/// What the budget moves.
#[derive(Clone, Debug)]
pub(crate) struct Sources {
    /// The fit moved by each column of its covariance's square root.
    pub fits: Vec<Geometry>,
    /// Keypoint noise.
    pub noise: Noise,
    /// Systematic error of each joint at full depth, px.
    pub habit: f64,
    /// Shank's length, px.
    pub shank_px: f64,
    /// Systematic error of each measure at full depth, in its unit.
    pub habits: [f64; Channel::READ],
}

/// Effect of one source on every measure, with the variances that it stands for.
struct Effect {
    change: [f64; Channel::READ],
    white: f64,
    slow: f64,
    common: f64,
}

const SLIDE_ODDS: usize = 2 * assumed::LEG + assumed::Upper::SlideOdds as usize;
const KNEES: [Channel; 2] = [Channel::KneeInLeft, Channel::KneeInRight];

/// Error of a knee's point in the picture, of the shank's length, per unit of [`Reading::slide`]: a limb that
/// seems to change its length carries points that slide in directions that the length does not tell (what
/// was left of the errors of UI-PRMD squats, slide 0.13, once all other sources were counted).
///
/// [`Reading::slide`]: super::geometry::Reading::slide
const SLID: f64 = 0.42;

/// Share of white noise that smoothing leaves, when the pull of balance is weighed.
const SMOOTHED: f64 = 0.2;

/// The error budget of one frame, by channel; `None` where nothing is measured. `habits` are the systematic errors at full
/// depth, in each measure's unit.
///
/// Every source of error is moved alone and the change of all measures noted; with the changes
/// goes how the measures err together. That the lifter stays in balance is one more observation
/// (of the forward shift, mean zero), and what errs together with the forward shift is corrected
/// by it: v - c / (f + b) * forward, with c the covariance, f the forward shift's variance and b
/// that of the balance (a Kalman update with one observation).
pub(crate) fn budget(
    geometry: &Geometry,
    sources: &Sources,
    habits: &[f64; Channel::READ],
    pixels: &Pixels,
    knees: Knees,
) -> [Option<Variance>; Channel::READ] {
    let mut shifts = [0.0; assumed::COUNT];
    let here = geometry.read_moved(pixels, knees, &shifts);
    let depth = here.depth.unwrap_or(0.6).clamp(0.15, 1.0);
    // Habits of the points set in with the first bend of the knees: 60 to 70 % of their spread between people is
    // there a quarter of the way down.
    let bent = (0.5 + 0.5 * here.depth.unwrap_or(1.0)).clamp(0.6, 1.0);
    let change = |there: &[Option<f64>; Channel::READ]| {
        let mut d = [0.0; Channel::READ];
        for ((slot, a), b) in d.iter_mut().zip(here.values).zip(there) {
            if let (Some(a), Some(b)) = (a, *b) {
                *slot = b - a;
            }
        }
        d
    };
    let mut effects = Vec::with_capacity(2 * Joint::COUNT + assumed::COUNT + sources.fits.len());
    let mut moved = *pixels;
    let slid = (SLID * here.slide * sources.shank_px).powi(2);
    for joint in Joint::ALL {
        let i = joint.index();
        let Some(at) = pixels[i] else { continue };
        if matches!(joint, Joint::LeftEye | Joint::RightEye) {
            continue; // no measure looks at them
        }
        let knee = matches!(joint, Joint::LeftKnee | Joint::RightKnee);
        let known = geometry.systematic(pixels, joint, knees, depth);
        let (axis, errors) = known.unwrap_or((glam::DVec2::X, [sources.habit * depth; 2]));
        for (step, error) in [axis, axis.perp()].into_iter().zip(errors) {
            moved[i] = Some(at + step);
            effects.push(Effect {
                change: change(&geometry.read_moved(&moved, knees, &shifts).values),
                white: sources.noise.white[i].powi(2),
                slow: sources.noise.slow[i].powi(2),
                common: error.powi(2) + if knee { slid } else { 0.0 },
            });
        }
        moved[i] = Some(at);
    }
    let common = |change| Effect {
        change,
        white: 0.0,
        slow: 0.0,
        common: 1.0,
    };
    for i in 0..assumed::COUNT {
        shifts[i] = assumed::sd(i);
        let mut by = change(&geometry.read_moved(pixels, knees, &shifts).values);
        if i == SLIDE_ODDS {
            // The knees' doubt about sliding is counted whole, below.
            KNEES.iter().for_each(|c| by[c.index()] = 0.0);
        }
        effects.push(common(by));
        shifts[i] = 0.0;
    }
    // The value is a mixture of what holds if the knees' points slide and if they don't.
    let doubt = (here.second * (1.0 - here.second)).sqrt();
    for (channel, apart) in KNEES.into_iter().zip(here.apart) {
        let mut alone = [0.0; Channel::READ];
        alone[channel.index()] = apart.to_degrees() * doubt;
        effects.push(common(alone));
    }
    for fit in &sources.fits {
        effects.push(common(change(
            &fit.read_moved(pixels, knees, &shifts).values,
        )));
    }
    let forward = Channel::Forward.index();
    let together = |k: usize| -> f64 {
        effects
            .iter()
            .map(|e| e.change[k] * e.change[forward] * (e.white * SMOOTHED + e.slow + e.common))
            .sum()
    };
    let balance = assumed::BALANCE.powi(2);
    let spread = together(forward) + balance;
    let mut out = [None; Channel::READ];
    for (k, slot) in out.iter_mut().enumerate() {
        if here.values[k].is_none() {
            continue;
        }
        let pull = if here.values[forward].is_some() {
            together(k) / spread
        } else {
            0.0
        };
        let swing = if k == forward {
            assumed::SWING
        } else {
            assumed::BALANCE
        };
        let mut v = Variance {
            pull,
            common: (pull * swing).powi(2) + (habits[k] * bent).powi(2),
            ..Variance::default()
        };
        for e in &effects {
            let d = (e.change[k] - pull * e.change[forward]).powi(2);
            v.white += d * e.white;
            v.slow += d * e.slow;
            v.common += d * e.common;
        }
        *slot = Some(v);
    }
    out
}
