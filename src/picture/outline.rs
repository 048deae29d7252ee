//! A foot's outline in the picture: the rough solid's silhouette, laid on the edges that the picture of
//! standing shows, because the solid's place is the estimator's and that is a centimetre or two off.

use super::motion::{Part, Unknowns};
use super::plane::Plane;
use super::pyramid::Slopes;
use super::solid::{OUTLINE, part};
use super::tracker::FootTracker;
use glam::{DVec2, DVec3, Vec2};

/// Points of a section's edge, by half breadth and height: where |x|^3 + y^2 = 1.
static SECTION: [(f64, f64); 7] = [
    (-1.0, 0.0),
    (-0.93, 0.44),
    (-0.7, 0.81),
    (0.0, 1.0),
    (0.7, 0.81),
    (0.93, 0.44),
    (1.0, 0.0),
];
/// From here on, in foot lengths, the foot does not pitch.
const HINGE: f64 = 0.7;

/// How far the silhouette is shifted at most, each way, and in which steps, in foot lengths; and how
/// much higher it is tried.
const REACH: i32 = 8;
const STEP: f32 = 0.018;
const HIGHER: [f64; 2] = [0.0, 0.12];
/// What the furthest shift costs, where an edge all round gains 1.
const COST: f32 = 0.5;
/// Slope across the silhouette that counts half of a sharp edge's, grey levels per px.
const SOFT: f32 = 8.0;
/// Places of one side that are looked at.
const PLACES: u8 = 6;
/// How far inside and outside of an edge it is asked what is floor, in foot lengths; and where there is
/// floor for sure, shadows and all.
const BESIDE: f32 = 0.05;
const FLOOR: [f32; 4] = [0.17, 0.23, 0.29, 0.35];
/// Shades of grey that floor is told by, and levels of each.
const SHADES: usize = 16;
const LEVELS: f32 = 16.0;

/// Where the silhouette lies from where the standing fit puts the foot: px, and how much higher it is.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Laid {
    shift: DVec2,
    higher: f64,
}

impl FootTracker {
    /// The foot's outline as the motion `q` leaves it, px.
    pub(super) fn outline_by(&self, q: &Unknowns) -> Vec<DVec2> {
        self.outline_laid(q, &self.laid)
    }

    #[inline(never)] // twice in the module else
    fn outline_laid(&self, q: &Unknowns, laid: &Laid) -> Vec<DVec2> {
        let k = &self.kinematics;
        let (high, broad) = part(self.known.worn);
        let back = DVec3::new(k.leg.heel.x, 0.0, k.leg.heel.z);
        let ball = k.picture_of(q, Part::Fore, k.leg.ball).unwrap_or_default();
        let mut points = Vec::with_capacity(OUTLINE.len() * SECTION.len());
        for &(ahead, height, half) in &OUTLINE {
            for &(x, y) in &SECTION {
                let across = k.leg.medial * (x * half * broad);
                let up = DVec3::Y * (y * height * high);
                let at = back + (k.leg.along * ahead + across + up) * k.foot_m;
                let of = if ahead < HINGE {
                    Part::Rear
                } else {
                    Part::Fore
                };
                if let Some(mut p) = k.picture_of(q, of, at) {
                    p.y += laid.higher * (p.y - ball.y);
                    points.push(p + laid.shift);
                }
            }
        }
        hull(&points)
    }

    /// Lays the outline on the edges of the picture of standing: on those that
    /// have the floor's shades on their outer side alone, because a sole has two edges, and a floor's
    /// shadow has one. `foot` is the foot's length, px.
    pub(super) fn lay(&mut self, foot: f64) {
        let standing = &self.reference.picture;
        let slopes = &Slopes::new(standing);
        let (origin, scale) = (self.reference.origin, self.reference.scale);
        let foot = (foot / scale) as f32;
        let habit = DVec2::Y * self.reference.habit;
        let mut best = f32::MIN;
        let mut ground = None;
        for higher in HIGHER {
            let mut laid = Laid {
                shift: habit,
                higher,
            };
            let mut outline = self.outline_laid(&Unknowns::zeros(), &laid);
            for p in &mut outline {
                *p = (*p - origin) / scale;
            }
            let ground = ground.get_or_insert_with(|| floor(&outline, standing, foot));
            for y in -REACH..=REACH {
                for x in -REACH..=REACH {
                    let steps = Vec2::new(x as f32, y as f32);
                    let by = steps * (STEP * foot);
                    let far = steps.length_squared() / (REACH * REACH) as f32;
                    let score = fit(&outline, standing, slopes, ground, by, foot) - COST * far;
                    if score > best {
                        best = score;
                        laid.shift = habit + by.as_dvec2() * scale;
                        self.laid = laid;
                    }
                }
            }
        }
    }
}

/// Goes along an outline, px of the crop: each place, the way out, and its share of the outline.
fn along(outline: &[DVec2], each: &mut dyn FnMut(Vec2, Vec2, f32)) {
    let mut a = outline.last().copied().unwrap_or_default().as_vec2();
    for b in outline {
        let side = b.as_vec2() - a;
        // The hull runs so that the foot is on the other side.
        let out = -side.perp().normalize_or_zero();
        for k in 0..PLACES {
            each(
                a + side * (f32::from(k) / f32::from(PLACES)),
                out,
                side.length(),
            );
        }
        a += side;
    }
}

/// The shades of grey of the floor about the foot: how often each comes, of half the most frequent one.
fn floor(outline: &[DVec2], standing: &Plane, foot: f32) -> [f32; SHADES] {
    let mut counts = [0.0f32; SHADES];
    let mut most = 1e-3f32;
    along(outline, &mut |at, out, long| {
        for by in FLOOR {
            let count = &mut counts[shade(standing, at + out * (by * foot))];
            *count += long;
            most = most.max(*count);
        }
    });
    counts.map(|n| 2.0 * n / most)
}

fn shade(standing: &Plane, at: Vec2) -> usize {
    (standing.sample(at.x, at.y) / LEVELS) as usize % SHADES
}

/// How well an outline lies, shifted so many px of the crop.
fn fit(
    outline: &[DVec2],
    standing: &Plane,
    slopes: &Slopes,
    floor: &[f32; SHADES],
    shift: Vec2,
    foot: f32,
) -> f32 {
    let (mut sum, mut all) = (0.0, 1e-3f32);
    along(outline, &mut |at, out, long| {
        let (at, beside) = (at + shift, out * (BESIDE * foot));
        let across =
            (slopes.x.sample(at.x, at.y) * out.x + slopes.y.sample(at.x, at.y) * out.y).abs();
        let edge = across / (across + SOFT);
        let [out, on] = [at + beside, at - beside].map(|p| floor[shade(standing, p)].min(1.0));
        sum += long * (edge + out - on);
        all += long;
    });
    sum / all
}

/// Convex hull of points, by wrapping them (Jarvis 1973, "On the identification of the convex hull
/// of a finite set of points in the plane").
fn hull(points: &[DVec2]) -> Vec<DVec2> {
    let Some(first) = points
        .iter()
        .copied()
        .reduce(|a, b| if b.x < a.x { b } else { a })
    else {
        return Vec::new();
    };
    let mut hull = vec![first];
    while hull.len() <= points.len() {
        let at = hull[hull.len() - 1];
        // The outermost one seen from here; of those in one line the furthest.
        let next = points.iter().copied().filter(|&p| p != at).reduce(|a, b| {
            let turn = (a - at).perp_dot(b - at);
            let further = turn == 0.0 && b.distance_squared(at) > a.distance_squared(at);
            if turn < 0.0 || further { b } else { a }
        });
        match next {
            Some(next) if next != first => hull.push(next),
            _ => break,
        }
    }
    hull
}
