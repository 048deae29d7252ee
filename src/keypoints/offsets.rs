//! Where an estimator puts its points, against the joint centres that they stand for.
//!
//! Measured on rendered people with exact joint centres; `underfoot-sim profile FOLDER --offsets` prints the table.
//! It is the same for most people: the spread between them is what the errors that are told begin with.

use super::{BEARINGS, Joint, Part, about, is_estimator};
use glam::DVec2;

/// When an offset is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// In quiet standing.
    Standing,
    /// Half-way down a deep squat: what it is more than in standing.
    Half,
    /// At the bottom of a deep squat: what it is more than in standing.
    Bottom,
}

/// A quarter of a per cent of the shank's length in the picture.
/// tuned: half a millimetre or so, finer than what was measured
const UNIT: f64 = 0.0025;

/// Offsets of an estimator's points.
#[derive(Debug)]
pub(crate) struct Offsets {
    /// Name as recordings carry it in `estimator`.
    name: &'static str,
    /// By joint ([`Part::TRUNK_AND_LEGS`]), bearing and stage: mean to the right and down as a left leg has it (a right one's is its mirror
    /// image), and their standard deviations between people, in [`UNIT`]s.
    by_part: [[[[i8; 4]; 3]; BEARINGS.len()]; Part::TRUNK_AND_LEGS.len()],
}

/// A point's offset with its standard deviation, px.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Offset {
    pub mean: DVec2,
    pub sd: DVec2,
}

impl Offset {
    /// A part of the way from one to another.
    pub fn toward(self, other: Self, part: f64) -> Self {
        Self {
            mean: self.mean.lerp(other.mean, part),
            sd: self.sd.lerp(other.sd, part),
        }
    }
}

/// measured: 2026-12-01, 129 rendered people in five views, full model, no smoothing.
static MEASURED: [Offsets; 1] = [Offsets {
    name: "mediapipe-pose",
    by_part: [
        // shoulder
        [
            [[-7, -31, 9, 9], [15, -19, 12, 10], [14, -9, 11, 9]],
            [[-15, -44, 5, 10], [41, -30, 16, 10], [29, -22, 18, 12]],
            [[-18, -63, 24, 22], [43, 7, 18, 16], [40, 16, 23, 22]],
            [[-7, -32, 15, 7], [5, 7, 20, 15], [11, 5, 18, 14]],
            [[-9, -29, 17, 9], [-5, -12, 10, 22], [-5, -7, 9, 20]],
            [[0, -25, 9, 7], [-20, -21, 14, 15], [-9, -15, 13, 15]],
            [[14, -17, 14, 11], [-20, -9, 17, 10], [-12, -8, 24, 9]],
            [[10, -24, 12, 6], [1, -7, 8, 9], [-4, 5, 11, 9]],
            [[-1, -27, 10, 6], [7, -14, 7, 9], [8, -6, 9, 9]],
            [[-4, -28, 9, 7], [10, -17, 7, 9], [11, -7, 8, 8]],
        ],
        // hip
        [
            [[12, 1, 7, 15], [-2, 10, 8, 9], [3, -23, 10, 12]],
            [[12, -5, 10, 13], [11, 7, 9, 11], [9, -12, 10, 15]],
            [[13, -10, 19, 15], [57, -9, 22, 12], [46, -30, 23, 16]],
            [[24, -4, 10, 12], [4, 8, 7, 11], [8, -12, 14, 15]],
            [[-1, -9, 9, 12], [1, -4, 9, 13], [-7, -25, 15, 15]],
            [[-18, -5, 10, 14], [-6, -9, 6, 12], [-17, -28, 11, 14]],
            [[-24, 2, 17, 14], [-11, -12, 14, 9], [-8, -37, 17, 16]],
            [[-1, 6, 7, 12], [4, 4, 14, 15], [11, -21, 22, 18]],
            [[10, 3, 9, 15], [-4, 13, 9, 11], [-0, -23, 15, 13]],
            [[12, 3, 7, 15], [-4, 11, 7, 9], [0, -25, 11, 12]],
        ],
        // knee
        [
            [[8, 3, 7, 13], [-4, 7, 10, 17], [-4, 28, 22, 32]],
            [[8, -8, 6, 13], [-13, 19, 11, 16], [-15, 77, 31, 36]],
            [[-8, -5, 18, 12], [18, 7, 16, 24], [2, 25, 26, 31]],
            [[-5, 6, 6, 13], [-12, -16, 9, 12], [-17, -3, 14, 14]],
            [[-8, 7, 7, 14], [1, -9, 8, 16], [-4, -5, 13, 20]],
            [[-10, -2, 6, 11], [-1, -11, 9, 15], [4, -23, 16, 23]],
            [[6, -4, 8, 15], [9, 1, 10, 11], [28, 10, 13, 15]],
            [[12, 3, 6, 14], [7, -7, 7, 13], [24, 17, 18, 20]],
            [[9, 6, 7, 12], [0, 1, 9, 14], [2, 18, 16, 23]],
            [[8, 5, 7, 12], [-1, 4, 9, 15], [-1, 19, 17, 25]],
        ],
        // ankle
        [
            [[-4, -15, 7, 9], [-1, -6, 6, 8], [-1, 6, 7, 11]],
            [[-1, -23, 6, 12], [1, -5, 6, 10], [3, 10, 9, 12]],
            [[-1, -22, 16, 13], [30, -5, 12, 18], [33, 2, 16, 18]],
            [[0, -18, 6, 7], [5, -2, 5, 6], [7, 7, 6, 8]],
            [[-0, -22, 6, 8], [5, 4, 5, 8], [5, 17, 5, 11]],
            [[-0, -23, 5, 8], [-1, 3, 5, 7], [-3, 13, 7, 9]],
            [[-3, -20, 7, 13], [-5, 2, 6, 7], [-9, 7, 9, 9]],
            [[1, -14, 6, 9], [-10, -11, 7, 9], [-10, -2, 7, 9]],
            [[-3, -13, 7, 7], [-3, -6, 7, 7], [-3, 2, 8, 9]],
            [[-4, -13, 7, 8], [-2, -6, 6, 7], [-2, 4, 7, 10]],
        ],
        // heel
        [
            [[-5, -27, 10, 9], [8, -8, 9, 9], [6, -1, 10, 12]],
            [[6, -33, 11, 11], [-5, -5, 10, 14], [1, 1, 12, 13]],
            [[18, -20, 15, 19], [16, -22, 13, 24], [19, -19, 18, 25]],
            [[7, -12, 8, 9], [-10, -8, 7, 8], [-4, -1, 7, 12]],
            [[-2, -19, 7, 10], [-4, -1, 7, 11], [-1, 10, 7, 16]],
            [[1, -22, 9, 9], [1, -0, 7, 9], [-1, 6, 8, 11]],
            [[-23, -14, 13, 13], [5, -9, 6, 8], [5, -7, 8, 12]],
            [[-12, -25, 7, 9], [0, -10, 9, 9], [-0, -6, 10, 11]],
            [[-8, -26, 8, 8], [9, -5, 9, 9], [6, -3, 9, 11]],
            [[-8, -26, 9, 8], [10, -6, 8, 9], [7, -2, 9, 12]],
        ],
        // big_toe
        [
            [[9, -5, 12, 10], [-17, -3, 17, 12], [-19, 5, 20, 13]],
            [[11, -2, 14, 10], [10, -6, 18, 9], [6, 3, 24, 12]],
            [[-8, 3, 21, 16], [12, 6, 14, 15], [1, 6, 28, 15]],
            [[-15, -1, 10, 7], [4, -4, 10, 6], [3, -3, 9, 7]],
            [[-15, 2, 9, 7], [9, -1, 8, 6], [3, 0, 10, 7]],
            [[-21, -3, 9, 8], [5, 1, 7, 7], [3, 6, 10, 8]],
            [[11, -24, 12, 12], [9, -4, 13, 10], [13, 5, 16, 15]],
            [[14, -4, 15, 7], [-15, -5, 15, 9], [-9, 0, 16, 9]],
            [[9, -5, 14, 10], [-28, -1, 16, 10], [-23, 5, 17, 11]],
            [[9, -6, 13, 10], [-25, -1, 16, 11], [-23, 6, 17, 13]],
        ],
    ],
}];

impl Offsets {
    /// Those of a known estimator.
    pub fn of(estimator: Option<&str>) -> Option<&'static Self> {
        let name = estimator?;
        MEASURED.iter().find(|o| is_estimator(name, o.name))
    }

    /// A joint's offset seen from a bearing of the lifter, rad, for a shank of this length in the picture, px;
    /// `None` for one that was not measured.
    pub fn at(&self, joint: Joint, azimuth: f64, stage: Stage, shank_px: f64) -> Option<Offset> {
        let side = joint.side()?;
        let part = Part::TRUNK_AND_LEGS
            .iter()
            .position(|&p| Joint::of(p, side) == joint)?;
        let mirror = side.sign();
        let list = &self.by_part[part];
        let [x, y, sx, sy] =
            between(list, stage, azimuth.to_degrees() * mirror).map(|v| v * UNIT * shank_px);
        Some(Offset {
            mean: DVec2::new(mirror * x, y),
            sd: DVec2::new(sx, sy),
        })
    }
}

/// Values between the bearings at which they are known, degrees.
fn between(list: &[[[i8; 4]; 3]; BEARINGS.len()], stage: Stage, bearing: f64) -> [f64; 4] {
    let (before, after, part) = about(bearing);
    let [a, b] = [before, after].map(|k| list[k][stage as usize]);
    std::array::from_fn(|k| f64::from(a[k]) + (f64::from(b[k]) - f64::from(a[k])) * part)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> &'static Offsets {
        Offsets::of(Some("MediaPipe Pose")).expect("a known estimator")
    }

    /// A lifter and the mirrored picture of one filmed from the other side are alike.
    #[test]
    fn a_right_leg_is_the_mirror_image_of_a_left_one() {
        for degrees in [-170.0f64, -60.0, 0.0, 20.0, 100.0] {
            let azimuth = degrees.to_radians();
            for stage in [Stage::Standing, Stage::Half, Stage::Bottom] {
                let at = |joint, azimuth| known().at(joint, azimuth, stage, 200.0);
                let (Some(left), Some(right)) =
                    (at(Joint::LeftKnee, azimuth), at(Joint::RightKnee, -azimuth))
                else {
                    panic!("a knee is known");
                };
                assert!((left.mean * DVec2::new(-1.0, 1.0) - right.mean).length() < 1e-9);
                assert!((left.sd - right.sd).length() < 1e-9);
            }
        }
    }

    /// Going round the lifter, an offset nowhere jumps: 1 degree further it is within 1.5 % of the shank.
    #[test]
    fn offsets_go_evenly_round_the_lifter() {
        for degree in -360..360 {
            let at = |d: i32| {
                let azimuth = f64::from(d).to_radians();
                known()
                    .at(Joint::LeftKnee, azimuth, Stage::Bottom, 100.0)
                    .unwrap_or_default()
            };
            assert!(
                (at(degree).mean - at(degree + 1).mean).length() < 1.5,
                "{degree}"
            );
        }
    }

    #[test]
    fn nothing_is_taken_off_what_is_not_known() {
        for name in [
            None,
            Some("mediapipe-pose-lite"),
            Some("simulated"),
            Some("followed-from-marks"),
        ] {
            assert!(Offsets::of(name).is_none(), "{name:?}");
        }
        let of = |joint| known().at(joint, 0.0, Stage::Standing, 100.0);
        assert!(of(Joint::Nose).is_none() && of(Joint::LeftWrist).is_none());
    }
}
