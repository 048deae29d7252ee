//! Finds the patches of standing again in a frame, each from where a motion puts it.

use super::flow::{Follow, Found, Light};
use super::motion::{Observed, Part, SHAKE, UNKNOWNS, Unknowns};
use super::tracker::{ALIKE, BACK, FootTracker};
use crate::gather::Gather;
use glam::{DMat2, DVec2};

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
/// Error of a patch's place that no noise of pixels explains (shading, compression), px.
const FLOOR_SD: f64 = 0.12;
/// Pixels of a patch that err independently.
const INDEPENDENT: f32 = 5.0;

/// 2 x 3 map from the standing crop to the frame's, px.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Map {
    linear: DMat2,
    shift: DVec2,
}

/// Change of a map's terms that leaves a patch as it was: 0.06 px at its edge.
const SAME: f64 = 0.012;
/// A patch that was found this near to where it should be is found there again, px of the crop.
const SETTLED: f64 = 1.0;

impl Map {
    /// Largest difference of the terms that turn and stretch.
    fn bent(&self, from: DMat2) -> f64 {
        let by = (self.linear - from).abs();
        by.x_axis.max(by.y_axis).max_element()
    }

    fn apply(&self, p: DVec2) -> DVec2 {
        self.linear * p + self.shift
    }
}

impl FootTracker {
    /// The motion with the shake that the floor alone shows (its patches' middle movement): a
    /// camera may jump further between two frames than a foot.
    pub(super) fn steady(&mut self, start: &Unknowns) -> Unknowns {
        let mut q = *start;
        self.displace(&q);
        let scale = self.reference.scale;
        let map = self.map(Part::Floor);
        self.jumps.clear();
        for (i, f) in self.reference.features.iter().enumerate() {
            if f.part != Part::Floor {
                continue;
            }
            self.found[i] = self.follow_one(i, &map, None, true);
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
                let mut steps: Vec<f64> = self.jumps.iter().map(|j| j[axis]).gather();
                crate::order::ascending(&mut steps);
                q[SHAKE + axis] = steps[mid];
            }
        }
        q
    }

    /// Largest difference that two motions make to a patch, px of the crop.
    pub(super) fn largest_step(&mut self, a: &Unknowns, b: &Unknowns) -> f64 {
        self.displace(a);
        let points = self.reference.features.iter().map(|f| (f.part, f.place));
        self.kinematics
            .displacements(b, points)
            .zip(&self.moved)
            .map(|(b, a)| (b - *a).length() / self.reference.scale)
            .fold(0.0, f64::max)
    }

    pub(super) fn displace(&mut self, q: &Unknowns) {
        self.moved.clear();
        let points = self.reference.features.iter().map(|f| (f.part, f.place));
        self.moved.extend(self.kinematics.displacements(q, points));
    }

    /// Finds the foot's patches from where the motion puts them; `again` when they have been found
    /// in this frame before, from another motion. Those that this leaves as they were are kept.
    pub(super) fn follow(&mut self, q: &Unknowns, coarse: bool, again: bool) {
        self.displace(q);
        self.seen.clear();
        // The floor was followed before the foot.
        for (k, part) in [Part::Rear, Part::Bend, Part::Fore].into_iter().enumerate() {
            let mut map = self.map(part);
            let same = again && map.bent(self.maps[k].linear) < SAME;
            if same {
                map = self.maps[k];
            }
            self.maps[k] = map;
            let turned = map.bent(DMat2::IDENTITY) > SAME;
            if turned && !same {
                self.warp(k, part, &map);
            }
            for i in 0..self.reference.features.len() {
                if self.reference.features[i].part == part && !(same && self.settled(i)) {
                    self.found[i] = self.follow_one(i, &map, turned.then_some(k), coarse);
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
                    slopes: [DVec2::ZERO; UNKNOWNS],
                    sound: true,
                },
                feature.patches[0].as_ref(),
            );
            if let (Some(found), Some(patch)) = (self.found[i], patch) {
                let at = DVec2::new(f64::from(feature.at[0]), f64::from(feature.at[1]));
                let there = DVec2::new(f64::from(found.x), f64::from(found.y));
                observed.moved = (there - at) * scale;
                observed.variance =
                    variance(patch.tensor, found.misfit.max(noise)) * (scale * scale);
                observed.trust = if sure(&found) { feature.trust } else { 0.0 };
            }
            self.seen.push(observed);
        }
    }

    /// Whether a patch was found where the motion at hand puts it.
    fn settled(&self, i: usize) -> bool {
        let (Some(f), Some(found), Some(moved)) = (
            self.reference.features.get(i),
            self.found[i],
            self.moved.get(i),
        ) else {
            return false;
        };
        let went = DVec2::new(f64::from(found.x - f.at[0]), f64::from(found.y - f.at[1]));
        sure(&found) && went.distance(*moved / self.reference.scale) < SETTLED
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

    /// Reads the frame through `map` where the part's patches are in standing, into plane `k`.
    fn warp(&mut self, k: usize, part: Part, map: &Map) {
        let margin = 10.0f32;
        let mut low = [f32::INFINITY; 2];
        let mut high = [f32::NEG_INFINITY; 2];
        for f in self.reference.features.iter().filter(|f| f.part == part) {
            for k in 0..2 {
                low[k] = low[k].min(f.at[k] - margin);
                high[k] = high[k].max(f.at[k] + margin);
            }
        }
        let to = &mut self.warped[k];
        let Some(from) = self.next.levels().first() else {
            return;
        };
        let x = (low[0].max(0.0) as usize)..((high[0].max(0.0) as usize + 1).min(to.width()));
        let y = (low[1].max(0.0) as usize)..((high[1].max(0.0) as usize + 1).min(to.height()));
        for row in y {
            let start = map.apply(DVec2::new(x.start as f64, row as f64));
            to.read_line(row, x.clone(), from, start, map.linear.x_axis);
        }
    }

    /// Follows one patch; its place in the frame's crop, px.
    fn follow_one(
        &self,
        i: usize,
        map: &Map,
        turned: Option<usize>,
        coarse: bool,
    ) -> Option<Found> {
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
        if let Some(warped) = turned.and_then(|k| self.warped.get(k)) {
            let inverse = map.linear.inverse();
            let start = (inverse * (place - map.shift)).as_vec2();
            let mut f = patch.follow(warped, start.x, start.y, &FINE)?;
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
}

/// Whether a patch is the one sought.
fn sure(found: &Found) -> bool {
    found.alike > ALIKE && found.back < BACK && found.gain > 0.3
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
