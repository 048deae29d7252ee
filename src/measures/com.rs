//! Centre of mass from segment masses.
//!
//! de Leva 1996 (J Biomech 29(9):1223-1230), table 4, mean of men and women: mass as a fraction
//! of body mass, centre as a fraction from the first-named end.

use glam::DVec3;

/// One row of the table: men and women, divided by each sex's sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Fraction of body mass, men and women.
    pub mass: [f64; 2],
    /// Centre from the first-named end, men and women.
    pub centre: [f64; 2],
}

impl Segment {
    const fn new(mass: [f64; 2], centre: [f64; 2]) -> Self {
        Self { mass, centre }
    }
}

/// Head, vertex to the midpoint of the jaw angles.
pub const HEAD: Segment = Segment::new([0.0694, 0.0668], [0.5976, 0.5894]);
/// Trunk, mid-shoulder to mid-hip.
pub const TRUNK: Segment = Segment::new([0.4346, 0.4257], [0.4310, 0.3782]);
/// Head, vertex to the seventh neck vertebra.
pub const HEAD_TO_NECK: Segment = Segment::new([0.0694, 0.0668], [0.5002, 0.4841]);
/// Trunk, seventh neck vertebra to mid-hip.
pub const TRUNK_FROM_NECK: Segment = Segment::new([0.4346, 0.4257], [0.5138, 0.4964]);
/// Upper arm, shoulder to elbow.
pub const UPPER_ARM: Segment = Segment::new([0.0271, 0.0255], [0.5772, 0.5754]);
/// Forearm, elbow to wrist.
pub const FOREARM: Segment = Segment::new([0.0162, 0.0138], [0.4574, 0.4559]);
/// Hand, wrist to third knuckle.
pub const HAND: Segment = Segment::new([0.0061, 0.0056], [0.7900, 0.7474]);
/// Thigh, hip to knee.
pub const THIGH: Segment = Segment::new([0.1416, 0.1478], [0.4095, 0.3612]);
/// Shank, knee to ankle.
pub const SHANK: Segment = Segment::new([0.0433, 0.0481], [0.4395, 0.4352]);
/// Foot, heel to toe tip.
pub const FOOT: Segment = Segment::new([0.0137, 0.0129], [0.4415, 0.4014]);

/// Which column of the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sex {
    /// Men's values.
    Man,
    /// Women's values.
    Woman,
    /// Mean of both.
    #[default]
    Mean,
}

impl Sex {
    const fn pick(self, pair: [f64; 2]) -> f64 {
        match self {
            Self::Man => pair[0],
            Self::Woman => pair[1],
            Self::Mean => (pair[0] + pair[1]) / 2.0,
        }
    }
}

/// Sum of weighted places.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Balance {
    sum: DVec3,
    mass: f64,
    sex: Sex,
}

impl Balance {
    /// Nothing yet.
    pub fn new(sex: Sex) -> Self {
        Self {
            sex,
            ..Self::default()
        }
    }

    /// Adds a segment between its two ends, m.
    #[inline]
    pub fn add(&mut self, segment: &Segment, from: DVec3, to: DVec3) {
        self.add_at(
            self.sex.pick(segment.mass),
            from.lerp(to, self.sex.pick(segment.centre)),
        );
    }

    /// Adds a mass, as a fraction of body mass, at a place.
    #[inline]
    pub fn add_at(&mut self, mass: f64, at: DVec3) {
        self.sum += at * mass;
        self.mass += mass;
    }

    /// Where everything added balances, m.
    pub fn centre(&self) -> Option<DVec3> {
        (self.mass > 0.0).then(|| self.sum / self.mass)
    }
}

/// Left support's share of a load at `x` between supports at `left` and `right`: the lever rule.
/// Outside the supports it is above 1 or below 0. `None` when the supports coincide.
pub fn left_share(x: f64, left: f64, right: f64) -> Option<f64> {
    let width = left - right;
    (width.abs() > 1e-9).then(|| (x - right) / width)
}
