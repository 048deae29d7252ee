//! Two feet and shins by formula: textured boxes and cylinders that stand in a room, ray by ray.
//!
//! Rays against cylinders and boxes as in any graphics text (Kay & Kajiya 1986, slabs; quadrics for cylinders).

use glam::{DVec2, DVec3};

/// Ankles stand this high, shins are this long and this thick, m.
const ANKLE: f64 = 0.08;
pub const SHANK: f64 = 0.42;
const RADIUS: f64 = 0.055;
/// Ankles are this far from the middle, m.
const APART: f64 = 0.17;
pub const SIZE: [usize; 2] = [640, 480];
const FOCAL: f64 = 520.0;

/// A level camera that looks at the shins from a bearing, degrees: 0 in front, 90 at the lifter's left.
pub struct Room {
    place: DVec3,
    forward: DVec3,
    right: DVec3,
}

/// How the shins lean: forward, and toward the other leg, degrees, left first.
pub type Lean = [[f64; 2]; 2];

/// Smooth noise of two coordinates, 0 to 1.
fn noise(x: f64, y: f64, seed: u64) -> f64 {
    let cell = |i: i64, j: i64| {
        let mut h = (i as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)
            ^ (j as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F)
            ^ seed;
        h = (h ^ (h >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        ((h ^ (h >> 32)) & 0xffff) as f64 / 65535.0
    };
    let (i, j) = (x.floor() as i64, y.floor() as i64);
    let ease = |t: f64| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(x - x.floor()), ease(y - y.floor()));
    let top = cell(i, j) * (1.0 - u) + cell(i + 1, j) * u;
    let low = cell(i, j + 1) * (1.0 - u) + cell(i + 1, j + 1) * u;
    top * (1.0 - v) + low * v
}

impl Room {
    pub fn new(bearing_deg: f64) -> Self {
        let (s, c) = bearing_deg.to_radians().sin_cos();
        let forward = DVec3::new(-s, 0.0, -c);
        Self {
            place: DVec3::new(1.4 * s, 0.3, 1.4 * c),
            forward,
            right: DVec3::new(c, 0.0, -s),
        }
    }

    pub fn project(&self, p: DVec3) -> DVec2 {
        let q = p - self.place;
        let s = FOCAL / q.dot(self.forward);
        DVec2::new(
            0.5 * SIZE[0] as f64 + s * q.dot(self.right),
            0.5 * SIZE[1] as f64 - s * q.y,
        )
    }

    /// Knee, ankle, heel, big toe and small toe of a side, m; `side` is +1 for the left.
    pub fn points(side: f64, lean: [f64; 2]) -> [DVec3; 5] {
        let ankle = DVec3::new(side * APART, ANKLE, 0.0);
        let (forward, inward) = (lean[0].to_radians(), lean[1].to_radians());
        let up = DVec3::new(
            -side * inward.sin(),
            inward.cos() * forward.cos(),
            inward.cos() * forward.sin(),
        );
        let foot = |x: f64, y, z| DVec3::new(side * (APART + x), y, z);
        [
            ankle + up * SHANK,
            ankle,
            foot(0.0, 0.025, -0.06),
            foot(-0.03, 0.02, 0.18),
            foot(0.04, 0.02, 0.15),
        ]
    }

    /// The picture, shaken by so much, px; `light` multiplies its brightness.
    pub fn draw(&self, lean: Lean, shake: DVec2, light: f64) -> Vec<u8> {
        let [w, h] = SIZE;
        let shins: Vec<(f64, [DVec3; 5])> = [1.0, -1.0]
            .iter()
            .zip(lean)
            .map(|(&s, l)| (s, Self::points(s, l)))
            .collect();
        let mut out = Vec::with_capacity(w * h);
        for y in 0..h {
            for x in 0..w {
                let at = DVec2::new(x as f64, y as f64)
                    - shake
                    - DVec2::new(0.5 * w as f64, 0.5 * h as f64);
                let ray = self.forward + self.right * (at.x / FOCAL) - DVec3::Y * (at.y / FOCAL);
                // The room: floor and a round wall.
                let (mut far, mut grey) = (f64::INFINITY, 0.0);
                if ray.y < 0.0 {
                    far = -self.place.y / ray.y;
                    let p = self.place + ray * far;
                    grey = 70.0 + 60.0 * noise(p.x * 40.0, p.z * 40.0, 1);
                }
                let wall = 3.5 / ray.length();
                if wall < far {
                    far = wall;
                    let p = self.place + ray * far;
                    grey = 150.0 + 40.0 * noise(p.x * 6.0 + p.z * 5.0, p.y * 6.0, 2);
                }
                for (side, [knee, ankle, ..]) in &shins {
                    if let Some((depth, up, out)) = cylinder(self.place, ray, *ankle, *knee)
                        && depth < far
                    {
                        far = depth;
                        let around = out.z.atan2(out.x);
                        grey = 60.0
                            + 50.0 * noise(around * 4.0, up * 60.0, 3)
                            + 20.0 * out.y
                            + 10.0 * side;
                    }
                    let low = DVec3::new(side * APART - 0.045, 0.0, -0.07);
                    if let Some(depth) =
                        slab(self.place, ray, low, low + DVec3::new(0.09, 0.07, 0.26))
                        && depth < far
                    {
                        far = depth;
                        let p = self.place + ray * depth;
                        grey = 40.0
                            + 150.0 * noise(p.x * 90.0 + p.y * 50.0, p.z * 90.0 + p.y * 70.0, 4);
                    }
                }
                out.push((grey * light).clamp(0.0, 255.0) as u8);
            }
        }
        out
    }
}

/// Where a ray meets the cylinder about a shin: depth, height along it, m, and the way out there.
fn cylinder(from: DVec3, ray: DVec3, ankle: DVec3, knee: DVec3) -> Option<(f64, f64, DVec3)> {
    let axis = (knee - ankle).normalize();
    let flat = |v: DVec3| v - axis * v.dot(axis);
    let (d, o) = (flat(ray), flat(from - ankle));
    let (a, b, c) = (
        d.length_squared(),
        o.dot(d),
        o.length_squared() - RADIUS * RADIUS,
    );
    let root = b * b - a * c;
    (root > 0.0).then_some(())?;
    let depth = (-b - root.sqrt()) / a;
    let p = from + ray * depth;
    let up = (p - ankle).dot(axis);
    // The top goes on a little, as a knee does.
    (depth > 0.0 && up > -0.03 && up < SHANK + 0.05)
        .then(|| (depth, up, flat(p - ankle).normalize()))
}

fn slab(from: DVec3, ray: DVec3, low: DVec3, high: DVec3) -> Option<f64> {
    let (a, b) = ((low - from) / ray, (high - from) / ray);
    let (near, far) = (a.min(b).max_element(), a.max(b).min_element());
    (near < far && near > 0.0).then_some(near)
}
