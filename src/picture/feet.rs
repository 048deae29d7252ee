//! Both feet's pictures over a set: what is kept of standing, who follows, what is seen.

use super::anew::Stood;
use super::crops::{Crops, coarser, turned};
use super::grey::GreyView;
use super::legs::Shins;
use super::outcome::{FootMotion, Lost};
use super::strayed::CommonShake;
use super::tracker::{FootTracker, Known};
use crate::gather::Gather;
use crate::keypoints::{Footwear, Part, Setup, Side, TrackedFeet, TrackedFoot};
use crate::pose::Pose;
use crate::standing::StandingFit;
use glam::DVec2;

/// The picture that comes with a frame.
#[derive(Clone, Copy, Debug)]
#[allow(clippy::large_enum_variant)] // made once a frame and passed by reference
pub enum Picture<'a> {
    /// A crop around each foot that the host cut, left and right.
    Feet([Option<GreyView<'a>>; 2]),
    /// The whole picture; the feet are found by the keypoints.
    Whole(GreyView<'a>),
    /// What was followed when the frame was taken; nothing is followed anew.
    Tracked(TrackedFeet),
}

/// A foot is looked for elsewhere when the lifter has stood still for this long, and not seen where
/// it stood from at most so much later on; again after this long, ms.
const SETTLED_MS: f64 = 800.0;
const LATE_MS: f64 = 200.0;
const AGAIN_MS: f64 = 700.0;
/// A foot of a lifter who stands upright, but not where it stood, is doubted after this long, ms.
const DOUBTED_MS: f64 = 100.0;
/// A foot of which less than this part agrees may be off the floor.
const STIRRED: f64 = 0.5;
/// A heel of a lifter who stands still is this high at most, mm, or so many standard errors; and
/// the ball has slid so far at most, mm.
const UP_MM: f64 = 4.0;
const UP_SD: f64 = 2.5;
const SLID_MM: f64 = 8.0;

/// A second look at a foot counts when at least this part of what agreed at first agrees again.
const AS_GOOD: f64 = 0.85;

/// Whether a foot is not where it stood, or can't be seen to be; `before` when nothing tells.
fn elsewhere(seen: &Result<FootMotion, Lost>, before: bool) -> bool {
    match seen {
        Ok(motion) => {
            let up = motion
                .heel_lift_mm
                .is_some_and(|e| e.value > UP_MM.max(UP_SD * e.sd));
            let [along, across] = motion.slip_mm.map(|e| e.value);
            up || crate::angle::hypot(along, across) > SLID_MM
        }
        Err(Lost::Covered) => true,
        Err(_) => before,
    }
}

/// Whether a foot may be off the floor, of a lifter who stands upright.
fn stirs(seen: &Result<FootMotion, Lost>) -> bool {
    seen.as_ref().map_or(true, |motion| motion.held() < STIRRED)
}

/// Follows both feet.
#[derive(Clone, Debug, Default)]
pub struct FeetPictures {
    crops: [Crops; 2],
    trackers: [Option<FootTracker>; 2],
    last: [Option<Result<FootMotion, Lost>>; 2],
    shins: Shins,
    /// Since when each foot has not been seen where it stood, ms.
    off: [Option<f64>; 2],
    /// Whether it may have left the floor since it was last looked for: less of it was to be seen
    /// while the lifter stood upright.
    stirred: [bool; 2],
    /// When it was last looked for elsewhere, ms.
    sought: [Option<f64>; 2],
    shake: CommonShake,
    /// Width of a picture that comes flipped left-right, px: poses are flipped back by then, and so
    /// are the crops.
    flipped: Option<f64>,
    /// Memory for a crop flipped back, and for one read coarser.
    back: Vec<u8>,
    coarse: Vec<u8>,
}

impl FeetPictures {
    /// Nothing learnt yet, of pictures of this set-up.
    pub fn new(setup: &Setup) -> Self {
        Self {
            flipped: setup.camera.mirrored.then_some(setup.image.width),
            ..Self::default()
        }
    }

    /// Takes one frame; gives what the feet's pictures say about it. `upright` says that the lifter
    /// was not seen to bend the knees: the heels are down then, or the feet were set elsewhere.
    pub fn see(&mut self, pose: &Pose, picture: &Picture<'_>, upright: bool) -> TrackedFeet {
        match picture {
            Picture::Tracked(feet) => *feet,
            picture => self.follow(pose, picture, upright),
        }
    }

    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    fn follow(&mut self, pose: &Pose, picture: &Picture<'_>, upright: bool) -> TrackedFeet {
        for side in Side::BOTH {
            let i = side.index();
            self.last[i] = None;
            let view = match picture {
                Picture::Feet(views) => views[i],
                Picture::Whole(whole) => {
                    let seen = [Part::Heel, Part::BigToe, Part::SmallToe, Part::Ankle]
                        .map(|p| pose.of(p, side).map(|at| self.given(at)));
                    let cut = self.crops[i].cut(&seen, whole);
                    cut.and_then(|view| coarser(view, &mut self.coarse))
                }
                Picture::Tracked(feet) => return *feet,
            };
            let Some(mut view) = view else { continue };
            if let Some(width) = self.flipped {
                match turned(&view, width, &mut self.back) {
                    Some(back) => view = back,
                    None => continue,
                }
            }
            self.crops[i].keep(pose.t_ms, &view);
            let Some(tracker) = &mut self.trackers[i] else {
                continue;
            };
            let seen = tracker.push(Some(&view));
            self.last[i] = Some(seen);
        }
        self.reconcile();
        self.judge(pose.t_ms, upright);
        let mut feet: TrackedFeet = self
            .last
            .map(|seen| seen.and_then(Result::ok).map(TrackedFoot::from));
        if let Picture::Whole(view) = picture {
            for side in Side::BOTH {
                let i = side.index();
                self.shins.keep(pose, side, view);
                if let (Some(Ok(motion)), Some(tracker), Some(foot)) =
                    (self.last[i], &self.trackers[i], &mut feet[i])
                {
                    let shake = motion.shake_px;
                    foot.shin_px = self.shins.follow(pose, side, view, tracker, shake);
                }
            }
        }
        feet
    }

    /// Looks again at a foot that does not see the camera where the other one sees it.
    fn reconcile(&mut self) {
        let Some((i, shake)) = self.shake.confused(&self.last) else {
            return;
        };
        if let Some(tracker) = &mut self.trackers[i]
            && let Some(Ok(first)) = self.last[i]
            && let Ok(second) = tracker.again(shake)
            && second.held() > AS_GOOD * first.held()
        {
            self.last[i] = Some(Ok(second));
        }
    }

    /// Judges whether the feet are where they stood.
    fn judge(&mut self, t_ms: f64, upright: bool) {
        let scale = self.trackers.iter().flatten().map(FootTracker::px_per_mm);
        let strayed = self.shake.strayed(&self.last, scale.fold(0.0, f64::max));
        for (i, tracker) in self.trackers.iter_mut().enumerate() {
            let (Some(tracker), Some(seen)) = (tracker, &self.last[i]) else {
                continue;
            };
            if let (true, Ok(motion)) = (upright, seen) {
                tracker.shaken(motion.shake_px.length());
            }
            let strayed = strayed == Some(i);
            if strayed {
                tracker.strayed();
            }
            self.off[i] = if strayed || elsewhere(seen, self.off[i].is_some()) {
                self.off[i].or(Some(t_ms))
            } else {
                None
            };
            self.stirred[i] |= upright && stirs(seen);
            let off = self.off[i].filter(|_| upright);
            if off.is_some_and(|since| t_ms - since >= DOUBTED_MS) {
                tracker.doubt();
            }
        }
    }

    /// The lifter has stood still between the two times, upright, on the feet that `fit` is of.
    /// A foot that was not where it stood all the while, or may not have been, is looked for nearby
    /// and learnt anew: [`FootMotion::set_by`] then says how far it was set.
    pub fn settle(&mut self, fit: &StandingFit, from_ms: f64, to_ms: f64) {
        if self.any() {
            self.look_nearby(fit, from_ms, to_ms);
        }
    }

    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    fn look_nearby(&mut self, fit: &StandingFit, from_ms: f64, to_ms: f64) {
        for side in Side::BOTH {
            let i = side.index();
            let Some(tracker) = &self.trackers[i] else {
                continue;
            };
            let off = self.off[i].is_some_and(|since| since <= from_ms + LATE_MS);
            let again = self.sought[i].is_none_or(|t| to_ms - t > AGAIN_MS);
            let stirred = self.stirred[i];
            if !(again && (off || stirred || tracker.doubtful())) || to_ms - from_ms < SETTLED_MS {
                continue;
            }
            self.sought[i] = Some(to_ms);
            let views = self.crops[i].between(from_ms, to_ms);
            let shakes = self.shakes_by(1 - i, from_ms, to_ms);
            let stood = tracker.stood(&fit.camera, &fit.body, &views, shakes.map(|s| s[1]));
            let Some(tracker) = &mut self.trackers[i] else {
                continue;
            };
            match stood {
                Some(Stood::There) => tracker.planted(),
                Some(Stood::Anew(anew, shake)) => {
                    *tracker = *anew;
                    self.shake.learnt_anew(i, shakes.map_or(shake, |s| s[0]));
                    self.off[i] = None;
                }
                None => continue,
            }
            self.stirred[i] = false;
        }
    }

    /// The camera's shake in the first and the last crop between two times as a foot tells it that
    /// stands where it did, px.
    fn shakes_by(&self, foot: usize, from_ms: f64, to_ms: f64) -> Option<[DVec2; 2]> {
        let mut tracker = self.trackers[foot].clone()?;
        if self.off[foot].is_some() || tracker.doubtful() {
            return None;
        }
        let views = self.crops[foot].between(from_ms, to_ms);
        let mut shake = |view: Option<&GreyView<'_>>| {
            let seen = tracker.push(view).ok()?;
            Some(seen.shake_px)
        };
        Some([shake(views.first())?, shake(views.last())?])
    }

    /// What the last frame showed of a foot; `None` when no picture of it came, or when it had no
    /// texture to learn in standing.
    pub fn last(&self, side: Side) -> Option<Result<FootMotion, Lost>> {
        let mut last = self.last[side.index()];
        if let Some(Ok(motion)) = &mut last {
            motion.contacts_px = motion.contacts_px.map(|p| p.map(|p| self.given(p)));
            if self.flipped.is_some() {
                motion.shake_px.x = -motion.shake_px.x;
            }
        }
        last
    }

    /// A place in the picture as it was given; and back again.
    fn given(&self, p: DVec2) -> DVec2 {
        DVec2::new(self.flipped.map_or(p.x, |width| width - p.x), p.y)
    }

    /// Outline of what is followed of a foot, where the last frame shows it: the corners of a
    /// polygon, px of the recording's picture; empty while the foot is lost.
    pub fn outline(&self, side: Side) -> Vec<DVec2> {
        match &self.trackers[side.index()] {
            Some(_) => self.outline_laid(side),
            None => Vec::new(),
        }
    }

    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    fn outline_laid(&self, side: Side) -> Vec<DVec2> {
        match (&self.trackers[side.index()], self.last(side)) {
            (Some(tracker), Some(Ok(_))) => {
                let outline = tracker
                    .last
                    .map(|q| tracker.outline_by(&q))
                    .unwrap_or_default();
                outline.into_iter().map(|p| self.given(p)).gather()
            }
            _ => Vec::new(),
        }
    }

    /// Learns the feet from the crops of quiet standing between the two times. A foot that has
    /// nothing to follow is left to the keypoints. `worn` is what is on the feet, when known.
    pub fn anchor(&mut self, fit: &StandingFit, worn: Option<Footwear>, from_ms: f64, to_ms: f64) {
        if self.any() {
            self.learn(fit, worn, from_ms, to_ms);
        }
    }

    #[inline(never)] // begins what the package loads later, see xtask/wasm/src/parts.rs
    fn learn(&mut self, fit: &StandingFit, worn: Option<Footwear>, from_ms: f64, to_ms: f64) {
        let known = Known {
            worn,
            placed: fit.placed,
        };
        for side in Side::BOTH {
            let i = side.index();
            let views = self.crops[i].between(from_ms, to_ms);
            let found = FootTracker::anchor_known(side, &fit.camera, &fit.body, known, &views);
            self.trackers[i] = found.ok();
            (self.off[i], self.sought[i], self.stirred[i]) = (None, None, false);
        }
        self.shins.learn(fit, from_ms, to_ms);
        self.shake = CommonShake::default();
    }

    /// Whether a picture has been seen at all.
    fn any(&self) -> bool {
        self.crops.iter().any(|c| !c.is_empty())
    }
}
