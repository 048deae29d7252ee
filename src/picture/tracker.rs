//! Follows one foot from frame to frame, always against its picture in standing.

use super::flow::{Follow, Found, Light};
use super::grey::{GreyView, Plane};
use super::jump::Small;
use super::motion::{
    Covariance, Fitted, Kinematics, Observed, PITCH, Part, RISE, ROLL, SHAKE, SLIP, Unknowns,
};
use super::pyramid::Pyramid;
use super::reference::{LEVELS, Reference};
use super::solid::Scene;
use crate::keypoints::Side;
use crate::measures::Estimate;
use crate::standing::body::{Body, Leg};
use crate::standing::camera::Camera;
use glam::{DMat2, DVec2, DVec3};
use std::fmt;

/// Why a foot's picture gives nothing.
#[non_exhaustive]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lost {
    /// No grey pixels came with the frame.
    NoPicture,
    /// Too few patches with texture on the foot in standing.
    NoTexture,
    /// Too dark to see the foot's texture.
    Dark,
    /// The texture is washed out: motion or focus.
    Blurred,
    /// Something else is where the foot was: it is hidden, or was set elsewhere.
    Covered,
}

impl Lost {
    /// A machine word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NoPicture => "no-picture",
            Self::NoTexture => "no-texture",
            Self::Dark => "dark",
            Self::Blurred => "blurred",
            Self::Covered => "covered",
        }
    }
}

impl fmt::Display for Lost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoPicture => "no grey pixels came with the frame",
            Self::NoTexture => "too little texture on the foot",
            Self::Dark => "too dark to see the foot",
            Self::Blurred => "the foot's picture is blurred",
            Self::Covered => "the foot is hidden, or was set elsewhere",
        })
    }
}

impl std::error::Error for Lost {}

/// What the picture says of a foot in one frame, relative to quiet standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootMotion {
    /// Height of the heel point above standing, mm; `None` when the rear foot can't be followed.
    pub heel_lift_mm: Option<Estimate>,
    /// Rotation about the long axis, inward +, degrees.
    pub foot_roll_deg: Option<Estimate>,
    /// Movement of the ball over the floor: along the foot, and toward the other foot, mm.
    pub slip_mm: [Estimate; 2],
    /// The camera's own movement since standing, px of the recording's picture.
    pub shake_px: DVec2,
    /// Heel point and the bases of big and little toe in the recording's picture, px.
    pub contacts_px: [Option<DVec2>; 3],
    /// Patches that agree with the motion: behind the ball, about it, ahead of it, on the floor.
    pub agreeing: [usize; 4],
    /// Patches there are: behind the ball, about it, ahead of it, on the floor.
    pub patches: [usize; 4],
}

const COARSE: Follow = Follow {
    steps: 4,
    still: 0.1,
    hold: 0.1,
    light: Light::Free,
};
const FINE: Follow = Follow {
    steps: 10,
    still: 0.02,
    hold: 0.05,
    light: Light::Free,
};

/// Correlation below which a patch is not the one sought.
const ALIKE: f32 = 0.75;
/// Longest step back of the forward-backward check, px.
const BACK: f32 = 0.4;
/// Error of a patch's place that no noise of pixels explains (shading, compression), px.
const FLOOR_SD: f64 = 0.12;
/// Pixels of a patch that err independently.
const INDEPENDENT: f32 = 5.0;
/// Patches overlap and share their errors: the covariance of the fit is this much too small.
const SHARED: f64 = 3.0;
/// Part of the trusted patches of a part that must agree.
const SUPPORT: f64 = 0.4;
/// Part of both parts' patches that must agree before the rest lose trust.
const LEARNS: f64 = 0.5;
/// Fewest patches behind the ball that a lift or a roll is read from: a rear foot with less is
/// mostly hidden, by the other foot as a rule.
const ENOUGH: usize = 8;
/// Fewest agreeing patches of a part.
const FEWEST: f64 = 4.0;
/// Contrast of a patch, of its contrast in standing, below which its texture is gone.
const WEAK: f32 = 0.45;
/// Brightness, of that in standing, below which it is dark, and within which it is still the foot's.
const DARK: f32 = 0.3;
const LIT: std::ops::Range<f32> = 0.62..1.4;
/// A rounded foot's outline and shading slide over its skin as it rolls, as if they belonged to
/// points nearer its axis: a roll looks smaller than it is by about this factor, give or take
/// [`SLIDE_SD`] of it (0.9 in a shoe with stripes, 0.5 to 0.6 in bare feet, in rendered clips with
/// known truth).
const SLIDE: f64 = 0.75;
const SLIDE_SD: f64 = 0.25;
/// The whole picture's rough jump is believed when it is this far from the last shake, px.
const JUMPED: f64 = 3.5;
/// A planted foot sinks no further into the floor, m, and slides no further, m: a foot that
/// seems to was mistaken, or was set elsewhere.
const SUNK: f64 = 0.006;
const SLID: f64 = 0.015;
/// Error of a length that the standing fit leaves, as a part of it.
const SCALE_SD: f64 = 0.04;

/// Follows one foot. Made anew for every setting of the feet.
#[derive(Clone, Debug)]
pub struct FootTracker {
    kinematics: Kinematics,
    reference: Reference,
    next: Pyramid,
    warped: Plane,
    small: Small,
    seen: Vec<Observed>,
    best: Vec<Observed>,
    found: Vec<Option<Found>>,
    moved: Vec<DVec2>,
    jumps: Vec<DVec2>,
    last: Option<Unknowns>,
}

/// 2 x 3 map from the standing crop to the frame's, px.
#[derive(Clone, Copy, Debug)]
struct Map {
    linear: DMat2,
    shift: DVec2,
}

impl Map {
    fn apply(&self, p: DVec2) -> DVec2 {
        self.linear * p + self.shift
    }
}

struct Attempt {
    fitted: Fitted,
    heel_rise: f64,
    /// Agreeing trust and all trust, by part.
    support: [[f64; 2]; Part::COUNT],
}

impl Attempt {
    fn share(&self, part: Part) -> f64 {
        let [yes, all] = self.support[part as usize];
        if yes >= FEWEST {
            yes / all.max(1.0)
        } else {
            0.0
        }
    }

    /// Whether a planted foot can do that: it does not sink or slide.
    fn plausible(&self) -> bool {
        let q = &self.fitted.q;
        self.heel_rise > -SUNK && q[RISE].abs() < SLID && q[SLIP].hypot(q[SLIP + 1]) < SLID
    }

    fn score(&self) -> f64 {
        let doubt = if self.plausible() { 1.0 } else { 0.5 };
        doubt * self.agreement()
    }

    fn agreement(&self) -> f64 {
        Part::ALL
            .iter()
            .map(|&p| self.support[p as usize][0] * if p == Part::Floor { 0.5 } else { 1.0 })
            .sum()
    }
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
        let leg = body.legs[side.index()];
        let kinematics = Kinematics {
            camera: *camera,
            leg,
            sign: side.sign(),
            foot_m: body.foot,
        };
        let near = camera.depth(leg.ball).max(0.1);
        let foot_px = camera.focal * body.foot / near;
        let scene = Scene::new(*camera, body);
        let reference = Reference::new(standing, &scene, side, foot_px).ok_or(Lost::NoPicture)?;
        let count = |part| reference.features.iter().filter(|f| f.part == part).count() as f64;
        if count(Part::Rear).max(count(Part::Fore)) < 2.0 * FEWEST {
            return Err(if reference.brightness < 16.0 {
                Lost::Dark
            } else {
                Lost::NoTexture
            });
        }
        let n = reference.features.len();
        Ok(Self {
            kinematics,
            next: Pyramid::new(Plane::new(reference.width, reference.height), LEVELS),
            warped: Plane::new(reference.width, reference.height),
            small: reference.small.clone(),
            seen: Vec::with_capacity(n),
            best: Vec::with_capacity(n),
            found: vec![None; n],
            moved: Vec::with_capacity(n),
            jumps: Vec::with_capacity(n),
            last: None,
            reference,
        })
    }

    /// Takes one frame's crop and says how the foot has moved since standing. Costs no allocation.
    ///
    /// # Errors
    /// [`Lost`] says why nothing can be said; the next frame may be found again.
    pub fn push(&mut self, view: Option<&GreyView<'_>>) -> Result<FootMotion, Lost> {
        let view = view.ok_or(Lost::NoPicture)?;
        let r = &self.reference;
        let (origin, scale) = (r.origin, r.scale);
        let same = view.origin() == origin && view.scale() == scale;
        let base = self.next.base_mut().ok_or(Lost::NoPicture)?;
        if !(same && base.copy_from(view)) {
            base.resample_from(view, origin, scale);
        }
        self.next.refresh();
        if let Some(half) = self.next.levels().get(1) {
            self.small.read(half);
        }
        let jump = self.reference.small.jump(&self.small) * scale;
        let mut best: Option<Attempt> = None;
        if let Some(mut q) = self.last {
            if DVec2::new(q[SHAKE], q[SHAKE + 1]).distance(jump) > JUMPED * scale {
                (q[SHAKE], q[SHAKE + 1]) = (jump.x, jump.y);
            }
            self.consider(&q, &mut best);
        }
        if best
            .as_ref()
            .is_none_or(|a| !a.plausible() || a.share(Part::Rear).max(a.share(Part::Fore)) < 0.6)
        {
            for pitch in [0.0, 0.07, 0.14, 0.21] {
                let mut q = Unknowns::zeros();
                q[PITCH] = pitch;
                (q[SHAKE], q[SHAKE + 1]) = (jump.x, jump.y);
                self.consider(&q, &mut best);
            }
        }
        let attempt = best.ok_or_else(|| self.why())?;
        let (rear, fore) = (attempt.share(Part::Rear), attempt.share(Part::Fore));
        if rear.max(fore) < SUPPORT || !attempt.plausible() {
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

    fn consider(&mut self, start: &Unknowns, best: &mut Option<Attempt>) {
        if let Some(attempt) = self.attempt(start)
            && best
                .as_ref()
                .is_none_or(|b| attempt.score() > b.score() * 1.02)
        {
            *best = Some(attempt);
            std::mem::swap(&mut self.best, &mut self.seen);
        }
    }

    /// Follows every patch from where the motion `start` puts it, and fits the motion anew.
    fn attempt(&mut self, start: &Unknowns) -> Option<Attempt> {
        let mut q = self.steady(start);
        let mut fitted = None;
        for round in 0..3 {
            self.follow(&q, round == 0);
            let f = self.kinematics.fit(&q, &mut self.seen, 6)?;
            let step = self.largest_step(&q, &f.q);
            q = f.q;
            fitted = Some(f);
            if step < 0.35 {
                break;
            }
        }
        let mut support = [[0.0; 2]; Part::COUNT];
        for (p, feature) in self.seen.iter().zip(&self.reference.features) {
            let s = &mut support[p.part as usize];
            s[1] += feature.trust;
            if p.trust > 0.0 && p.weight > 0.25 {
                s[0] += feature.trust;
            }
        }
        fitted.map(|fitted| Attempt {
            heel_rise: self.kinematics.heel_rise(&fitted.q),
            fitted,
            support,
        })
    }

    /// The motion with the shake that the floor alone shows (its patches' middle movement): a
    /// camera may jump further between two frames than a foot.
    fn steady(&mut self, start: &Unknowns) -> Unknowns {
        let mut q = *start;
        self.displace(&q);
        let scale = self.reference.scale;
        let map = self.map(Part::Floor);
        self.jumps.clear();
        for (i, f) in self.reference.features.iter().enumerate() {
            if f.part != Part::Floor {
                continue;
            }
            self.found[i] = self.follow_one(i, &map, false, true);
            if let Some(found) = self.found[i]
                && found.alike > ALIKE
                && found.back < BACK
            {
                let at = DVec2::new(f64::from(f.at[0]), f64::from(f.at[1]));
                let there = DVec2::new(f64::from(found.x), f64::from(found.y));
                self.jumps.push((there - at) * scale);
            }
        }
        if self.jumps.len() >= 4 {
            let mid = self.jumps.len() / 2;
            for axis in 0..2 {
                self.jumps.sort_by(|a, b| a[axis].total_cmp(&b[axis]));
                q[SHAKE + axis] = self.jumps[mid][axis];
            }
        }
        q
    }

    /// Largest difference that two motions make to a patch, px of the crop.
    fn largest_step(&mut self, a: &Unknowns, b: &Unknowns) -> f64 {
        self.displace(a);
        let points = self.reference.features.iter().map(|f| (f.part, f.place));
        self.kinematics
            .displacements(b, points)
            .zip(&self.moved)
            .map(|(b, a)| (b - *a).length() / self.reference.scale)
            .fold(0.0, f64::max)
    }

    fn displace(&mut self, q: &Unknowns) {
        self.moved.clear();
        let points = self.reference.features.iter().map(|f| (f.part, f.place));
        self.moved.extend(self.kinematics.displacements(q, points));
    }

    fn follow(&mut self, q: &Unknowns, coarse: bool) {
        self.displace(q);
        self.seen.clear();
        // The floor was followed before the foot.
        for part in [Part::Rear, Part::Bend, Part::Fore] {
            let map = self.map(part);
            let turned = (map.linear - DMat2::IDENTITY).abs();
            let turned = turned.x_axis.max(turned.y_axis).max_element() > 0.012;
            if turned {
                self.warp(part, &map);
            }
            for i in 0..self.reference.features.len() {
                if self.reference.features[i].part == part {
                    self.found[i] = self.follow_one(i, &map, turned, coarse);
                }
            }
        }
        let scale = self.reference.scale;
        let noise = self.reference.noise.max(1.0);
        for (i, feature) in self.reference.features.iter().enumerate() {
            let (mut observed, patch) = (
                Observed {
                    part: feature.part,
                    place: feature.place,
                    moved: DVec2::ZERO,
                    expected: self.moved.get(i).copied().unwrap_or_default(),
                    standing: feature.px,
                    variance: DMat2::IDENTITY,
                    trust: 0.0,
                    weight: 0.0,
                },
                feature.patches[0].as_ref(),
            );
            if let (Some(found), Some(patch)) = (self.found[i], patch) {
                let at = DVec2::new(f64::from(feature.at[0]), f64::from(feature.at[1]));
                let there = DVec2::new(f64::from(found.x), f64::from(found.y));
                let good = found.alike > ALIKE && found.back < BACK && found.gain > 0.3;
                observed.moved = (there - at) * scale;
                observed.variance =
                    variance(patch.tensor, found.misfit.max(noise)) * (scale * scale);
                observed.trust = if good { feature.trust } else { 0.0 };
            }
            self.seen.push(observed);
        }
    }

    /// The map of a part that its patches' expected places make (least squares), px of the crop.
    fn map(&self, part: Part) -> Map {
        let scale = self.reference.scale;
        let (mut n, mut p0, mut q0) = (0.0, DVec2::ZERO, DVec2::ZERO);
        let pairs = || {
            self.reference
                .features
                .iter()
                .zip(&self.moved)
                .filter(move |(f, _)| f.part == part)
                .map(move |(f, m)| {
                    let p = DVec2::new(f64::from(f.at[0]), f64::from(f.at[1]));
                    (p, p + *m / scale)
                })
        };
        for (p, q) in pairs() {
            n += 1.0;
            p0 += p;
            q0 += q;
        }
        if n < 1.0 {
            return Map {
                linear: DMat2::IDENTITY,
                shift: DVec2::ZERO,
            };
        }
        (p0, q0) = (p0 / n, q0 / n);
        let mut linear = DMat2::IDENTITY;
        if part != Part::Floor && n >= 4.0 {
            // Similarity: rotation and size; (a, b) with u' = a u - b v, v' = b u + a v.
            let (mut a, mut b, mut all) = (0.0, 0.0, 0.0);
            for (p, q) in pairs() {
                let (u, v) = (p - p0, q - q0);
                a += u.dot(v);
                b += u.perp_dot(v);
                all += u.length_squared();
            }
            if all > 1.0 {
                let (a, b) = (a / all, b / all);
                linear = DMat2::from_cols(DVec2::new(a, b), DVec2::new(-b, a));
            }
        }
        Map {
            linear,
            shift: q0 - linear * p0,
        }
    }

    /// Reads the frame through `map` where the part's patches are in standing.
    fn warp(&mut self, part: Part, map: &Map) {
        let margin = 10.0f32;
        let mut low = [f32::INFINITY; 2];
        let mut high = [f32::NEG_INFINITY; 2];
        for f in self.reference.features.iter().filter(|f| f.part == part) {
            for k in 0..2 {
                low[k] = low[k].min(f.at[k] - margin);
                high[k] = high[k].max(f.at[k] + margin);
            }
        }
        let (w, h) = (self.warped.width(), self.warped.height());
        let x = (low[0].max(0.0) as usize)..((high[0].max(0.0) as usize + 1).min(w));
        let y = (low[1].max(0.0) as usize)..((high[1].max(0.0) as usize + 1).min(h));
        let Some(from) = self.next.levels().first() else {
            return;
        };
        let (dx, dy) = (map.linear.x_axis.as_vec2(), map.linear.y_axis.as_vec2());
        let shift = map.shift.as_vec2();
        for row in y {
            let start = shift + dy * row as f32;
            let line = self
                .warped
                .data_mut()
                .get_mut(row * w + x.start..row * w + x.end.max(x.start));
            for (i, v) in line.into_iter().flatten().enumerate() {
                let p = start + dx * (x.start + i) as f32;
                *v = from.sample(p.x, p.y);
            }
        }
    }

    /// Follows one patch; its place in the frame's crop, px.
    fn follow_one(&self, i: usize, map: &Map, turned: bool, coarse: bool) -> Option<Found> {
        let feature = self.reference.features.get(i)?;
        let at = DVec2::new(f64::from(feature.at[0]), f64::from(feature.at[1]));
        let mut place = at + *self.moved.get(i)? / self.reference.scale;
        if coarse
            && let (Some(patch), Some(level)) = (&feature.patches[1], self.next.levels().get(1))
        {
            let half = (place * 0.5).as_vec2();
            if let Some(f) = patch.follow(level, half.x, half.y, &COARSE)
                && f.alike > 0.6
            {
                place = DVec2::new(f64::from(f.x), f64::from(f.y)) * 2.0;
            }
        }
        let patch = feature.patches[0].as_ref()?;
        if turned {
            let inverse = map.linear.inverse();
            let start = (inverse * (place - map.shift)).as_vec2();
            let mut f = patch.follow(&self.warped, start.x, start.y, &FINE)?;
            let there = map
                .apply(DVec2::new(f64::from(f.x), f64::from(f.y)))
                .as_vec2();
            (f.x, f.y) = (there.x, there.y);
            Some(f)
        } else {
            let start = place.as_vec2();
            patch.follow(self.next.levels().first()?, start.x, start.y, &FINE)
        }
    }

    /// Patches that do not go with the foot lose trust, and win it back slowly.
    fn learn(&mut self) {
        for (feature, p) in self.reference.features.iter_mut().zip(&self.best) {
            if p.trust > 0.0 {
                let to = if p.weight > 0.25 { 1.0 } else { 0.0 };
                feature.trust = (feature.trust + 0.02 * (to - feature.trust)).clamp(0.05, 1.0);
            }
        }
    }

    /// Why the foot was not found in the frame at hand.
    fn why(&self) -> Lost {
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

    fn report(&self, attempt: &Attempt, rear: f64) -> FootMotion {
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
        let mut lift = self.kinematics.heel_lift(&fitted);
        lift.sd = lift.sd.hypot(SCALE_SD * lift.value);
        let roll = q[ROLL].to_degrees() / SLIDE;
        let roll = Estimate {
            value: roll,
            sd: (sd(ROLL).to_degrees() / SLIDE).hypot(SLIDE_SD * roll),
        };
        let leg: &Leg = &self.kinematics.leg;
        // Bases of the toes: at the ball, a quarter of foot length apart, on the axis' inner third.
        let base = |across: f64, back: f64| -> DVec3 {
            leg.ball + leg.medial * (across * self.kinematics.foot_m)
                - leg.along * (back * self.kinematics.foot_m)
        };
        let mut agreeing = [0; Part::COUNT];
        let mut patches = [0; Part::COUNT];
        for (p, f) in self.best.iter().zip(&self.reference.features) {
            patches[f.part as usize] += 1;
            agreeing[p.part as usize] += usize::from(p.trust > 0.0 && p.weight > 0.25);
        }
        let seen = rear >= SUPPORT && patches[Part::Rear as usize] >= ENOUGH;
        FootMotion {
            heel_lift_mm: seen.then_some(lift),
            foot_roll_deg: seen.then_some(roll),
            slip_mm: [slip(SLIP), slip(SLIP + 1)],
            shake_px: DVec2::new(q[SHAKE], q[SHAKE + 1]),
            contacts_px: [
                self.kinematics.picture_of(q, Part::Rear, leg.heel),
                self.kinematics.picture_of(q, Part::Fore, base(0.1, 0.0)),
                self.kinematics.picture_of(q, Part::Fore, base(-0.18, 0.1)),
            ],
            agreeing,
            patches,
        }
    }
}

/// Variance of a patch's place, px^2: noise of `noise` grey levels against its tensor, and the
/// error that no noise explains.
fn variance(tensor: [f32; 3], noise: f32) -> DMat2 {
    // Along a bare edge the tensor says nothing: a few pixels' worth of doubt, not infinity.
    let hold = 1e-1;
    let t = DMat2::from_cols(
        DVec2::new(f64::from(tensor[0]) + hold, f64::from(tensor[1])),
        DVec2::new(f64::from(tensor[1]), f64::from(tensor[2]) + hold),
    );
    t.inverse() * f64::from(noise * noise / INDEPENDENT)
        + DMat2::from_diagonal(DVec2::splat(FLOOR_SD * FLOOR_SD))
}
