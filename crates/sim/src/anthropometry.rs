//! Published proportions and masses, written down here a second time on purpose: the core's own
//! tables are what these check.

/// Lengths as a fraction of stature: Drillis and Contini 1966 as in Winter, Biomechanics and
/// Motor Control of Human Movement, 4th ed. 2009, fig. 4.1.
pub mod length {
    /// Knee to ankle.
    pub const SHANK: f64 = 0.246;
    /// Hip to knee.
    pub const THIGH: f64 = 0.245;
    /// Hip height to shoulder height.
    pub const TRUNK: f64 = 0.288;
    /// Ankle above the floor.
    pub const ANKLE_HEIGHT: f64 = 0.039;
    /// Shoulder to elbow.
    pub const UPPER_ARM: f64 = 0.186;
    /// Elbow to wrist.
    pub const FOREARM: f64 = 0.146;
    /// Wrist to fingertip.
    pub const HAND: f64 = 0.108;
    /// Heel to toe tip.
    pub const FOOT: f64 = 0.152;
    /// Between hip joint centres. Common practice, no source: the table's 0.191 is the breadth of
    /// the pelvis on the skin.
    pub const HIPS: f64 = 0.108;
    /// Between shoulder joint centres. Common practice, no source: the table's 0.259 is the
    /// breadth over the deltoids.
    pub const SHOULDERS: f64 = 0.205;
    /// Shoulder height to eye height.
    pub const NECK: f64 = 0.112;
}

/// First metatarsal head from the heel, fraction of foot length: ANSUR II, 0.741 (SD 0.015) men,
/// 0.739 (SD 0.013) women.
pub const BALL: f64 = 0.74;

/// A segment's mass (fraction of body mass) and centre (fraction from its first end), men and
/// women: de Leva 1996, J Biomech 29(9):1223-1230, table 4.
#[derive(Clone, Copy, Debug)]
pub struct Mass {
    /// Fraction of body mass.
    pub mass: [f64; 2],
    /// Fraction of the length from the first-named end.
    pub centre: [f64; 2],
}

const fn mass(mass: [f64; 2], centre: [f64; 2]) -> Mass {
    Mass { mass, centre }
}

/// Head; its centre is put at the ears here.
pub const HEAD: Mass = mass([0.0694, 0.0668], [0.0, 0.0]);
/// Mid-shoulder to mid-hip.
pub const TRUNK: Mass = mass([0.4346, 0.4257], [0.4310, 0.3782]);
/// Shoulder to elbow.
pub const UPPER_ARM: Mass = mass([0.0271, 0.0255], [0.5772, 0.5754]);
/// Elbow to wrist.
pub const FOREARM: Mass = mass([0.0162, 0.0138], [0.4574, 0.4559]);
/// Wrist to third knuckle.
pub const HAND: Mass = mass([0.0061, 0.0056], [0.7900, 0.7474]);
/// Hip to knee.
pub const THIGH: Mass = mass([0.1416, 0.1478], [0.4095, 0.3612]);
/// Knee to ankle.
pub const SHANK: Mass = mass([0.0433, 0.0481], [0.4395, 0.4352]);
/// Heel to toe tip.
pub const FOOT: Mass = mass([0.0137, 0.0129], [0.4415, 0.4014]);
