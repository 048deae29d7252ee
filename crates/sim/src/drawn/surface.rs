//! What shoes, skin and floors look like: grey levels in full light, from solid noise.

use glam::DVec3;

/// What is on the feet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wear {
    /// A shoe with panels, stripes, laces and a pale sole.
    Trainer,
    /// A dark shoe with a fine grain and a seam, hardly more.
    Plain,
    /// Skin: pale, smooth, with veins, creases and freckles.
    Bare,
}

/// What the lifter stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Floor {
    /// Boards with a grain.
    Boards,
    /// A black rubber mat with specks.
    Mat,
    /// Tiles with joints.
    Tiles,
    /// Bare concrete, almost without texture.
    Concrete,
}

impl Floor {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Boards, Self::Mat, Self::Tiles, Self::Concrete];

    /// Grey level at a place on the floor, m.
    pub fn grey(self, x: f64, z: f64) -> f64 {
        let at = |scale: f64, seed: f64| noise(DVec3::new(x, seed, z) * scale);
        match self {
            Self::Boards => {
                let board = (x / 0.12).floor();
                let joint = if (x / 0.12 - board) < 0.03 {
                    -45.0
                } else {
                    0.0
                };
                let grain = noise(DVec3::new(x * 160.0, board, z * 9.0));
                150.0 + 14.0 * noise(DVec3::new(board * 7.3, 0.0, 0.5)) + 16.0 * grain + joint
            }
            Self::Mat => {
                let speck = if at(180.0, 3.0) > 0.62 { 70.0 } else { 0.0 };
                42.0 + speck + 5.0 * at(60.0, 1.0)
            }
            Self::Tiles => {
                let joint = |v: f64| (v / 0.3).rem_euclid(1.0) < 0.02;
                let line = if joint(x) || joint(z) { -60.0 } else { 0.0 };
                175.0 + 10.0 * at(25.0, 2.0) + 4.0 * at(120.0, 4.0) + line
            }
            Self::Concrete => 130.0 + 5.0 * at(12.0, 5.0) + 2.5 * at(140.0, 6.0),
        }
    }
}

impl Wear {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Trainer, Self::Plain, Self::Bare];

    /// Grey level at a place of the foot at rest, in foot lengths: along, toward medial, up.
    pub fn foot(self, p: DVec3) -> f64 {
        let at = |scale: f64, seed: f64| noise(p * scale + DVec3::splat(seed));
        match self {
            Self::Trainer => {
                if p.z < 0.09 {
                    // Sole, with a groove.
                    return 215.0 + 8.0 * at(30.0, 1.0) - if p.z > 0.055 { 60.0 } else { 0.0 };
                }
                let panel = if at(5.0, 9.0) > 0.1 { 45.0 } else { -10.0 };
                let stripe = (p.x * 1.2 + p.z) / 0.07;
                let sides = p.y.abs() > 0.06 && (0.3..0.62).contains(&p.x);
                let stripe: f64 = if sides && stripe.rem_euclid(2.0) < 0.9 {
                    75.0
                } else {
                    0.0
                };
                let laces = (0.42..0.68).contains(&p.x) && p.y.abs() < 0.07;
                let laces = if laces && (p.x / 0.045).rem_euclid(1.0) < 0.35 {
                    90.0
                } else {
                    0.0
                };
                80.0 + panel + stripe.max(laces) + 8.0 * at(70.0, 2.0)
            }
            Self::Plain => {
                if p.z < 0.06 {
                    return 40.0 + 6.0 * at(40.0, 1.0);
                }
                let seam = (p.x - 0.36 + 0.3 * (p.z - 0.2)).abs() < 0.012;
                62.0 + 5.0 * at(45.0, 2.0) + 6.0 * at(9.0, 3.0) - if seam { 22.0 } else { 0.0 }
            }
            Self::Bare => {
                let freckle = if at(38.0, 7.0) > 0.72 { -22.0 } else { 0.0 };
                let vein = if (at(6.0, 4.0)).abs() < 0.035 {
                    -9.0
                } else {
                    0.0
                };
                // Gaps between the toes.
                let toes = p.x > 0.82 && (p.y / 0.062).rem_euclid(1.0) < 0.14;
                165.0 + 7.0 * at(8.0, 5.0) + 4.0 * at(50.0, 6.0) + freckle + vein
                    - if toes { 45.0 } else { 0.0 }
            }
        }
    }

    /// Grey level of the leg above, by height along it and bearing around it.
    pub fn leg(self, up: f64, around: f64) -> f64 {
        let at = noise(DVec3::new(14.0 * up, 2.0 * around, 3.0));
        match self {
            Self::Bare => 158.0 + 8.0 * at,
            Self::Trainer => 60.0 + 12.0 * at,
            Self::Plain => 95.0 + 16.0 * at,
        }
    }
}

/// Smooth noise between -1 and 1 with features about 1 wide, two octaves: values on a lattice,
/// blended by Hermite's cubic (value noise; Ebert et al., "Texturing and Modeling", ch. 2).
fn noise(p: DVec3) -> f64 {
    (lattice(p) + 0.5 * lattice(p * 2.13 + DVec3::splat(17.7))) / 1.1
}

fn lattice(p: DVec3) -> f64 {
    let (base, part) = (p.floor(), p - p.floor());
    let w = part * part * (DVec3::splat(3.0) - 2.0 * part);
    let corner = |i: usize| {
        let d = DVec3::new((i & 1) as f64, (i >> 1 & 1) as f64, (i >> 2) as f64);
        let c = base + d;
        let mut h = (c.x as i64 as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)
            ^ (c.y as i64 as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F)
            ^ (c.z as i64 as u64).wrapping_mul(0x1656_67B1_9E37_79F9);
        h ^= h >> 29;
        h = h.wrapping_mul(0xBF58_476D_1CE4_E5B9);
        h ^= h >> 32;
        let share = |d: f64, w: f64| if d > 0.5 { w } else { 1.0 - w };
        let value = (h & 0xFFFF) as f64 / 32_767.5 - 1.0;
        value * share(d.x, w.x) * share(d.y, w.y) * share(d.z, w.z)
    };
    (0..8).map(corner).sum()
}
