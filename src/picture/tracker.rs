//! Follows one foot from frame to frame, always against its picture in standing.

use super::attempt::{Attempt, FEWEST};
use super::flow::Found;
use super::grey::GreyView;
use super::jump::Small;
use super::motion::{
    Kinematics, LEAST_SHAKE, MOST_SHAKE, Observed, PITCH, Part, SHAKE, SLIP, Stance, TURN, Unknowns,
};
use super::outcome::{FootMotion, Lost};
use super::outline::Laid;
use super::patches::Map;
use super::plane::Plane;
use super::pyramid::Pyramid;
use super::reference::{LEVELS, Reference};
use super::solid::Scene;
use super::telling::ENDWISE;
use crate::keypoints::{Footwear, Side};
use crate::standing::body::Body;
use crate::standing::camera::Camera;
use glam::{DVec2, DVec3};

/// Correlation below which a patch is not the one sought.
pub(super) const ALIKE: f32 = 0.75;
/// Longest step back of the forward-backward check, px.
pub(super) const BACK: f32 = 0.4;
/// Part of the trusted patches of a part that must agree.
pub(super) const SUPPORT: f64 = 0.4;
/// Part of both parts' patches that must agree before the rest lose trust.
const LEARNS: f64 = 0.5;
/// The whole picture's rough jump is believed when it is this far from the last shake, px.
const JUMPED: f64 = 3.5;
/// Frames out of sight after which a foot may have been set elsewhere.
const MISSED: usize = 3;
/// Frames in a row in which a foot that may have been set elsewhere looks as it did in standing,
/// after which it is taken to stand there; and how near that is: rise of the heel and slip, m, and
/// turn, rad.
const HOME: usize = 8;
const AT_HOME: (f64, f64, f64) = (0.002, 0.004, 0.02);
/// Part of the patches behind the ball that agrees where no other motion is looked for, from the side: there the toes agree
/// with any lift. From elsewhere a roll is what they disagree with.
/// tuned: as `MOVES`
const HEEL_HOLDS: f64 = 0.7;
/// Part of a foot's patches that must agree for a motion that no planted foot makes to be believed.
const STRAYED: f64 = 0.6;

/// Spread of a camera's shake, of what it was while the lifter stood (common practice, no source).
const RESTLESS: f64 = 4.0;
/// A foot is hidden by the other one where the camera sees both within this of one line (cosine, 32 degrees).
const BEHIND_IT: f64 = 0.85;
/// A camera that was moved by so much, px, is not still any more.
const STIRRED: f64 = 1.5;

/// What is known of a foot before its pictures are looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// What is worn on it: that tells its shape, and how much of a roll shows.
    pub worn: Option<Footwear>,
    /// The standing fit has it where it is in the picture, and not where an estimator of which nothing is known has
    /// its points, which is a little higher.
    pub placed: bool,
}

/// Follows one foot. Made anew for every setting of the feet.
#[derive(Clone, Debug)]
pub struct FootTracker {
    pub(super) kinematics: Kinematics,
    pub(super) reference: Reference,
    /// Where its outline is drawn.
    pub(super) laid: Laid,
    pub(super) next: Pyramid,
    /// The frame as the motion at hand turns it, for every part but the floor, and how.
    pub(super) warped: [Plane; 3],
    pub(super) maps: [Map; 3],
    pub(super) small: Small,
    pub(super) seen: Vec<Observed>,
    pub(super) best: Vec<Observed>,
    pub(super) found: Vec<Option<Found>>,
    pub(super) moved: Vec<DVec2>,
    pub(super) jumps: Vec<DVec2>,
    pub(super) last: Option<Unknowns>,
    pub(super) known: Known,
    /// Whether the other foot stands between it and the camera.
    pub(super) hidden: bool,
    pub(super) side: Side,
    /// How far the foot was set from where it was first learnt: along and toward the other, mm, and
    /// turned out, degrees.
    pub(super) set_by: DVec3,
    /// Frames for which it has been lost, and for which it has looked as in standing.
    missed: usize,
    home: usize,
}

impl FootTracker {
    /// Learns the foot on `side` from crops of quiet standing, best 8 to 16 of them over at least
    /// a quarter of a second. The first gives the grid that later crops are read on. `camera` and
    /// `body` are the standing fit's.
    ///
    /// # Errors
    /// [`Lost::NoPicture`] without crops, [`Lost::NoTexture`] or [`Lost::Dark`] when the foot has
    /// nothing to follow.
    pub fn anchor(
        side: Side,
        camera: &Camera,
        body: &Body,
        standing: &[GreyView<'_>],
    ) -> Result<Self, Lost> {
        Self::anchor_known(side, camera, body, Known::default(), standing)
    }

    /// The same with what is known of the foot.
    ///
    /// # Errors
    /// As [`Self::anchor`].
    pub fn anchor_known(
        side: Side,
        camera: &Camera,
        body: &Body,
        known: Known,
        standing: &[GreyView<'_>],
    ) -> Result<Self, Lost> {
        let leg = body.legs[side.index()];
        let mut kinematics = Kinematics {
            camera: *camera,
            leg,
            sign: side.sign(),
            foot_m: body.foot,
            stance: Stance::Planted,
            shake_px: MOST_SHAKE,
        };
        let near = camera.depth(leg.ball).max(0.1);
        let foot_px = camera.focal * body.foot / near;
        let scene = Scene::new(*camera, body, known.worn);
        let reference =
            Reference::new(standing, &scene, side, foot_px, known.placed).ok_or(Lost::NoPicture)?;
        let count = |part| reference.features.iter().filter(|f| f.part == part).count() as f64;
        if count(Part::Rear).max(count(Part::Fore)) < 2.0 * FEWEST {
            return Err(if reference.brightness < 16.0 {
                Lost::Dark
            } else {
                Lost::NoTexture
            });
        }
        kinematics.shake_px = (LEAST_SHAKE + RESTLESS * reference.shake).min(MOST_SHAKE);
        let other = body.legs[1 - side.index()].ball;
        let (view, across) = (leg.ball - camera.place, leg.ball - other);
        let level = |v: DVec3| DVec2::new(v.x, v.z).normalize_or_zero();
        let n = reference.features.len();
        let mut tracker = Self {
            kinematics,
            next: Pyramid::new(Plane::new(reference.width, reference.height), LEVELS),
            warped: [(); 3].map(|()| Plane::new(reference.width, reference.height)),
            maps: [Map::default(); 3],
            small: reference.small.clone(),
            seen: Vec::with_capacity(n),
            best: Vec::with_capacity(n),
            found: vec![None; n],
            moved: Vec::with_capacity(n),
            jumps: Vec::with_capacity(n),
            last: None,
            known,
            hidden: level(view).dot(level(across)) > BEHIND_IT,
            side,
            set_by: DVec3::ZERO,
            missed: 0,
            home: 0,
            laid: Laid::default(),
            reference,
        };
        tracker.lay(foot_px);
        Ok(tracker)
    }

    /// Takes one frame's crop and says how the foot has moved since standing. Costs no allocation.
    ///
    /// # Errors
    /// [`Lost`] says why nothing can be said; the next frame may be found again.
    pub fn push(&mut self, view: Option<&GreyView<'_>>) -> Result<FootMotion, Lost> {
        let seen = self.find(view);
        self.missed = if seen.is_err() { self.missed + 1 } else { 0 };
        let stands = seen.is_ok() && self.last.is_some_and(|q| self.at_home(&q));
        self.home = if stands { self.home + 1 } else { 0 };
        if self.missed >= MISSED {
            self.doubt();
        } else if self.home >= HOME {
            self.planted();
        }
        seen
    }

    /// Whether the last frame showed the foot as it was in standing.
    fn at_home(&self, q: &Unknowns) -> bool {
        let (rise, slip, turn) = AT_HOME;
        self.kinematics.heel_rise(q).abs() < rise
            && crate::angle::hypot(q[SLIP], q[SLIP + 1]) < slip
            && q[TURN].abs() < turn
    }

    /// Px of the recording's picture that a mm at the foot spans.
    pub(super) fn px_per_mm(&self) -> f64 {
        let camera = &self.kinematics.camera;
        1e-3 * camera.focal / camera.depth(self.kinematics.leg.ball).max(0.1)
    }

    /// The foot may have been set elsewhere: a lift is then told less surely, where a foot that is
    /// set on looks like one whose heel is up.
    pub(super) fn doubt(&mut self) {
        self.kinematics.stance = Stance::Doubtful;
    }

    /// The camera was seen to go so far while the lifter stood upright, px.
    pub(super) fn shaken(&mut self, by: f64) {
        if by > STIRRED * self.reference.scale {
            self.kinematics.shake_px = MOST_SHAKE;
        }
    }

    /// The foot has been seen to stand where it did.
    pub(super) fn planted(&mut self) {
        self.kinematics.stance = Stance::Planted;
    }

    /// The other foot says that the camera did not go where this one says: however it looks, it is not
    /// known to stand where it did.
    pub(super) fn strayed(&mut self) {
        self.home = 0;
    }

    /// Whether it may have been set elsewhere while it was out of sight.
    pub(super) fn doubtful(&self) -> bool {
        self.kinematics.stance == Stance::Doubtful
    }

    /// Reads one frame's crop onto the grid of standing.
    pub(super) fn take(&mut self, view: &GreyView<'_>) -> Option<()> {
        let (origin, scale) = (self.reference.origin, self.reference.scale);
        let same = view.origin() == origin && view.scale() == scale;
        let base = self.next.base_mut()?;
        if !(same && base.copy_from(view)) {
            base.resample_from(view, origin, scale);
        }
        self.next.refresh();
        if let Some(half) = self.next.levels().get(1) {
            self.small.read(half);
        }
        Some(())
    }

    fn find(&mut self, view: Option<&GreyView<'_>>) -> Result<FootMotion, Lost> {
        view.and_then(|view| self.take(view))
            .ok_or(Lost::NoPicture)?;
        let jump = self.reference.small.jump(&self.small) * self.reference.scale;
        self.search(jump, None)
    }

    /// Looks once more at the frame at hand, of which the other foot tells the camera's shake, px.
    pub(super) fn again(&mut self, shake: DVec2) -> Result<FootMotion, Lost> {
        let last = self.last;
        let seen = self.search(shake, Some(shake));
        if seen.is_err() {
            self.last = last;
        }
        seen
    }

    /// Looks for the foot, the picture having jumped so far; `told` is the camera's shake where something
    /// else than the foot tells it, px.
    fn search(&mut self, jump: DVec2, told: Option<DVec2>) -> Result<FootMotion, Lost> {
        let scale = self.reference.scale;
        let mut best: Option<Attempt> = None;
        if let Some(mut q) = self.last {
            if told.is_some() || DVec2::new(q[SHAKE], q[SHAKE + 1]).distance(jump) > JUMPED * scale
            {
                (q[SHAKE], q[SHAKE + 1]) = (jump.x, jump.y);
            }
            self.consider(&q, false, told, &mut best);
        }
        let aside = self.kinematics.endwise() < ENDWISE;
        if best.as_ref().is_none_or(|a| {
            !a.plausible()
                || a.share(Part::Rear).max(a.share(Part::Fore)) < 0.6
                || aside && a.share_of(&[Part::Rear, Part::Bend]) < HEEL_HOLDS
        }) {
            for pitch in [0.0, 0.07, 0.14, 0.21] {
                let mut q = Unknowns::zeros();
                q[PITCH] = pitch;
                (q[SHAKE], q[SHAKE + 1]) = (jump.x, jump.y);
                self.consider(&q, true, told, &mut best);
            }
        }
        let attempt = best.ok_or_else(|| self.why())?;
        let (rear, fore) = (attempt.share(Part::Rear), attempt.share(Part::Fore));
        if rear.max(fore) < SUPPORT || !attempt.bearable() {
            if attempt.share_of(&Part::OF_FOOT) > STRAYED {
                self.doubt();
            }
            self.last = None;
            return Err(self.why());
        }
        self.last = Some(attempt.fitted.q);
        if rear.min(fore) > LEARNS {
            self.learn();
        }
        Ok(self.report(&attempt, rear))
    }

    /// Forgets where the foot was in the last frame (not its picture in standing).
    pub fn forget(&mut self) {
        self.last = None;
    }

    /// Patches that do not go with the foot lose trust, and win it back slowly.
    fn learn(&mut self) {
        for (feature, p) in self.reference.features.iter_mut().zip(&self.best) {
            if p.trust > 0.0 {
                let to = if p.weight > 0.25 { 1.0 } else { 0.0 };
                let to = to * feature.most;
                feature.trust = (feature.trust + 0.02 * (to - feature.trust)).max(0.05);
            }
        }
    }
}
