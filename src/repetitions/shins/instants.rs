//! When each repetition leaves standing, turns and stands again, from all of them together: how far
//! the knees run ahead of the hips and how the lifter moves is the set's.

use super::bout::Bout;
use super::course::Course;
use super::fit::Numbers;
use super::humps::Hump;
use crate::gather::Gather;

/// The powers that are tried for how far the knees run ahead, and what they are about: middle, and
/// spread of the logarithm.
const LEADS: [f64; 4] = [0.55, 0.7, 0.87, 1.1];
const LEAD: (f64, f64) = (0.75, 0.2);
/// The shapes that are tried, from minimum jerk (0) to a cosine (1).
const SHAPES: [f64; 3] = [0.0, 0.5, 1.0];
/// Courses are not quite of the shapes that are tried: misfits count for so much less.
const TEMPER: f64 = 2.0;

/// The courses of the humps: means over what the whole set may be like, by how well all of it fits.
pub(super) fn instants(course: &Course, squats: &[Hump]) -> Vec<Numbers> {
    let bouts = squats.iter().map(|h| Bout::new(course, h)).gather();
    let mut tried = Vec::new();
    for lead in LEADS {
        for shape in SHAPES {
            let off = libm::log(lead / LEAD.0) / LEAD.1;
            let mut cost = off * off;
            let mut list = Vec::new();
            for bout in &bouts {
                let fitted = bout.fit(course, lead, shape);
                cost += fitted.map_or(1e3, |f| f.cost);
                list.push(bout.kept(fitted.map(|f| f.numbers)));
            }
            tried.push((cost, list));
        }
    }
    let least = tried.iter().fold(f64::INFINITY, |l, t| l.min(t.0));
    let mut out = bouts.iter().map(|_| Numbers::zeros()).gather();
    let mut all = 0.0;
    for (cost, list) in &tried {
        let weight = libm::exp((least - cost) / (2.0 * TEMPER));
        all += weight;
        for (sum, p) in out.iter_mut().zip(list) {
            *sum += *p * weight;
        }
    }
    out.iter_mut().for_each(|p| *p /= all);
    out
}
