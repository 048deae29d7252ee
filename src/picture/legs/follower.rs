//! Both legs: the feet by their texture, the shins by their outlines.

use super::shin::Shin;
use crate::gather::Gather;
use crate::keypoints::{Joint, MARKED, Marks, Part, Person, Setup, Side, TrackedFeet, TrackedFoot};
use crate::picture::crops::{Crops, coarser};
use crate::picture::grey::GreyView;
use crate::picture::motion::{self, SHAKE, Unknowns};
use crate::picture::tracker::{FootTracker, Known};
use crate::pose::{Pose, Seen};
use crate::standing::{StandingFit, Unfit, fit};
use glam::{DVec2, DVec3};
use std::fmt;

/// Why marks can't be followed.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmarked {
    /// No picture came with the marks.
    NoPicture,
    /// No standing lifter fits the marks.
    Unfit(Unfit),
    /// Neither a foot's texture nor a shin's edges are seen at the marks.
    NothingToFollow,
}

impl fmt::Display for Unmarked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPicture => f.write_str("no picture came with the marks"),
            Self::Unfit(why) => why.fmt(f),
            Self::NothingToFollow => {
                f.write_str("neither a foot nor a shin can be seen at the marks")
            }
        }
    }
}

impl std::error::Error for Unmarked {}

/// Score of a point that is followed.
const SURE: f64 = 0.9;

/// What a frame showed.
#[derive(Clone, Copy, Debug)]
pub struct Followed {
    /// The points that were followed, px.
    pub pose: Pose,
    /// Standard errors of each knee's place along and across its shin, px, left first.
    pub knee_sd_px: [Option<[f64; 2]>; 2],
    /// What the feet's texture said.
    pub feet: TrackedFeet,
}

#[derive(Clone, Debug)]
struct OneLeg {
    crops: Crops,
    foot: Option<FootTracker>,
    shin: Option<Shin>,
    /// The marks, and where they are in the world, m.
    marks: [Option<(DVec2, DVec3)>; 5],
}

/// Follows both legs from marks in one still picture of standing.
#[derive(Clone, Debug)]
pub struct LegsFollower {
    fit: StandingFit,
    legs: [OneLeg; 2],
    coarse: Vec<u8>,
    shake: DVec2,
    last: Option<Followed>,
}

impl Followed {
    /// The followed points in the order of [`Marks::joints`].
    pub(crate) fn person(&self) -> Person {
        let point = |joint: Joint| {
            let seen = self.pose.joints[joint.index()];
            seen.map_or([f64::NAN, f64::NAN, 0.0], |s| [s.at.x, s.at.y, s.score])
        };
        Marks::joints().into_iter().map(point).gather()
    }
}

impl LegsFollower {
    /// Learns feet and shins at the marks; `views` are the marked picture and, where there are any, others of the
    /// same quiet standing, the marked one first.
    ///
    /// # Errors
    /// [`Unmarked`] says what was missing.
    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    pub fn new(setup: &Setup, marks: &Marks, views: &[GreyView<'_>]) -> Result<Self, Unmarked> {
        let first = views.first().ok_or(Unmarked::NoPicture)?;
        let mut pose = Pose::empty(marks.t_ms);
        for joint in Joint::ALL {
            pose.joints[joint.index()] = marks.at(joint).map(|at| Seen {
                at: at.into(),
                score: SURE,
            });
        }
        let fit = fit(&[pose; 3], setup).map_err(Unmarked::Unfit)?;
        let known = Known {
            worn: setup.footwear,
            placed: fit.placed,
        };
        let mut coarse = Vec::new();
        let legs = Side::BOTH.map(|side| {
            let leg = fit.body.legs[side.index()];
            let at = |part| pose.of(part, side);
            let seen = [Part::Heel, Part::BigToe, Part::SmallToe, Part::Ankle].map(at);
            let mut crops = Crops::default();
            for (i, view) in views.iter().enumerate() {
                let cut = crops.cut(&seen, view);
                if let Some(view) = cut.and_then(|view| coarser(view, &mut coarse)) {
                    crops.keep(i as f64 * 1000.0, &view);
                }
            }
            let kept = crops.between(0.0, f64::INFINITY);
            let foot = FootTracker::anchor_known(side, &fit.camera, &fit.body, known, &kept).ok();
            let shin = match (at(Part::Ankle), at(Part::Knee)) {
                (Some(ankle), Some(knee)) => {
                    let other = [Part::Ankle, Part::Knee].map(|part| pose.of(part, side.other()));
                    Some(Shin::new(&fit.camera, &leg, [ankle, knee], other, first))
                }
                _ => None,
            };
            let place = |part| {
                let px = at(part)?;
                let place = fit.body.joint(Joint::of(part, side))?;
                Some((px, fit.camera.at_depth(px, fit.camera.depth(place))))
            };
            OneLeg {
                marks: MARKED.map(place),
                crops,
                foot,
                shin,
            }
        });
        if legs.iter().all(|l| l.foot.is_none() && l.shin.is_none()) {
            return Err(Unmarked::NothingToFollow);
        }
        Ok(Self {
            fit,
            legs,
            coarse,
            shake: DVec2::ZERO,
            last: None,
        })
    }

    /// A person has shown where the joints are in a later frame: the next one is looked at from there. What was learnt in
    /// standing stays.
    pub fn set_right(&mut self, marks: &Marks) {
        for side in Side::BOTH {
            let leg = &mut self.legs[side.index()];
            let shown = |part| marks.at(Joint::of(part, side)).map(DVec2::from);
            let mut ankle = leg.marks[1].map(|m| m.1);
            if let Some(foot) = &mut leg.foot {
                let points = MARKED.iter().zip(&leg.marks).skip(1);
                let points = points
                    .filter_map(|(part, mark)| Some((piece(*part), (*mark)?.1, shown(*part)?)));
                let points: Vec<_> = points.gather();
                let k = &foot.kinematics;
                if let Some(q) = shown_at(k, &points, self.shake) {
                    ankle = ankle.map(|a| k.place(&k.moved(&q), motion::Part::Rear, a));
                    foot.last = Some(q);
                }
            }
            if let (Some(shin), Some(ankle), Some(knee)) = (&mut leg.shin, ankle, shown(Part::Knee))
            {
                shin.set_right(ankle, self.shake, knee);
            }
        }
    }

    /// The standing fit of the marks.
    pub fn fit(&self) -> &StandingFit {
        &self.fit
    }

    /// Takes one frame's whole picture.
    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    pub fn see(&mut self, t_ms: f64, view: &GreyView<'_>) -> Followed {
        let mut pose = Pose::empty(t_ms);
        let mut knee_sd_px = [None; 2];
        let mut feet = TrackedFeet::default();
        let mut moved: [Option<Unknowns>; 2] = [None; 2];
        for side in Side::BOTH {
            let i = side.index();
            let leg = &mut self.legs[i];
            let Some(foot) = &mut leg.foot else { continue };
            let cut = leg.crops.cut(&[None; 4], view);
            let cut = cut.and_then(|view| coarser(view, &mut self.coarse));
            if let Ok(motion) = foot.push(cut.as_ref()) {
                moved[i] = foot.last;
                feet[i] = Some(TrackedFoot::from(motion));
            }
        }
        let shakes = moved
            .iter()
            .flatten()
            .map(|q| DVec2::new(q[SHAKE], q[SHAKE + 1]))
            .gather();
        if !shakes.is_empty() {
            self.shake = shakes.iter().sum::<DVec2>() / shakes.len() as f64;
        }
        for side in Side::BOTH {
            let i = side.index();
            let leg = &mut self.legs[i];
            let mut put = |part, at: DVec2| {
                pose.joints[Joint::of(part, side).index()] = Some(Seen { at, score: SURE });
            };
            let mut ankle = leg.marks[1].map(|m| m.1);
            if let (Some(q), Some(foot)) = (&moved[i], &leg.foot) {
                let k = &foot.kinematics;
                for (part, mark) in MARKED.iter().zip(&leg.marks).skip(1) {
                    let Some((_, place)) = mark else { continue };
                    if let Some(p) = k.picture_of(q, piece(*part), *place) {
                        put(*part, p);
                    }
                }
                ankle = ankle.map(|a| k.place(&k.moved(q), motion::Part::Rear, a));
            }
            if let (Some(shin), Some(ankle)) = (&mut leg.shin, ankle)
                && let Some(found) = shin.follow(t_ms, view, ankle, self.shake)
            {
                put(Part::Knee, found.knee);
                if moved[i].is_none() {
                    put(Part::Ankle, found.ankle);
                }
                knee_sd_px[i] = Some(found.sd);
            }
        }
        let followed = Followed {
            pose,
            knee_sd_px,
            feet,
        };
        self.last = Some(followed);
        followed
    }

    /// What the last frame showed; `None` before the first.
    pub fn last(&self) -> Option<&Followed> {
        self.last.as_ref()
    }

    /// Outline of a foot where the last frame showed it: the corners of a polygon, px; empty while it is lost.
    #[inline(never)] // as `see`
    pub fn outline(&self, side: Side) -> Vec<DVec2> {
        let i = side.index();
        if let (Some(foot), Some(last)) = (&self.legs[i].foot, &self.last)
            && last.feet[i].is_some()
            && let Some(q) = &foot.last
        {
            return foot.outline_by(q);
        }
        Vec::new()
    }
}

/// The piece of a foot that a joint belongs to.
fn piece(part: Part) -> motion::Part {
    match part {
        Part::Ankle | Part::Heel => motion::Part::Rear,
        _ => motion::Part::Fore,
    }
}

/// How a foot is taken to have moved where its points were shown: pitch, roll and turn, rad, and slip, m; and what a shown point errs
/// by, px.
/// tuned: to common practice, no source: marks are put within 3 px, and a foot that is shown again stands within a cm of its place
const SHOWN: [f64; 5] = [0.2, 0.1, 0.1, 0.01, 0.01];
const SHOWN_SD: f64 = 3.0;
const SHOWN_ROUNDS: usize = 5;
/// What else a foot can do stays as it was.
/// tuned: far below every other spread, so that nothing else moves
const FIXED: f64 = 1e-4;
/// Step of a slope.
/// tuned: the root of a double's precision, times a thousand
const STEP: f64 = 1e-5;

/// The motion that puts a foot's points nearest to where they were shown, px.
fn shown_at(
    k: &motion::Kinematics,
    points: &[(motion::Part, DVec3, DVec2)],
    shake: DVec2,
) -> Option<Unknowns> {
    points.first()?;
    let mut start = Unknowns::zeros();
    (start[SHAKE], start[SHAKE + 1]) = (shake.x, shake.y);
    let prior = Unknowns::from_fn(|i| SHOWN.get(i).copied().unwrap_or(FIXED).powi(-2));
    let prior = motion::Covariance::from_diagonal(&prior);
    let mut q = start;
    for _ in 0..SHOWN_ROUNDS {
        let (mut a, mut g) = (prior, prior * (start - q));
        for &(part, place, shown) in points {
            let at = k.picture_of(&q, part, place)?;
            let mut slopes = [Unknowns::zeros(); 2];
            for i in 0..SHOWN.len() {
                let mut beside = q;
                beside[i] += STEP;
                let by = (k.picture_of(&beside, part, place)? - at) / STEP;
                (slopes[0][i], slopes[1][i]) = (by.x, by.y);
            }
            for (slopes, miss) in slopes.iter().zip((shown - at).to_array()) {
                a.add_outer(SHOWN_SD.powi(-2), slopes);
                g += *slopes * (miss * SHOWN_SD.powi(-2));
            }
        }
        q += a.cholesky()?.inverse() * g;
    }
    Some(q)
}
