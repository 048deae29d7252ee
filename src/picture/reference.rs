//! The foot's picture in quiet standing, and the patches in it that are worth following.

use super::corners::{Corner, corners};
use super::flow::{Follow, HALF, Light, Patch};
use super::grey::GreyView;
use super::jump::Small;
use super::motion::Part;
use super::plane::Plane;
use super::pyramid::{Pyramid, Slopes};
use super::solid::{Scene, Shown};
use crate::gather::Gather;
use crate::keypoints::Side;
use glam::{DVec2, DVec3};

/// Levels that patches are followed on: full and half size.
pub(crate) const LEVELS: usize = 2;
/// Most patches of each part.
const MOST: [usize; Part::COUNT] = [32, 10, 20, 12];
/// Least distance between patches, px.
const APART: f32 = 4.0;
/// How much an edge counts beside a corner.
const EDGES: f32 = 0.2;
/// Least rank of a patch, (grey levels per px)^2.
const LEAST: f32 = 2.0;
/// Where the other foot must not be, about a patch, in foot lengths.
const AROUND: [(f64, f64); 4] = [(0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.06)];
/// Least smaller eigenvalue of a patch on the floor, (grey levels per px)^2: soft shadows have less.
const FLOOR_LEAST: f32 = 4.0;
/// Keypoint estimators put ankle and heel above where they are (6 to 12 px at a foot of 80 px in
/// rendered clips with known truth): where that was not taken off the standing fit, the solid is looked up this much
/// higher, in foot lengths.
const HABIT: f64 = 0.07;

/// One patch of the reference picture.
#[derive(Clone, Debug)]
pub(crate) struct Feature {
    pub part: Part,
    /// Centre in the crop, px.
    pub at: [f32; 2],
    /// Where it is in the world, m (meaningless for the floor).
    pub place: DVec3,
    /// Where the camera of the standing fit sees that, px.
    pub px: DVec2,
    /// By level.
    pub patches: [Option<Patch>; LEVELS],
    /// Trust in it being what it is taken for, 0 to 1; learned while following, up to `most`.
    pub trust: f64,
    /// Most trust that it can win.
    pub most: f64,
}

/// The picture of quiet standing.
#[derive(Clone, Debug)]
pub(crate) struct Reference {
    pub origin: DVec2,
    pub scale: f64,
    pub width: usize,
    pub height: usize,
    /// The laid frames.
    pub picture: Plane,
    pub features: Vec<Feature>,
    pub small: Small,
    /// How far the foot is seen below where the standing fit puts it, px.
    pub habit: f64,
    /// Root mean square noise of a pixel between standing frames, grey levels.
    pub noise: f32,
    /// Root mean square of the camera's shake between standing frames, px of the recording; infinite where nothing told it.
    pub shake: f64,
    /// Mean brightness of the crop, grey levels.
    pub brightness: f32,
}

/// Most trust in a patch that may hold more of the floor than of the foot, and most such patches.
const LOW_TRUST: f64 = 0.1;
const MOST_LOW: usize = 12;

/// How standing frames are laid over each other.
const LAY: Follow = Follow {
    steps: 12,
    still: 0.02,
    hold: 0.05,
    light: Light::Free,
};

impl Reference {
    /// Lays the frames over each other, looks for patches and places them. `foot_px` is the foot's
    /// length in the picture; `placed` as in [`Known`].
    ///
    /// [`Known`]: super::tracker::Known
    pub fn new(
        frames: &[GreyView<'_>],
        scene: &Scene,
        side: Side,
        foot_px: f64,
        placed: bool,
    ) -> Option<Self> {
        let first = frames.first()?;
        let (width, height) = (first.width(), first.height());
        let (origin, scale) = (first.origin(), first.scale());
        let (mean, noise, shake) = mean_picture(frames);
        let pyramid = Pyramid::new(mean, LEVELS);
        let slopes: Vec<Slopes> = pyramid.levels().iter().map(Slopes::new).gather();
        let whole = slopes.first()?;
        let base = pyramid.levels().first()?;
        let habit = if placed { 0.0 } else { HABIT * foot_px };
        let px = |x: f32, y: f32| origin + DVec2::new(f64::from(x), f64::from(y)) * scale;
        let shown = |c: &Corner| {
            let at = px(c.x, c.y) - DVec2::Y * habit;
            // The solids are rough: what may be the other foot is not taken for this one.
            let other = AROUND
                .iter()
                .any(|&(x, y)| scene.shown(at + DVec2::new(x, y) * foot_px, side) == Shown::Other);
            if other {
                Shown::Other
            } else {
                scene.shown(at, side)
            }
        };
        // The foot's own stretch of the picture is searched apart, or a patterned floor would crowd
        // a plain foot out.
        let reach = foot_px / scale;
        let (low, high) = scene.extent(side, 0.2 * foot_px);
        let within = |x: usize, y: usize| {
            let p = px(x as f32, y as f32);
            p.cmpge(low).all() && p.cmple(high).all()
        };
        let near = corners(whole, HALF, 2.0, EDGES, LEAST, 2000, within);
        let far = corners(whole, HALF, 6.0, 0.0, LEAST, 200, |x, y| !within(x, y));
        let mut all: Vec<Corner> = near.into_iter().chain(far).gather();
        let rank = |c: &Corner| c.weak + EDGES * c.strong;
        crate::order::largest_first(&mut all, |c| f64::from(rank(c)));
        let mut features: Vec<Feature> = Vec::new();
        let mut counts = [0usize; Part::COUNT];
        let mut lows = 0;
        for c in &all {
            let (part, place) = match shown(c) {
                Shown::Rear(place) => (Part::Rear, place),
                Shown::Bend(place) => (Part::Bend, place),
                Shown::Fore(place) => (Part::Fore, place),
                Shown::Beyond
                    if c.weak >= FLOOR_LEAST && clear(scene, px(c.x, c.y), side, foot_px) =>
                {
                    (Part::Floor, DVec3::ZERO)
                }
                _ => continue,
            };
            let i = part as usize;
            let low = part.pitches() && scene.low(place);
            if low && lows >= MOST_LOW {
                continue;
            }
            let most = if low { LOW_TRUST } else { 1.0 };
            let apart = if part == Part::Floor {
                2.0 * APART
            } else {
                APART
            };
            let free =
                |f: &Feature| (f.at[0] - c.x).powi(2) + (f.at[1] - c.y).powi(2) >= apart * apart;
            if counts[i] >= MOST[i] || !features.iter().all(free) {
                continue;
            }
            let mut patches = [const { None }; LEVELS];
            for (k, (slot, (level, slope))) in patches
                .iter_mut()
                .zip(pyramid.levels().iter().zip(&slopes))
                .enumerate()
            {
                let size = (1 << k) as f32;
                // At half size a patch spans 22 px: too much beside a small foot.
                if k == 0 || reach > 60.0 {
                    *slot = Patch::new(level, slope, c.x / size, c.y / size, Light::Free);
                }
            }
            if patches[0].is_none() {
                continue;
            }
            counts[i] += 1;
            lows += usize::from(low);
            features.push(Feature {
                part,
                at: [c.x, c.y],
                place,
                px: scene.project(place),
                patches,
                trust: most,
                most,
            });
        }
        let mut small = Small::default();
        if let Some(half) = pyramid.levels().get(1) {
            small.read(half);
        }
        Some(Self {
            origin,
            scale,
            width,
            height,
            features,
            small,
            habit,
            noise,
            shake: shake * scale,
            brightness: base.data().iter().sum::<f32>() / base.data().len().max(1) as f32,
            picture: base.clone(),
        })
    }
}

/// Whether nothing of the lifter is near a pixel, whichever way the solid may be off.
fn clear(scene: &Scene, px: DVec2, side: Side, foot_px: f64) -> bool {
    [(0.0, -0.25), (0.0, 0.1), (0.15, -0.1), (-0.15, -0.1)]
        .iter()
        .all(|&(x, y)| scene.shown(px + DVec2::new(x, y) * foot_px, side) == Shown::Beyond)
}

/// The mean of the frames, laid over the first, the noise of one of them, and the camera's shake between them, px.
fn mean_picture(frames: &[GreyView<'_>]) -> (Plane, f32, f64) {
    let Some(first) = frames.first() else {
        return (Plane::default(), 0.0, f64::INFINITY);
    };
    let (w, h) = (first.width(), first.height());
    let mut base = Plane::new(w, h);
    base.copy_from(first);
    let slopes = Slopes::new(&base);
    let found = corners(&slopes, 5, 10.0, 0.0, LEAST, 40, |_, _| true);
    let patches: Vec<(f32, f32, Patch)> = found
        .iter()
        .filter_map(|c| Some((c.x, c.y, Patch::new(&base, &slopes, c.x, c.y, Light::Free)?)))
        .gather();
    let mut sum = base.clone();
    let mut count = 1.0f32;
    let (mut shaken, mut told) = (0.0f32, 0.0f32);
    let mut next = Plane::new(w, h);
    let (mut dx, mut dy, mut misfits) = (Vec::new(), Vec::new(), Vec::new());
    for view in frames.iter().skip(1) {
        next.resample_from(view, first.origin(), first.scale());
        dx.clear();
        dy.clear();
        for (x, y, patch) in &patches {
            if let Some(f) = patch.follow(&next, *x, *y, &LAY)
                && f.alike > 0.8
            {
                dx.push(f.x - x);
                dy.push(f.y - y);
                misfits.push(f.misfit);
            }
        }
        // Too few patches to tell a shake: the camera is taken to be still.
        let (sx, sy) = if dx.len() >= 4 {
            (median(&mut dx), median(&mut dy))
        } else {
            (0.0, 0.0)
        };
        if dx.len() >= 4 {
            shaken += sx * sx + sy * sy;
            told += 1.0;
        }
        if sx * sx + sy * sy > 36.0 {
            continue;
        }
        count += 1.0;
        for (y, row) in sum.data_mut().chunks_exact_mut(w.max(1)).enumerate() {
            for (x, v) in row.iter_mut().enumerate() {
                *v += next.sample(x as f32 + sx, y as f32 + sy);
            }
        }
    }
    for v in sum.data_mut() {
        *v /= count;
    }
    // Copies of one frame tell nothing.
    let shake = if told >= 3.0 && shaken > 0.0 {
        f64::from((shaken / told).sqrt())
    } else {
        f64::INFINITY
    };
    (sum, median(&mut misfits), shake)
}

fn median(values: &mut [f32]) -> f32 {
    if values.is_empty() {
        return 0.0;
    }
    crate::order::shell(values, |a, b| a.total_cmp(b).is_gt());
    values[values.len() / 2]
}
