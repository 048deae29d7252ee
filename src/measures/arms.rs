//! Arms: each hangs from the shoulder by its length.

use crate::keypoints::{Carry, Joint, Part, Side};
use crate::standing::{Body, Camera};
use glam::{DVec2, DVec3};

use super::geometry::Pixels;

/// Upper arm and forearm, of stature (Drillis & Contini 1966).
const OF_STATURE: [f64; 2] = [0.186, 0.146];
const PARTS: [Part; 2] = [Part::Elbow, Part::Wrist];
/// An arm that shows less of its usual length than this comes toward the camera or goes from it.
const IN_PLANE: f64 = 0.8;

/// Of the length shown: so that an arm that looks a little shorter than in standing stays where the
/// shoulder is, because what it shows then tells its direction least (a cosine near 1).
const CAUTION: f64 = 0.93;

/// Lengths of an upper arm and a forearm, m.
pub(super) type Lengths = [f64; 2];

/// What the arms' lengths seem to be in standing: as long as they look, when that is near what is
/// usual. A usual length taken for a longer arm's, or a longer for a shorter's, would turn every
/// hanging arm forward: near its full length what it shows hardly tells its direction.
pub(super) fn lengths(camera: &Camera, body: &Body, standing: &Pixels) -> [Lengths; 2] {
    Side::BOTH.map(|side| {
        let mut out = OF_STATURE.map(|share| share * body.stature);
        let Some(mut at) = body.joint(Joint::of(Part::Shoulder, side)) else {
            return out;
        };
        for (length, part) in out.iter_mut().zip(PARTS) {
            let Some(px) = standing[Joint::of(part, side).index()] else {
                break;
            };
            let flat = camera.at_depth(px, camera.depth(at));
            let shown = flat.distance(at);
            if (IN_PLANE..1.3).contains(&(shown / *length)) {
                *length = shown * CAUTION;
                at = flat;
            } else {
                at = tip(camera, at, *length, px);
            }
        }
        out
    })
}

/// Elbow and wrist of an arm that hangs from `shoulder`; `None` where not seen.
pub(super) fn arm(
    camera: &Camera,
    shoulder: DVec3,
    lengths: Lengths,
    pixels: [Option<DVec2>; 2],
    carry: Carry,
) -> [Option<DVec3>; 2] {
    let mut at = shoulder;
    let mut out = [None; 2];
    for ((slot, px), length) in out.iter_mut().zip(pixels).zip(lengths) {
        let Some(px) = px else { break };
        // Hands on a bar across the back keep elbows and wrists about below and beside the
        // shoulders.
        at = if carry == Carry::Back {
            camera.at_depth(px, camera.depth(at))
        } else {
            tip(camera, at, length, px)
        };
        *slot = Some(at);
    }
    out
}

/// The far end of a limb of a given length about `joint`: where its ray meets the sphere, the
/// solution further forward; the nearest point of the ray when it misses.
#[inline]
fn tip(camera: &Camera, joint: DVec3, length: f64, px: DVec2) -> DVec3 {
    let ray = camera.ray(px);
    let to = joint - camera.place;
    let along = to.dot(ray);
    let reach = length * length - (to.length_squared() - along * along);
    let near = camera.place + ray * along;
    if reach <= 0.0 {
        return joint + (near - joint).normalize_or_zero() * length;
    }
    let half = ray * reach.sqrt();
    let (a, b) = (near - half, near + half);
    if a.z >= b.z { a } else { b }
}
