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

/// measured: 2026-11-30, 26 rendered people in five views, full model, no smoothing.
static MEASURED: [Offsets; 1] = [Offsets {
    name: "mediapipe-pose",
    by_part: [
        // shoulder
        [
            [[-8, -32, 8, 6], [16, -17, 13, 8], [18, -11, 9, 10]],
            [[-17, -41, 6, 7], [50, -32, 13, 9], [31, -26, 12, 12]],
            [[-16, -48, 32, 21], [42, -2, 13, 19], [38, 4, 22, 29]],
            [[-9, -31, 15, 7], [16, 11, 18, 16], [13, 9, 17, 11]],
            [[-7, -27, 20, 8], [-5, -14, 10, 20], [-9, -14, 10, 21]],
            [[-1, -29, 8, 6], [-17, -16, 10, 12], [-7, -15, 12, 14]],
            [[21, -20, 18, 9], [-33, -17, 12, 10], [-22, -10, 18, 10]],
            [[9, -26, 13, 5], [1, -7, 10, 11], [-9, 7, 10, 10]],
            [[0, -29, 8, 5], [11, -14, 7, 7], [12, -7, 10, 10]],
            [[-4, -30, 8, 5], [12, -16, 6, 7], [16, -10, 7, 9]],
        ],
        // hip
        [
            [[12, 2, 8, 12], [-1, 6, 8, 6], [6, -26, 10, 8]],
            [[12, 1, 12, 7], [15, 2, 9, 8], [11, -15, 7, 10]],
            [[21, -6, 17, 14], [63, -4, 21, 13], [53, -45, 22, 12]],
            [[26, -4, 9, 9], [10, 6, 8, 10], [0, -15, 14, 15]],
            [[0, -12, 9, 9], [0, -3, 8, 15], [-8, -22, 20, 13]],
            [[-22, -6, 8, 10], [-8, -14, 8, 11], [-10, -33, 14, 10]],
            [[-18, -2, 17, 11], [-19, -8, 9, 11], [-16, -44, 17, 8]],
            [[-4, 7, 5, 9], [14, -3, 12, 9], [6, -18, 11, 10]],
            [[7, 4, 9, 12], [-1, 9, 8, 8], [-1, -27, 12, 8]],
            [[10, 4, 8, 12], [-2, 8, 6, 6], [2, -29, 12, 7]],
        ],
        // knee
        [
            [[6, -2, 6, 18], [-2, 10, 8, 21], [4, 42, 19, 44]],
            [[4, -14, 4, 12], [-6, 37, 14, 17], [-11, 109, 35, 34]],
            [[-12, -11, 9, 11], [20, 15, 18, 13], [-5, 26, 22, 19]],
            [[-5, 5, 6, 10], [-9, -20, 8, 15], [-16, -3, 16, 19]],
            [[-7, 2, 7, 17], [1, -5, 8, 18], [-5, 10, 14, 29]],
            [[-11, -2, 5, 10], [1, -4, 8, 12], [7, -30, 17, 25]],
            [[1, -17, 6, 7], [7, 8, 9, 12], [26, 9, 9, 13]],
            [[11, -3, 4, 12], [13, 0, 9, 11], [20, 24, 13, 20]],
            [[9, 1, 6, 17], [-1, 2, 8, 17], [2, 24, 15, 33]],
            [[8, 1, 6, 17], [-2, 5, 7, 18], [3, 27, 14, 36]],
        ],
        // ankle
        [
            [[-7, -15, 6, 10], [2, -4, 5, 9], [0, 9, 8, 12]],
            [[-4, -25, 8, 11], [5, -7, 7, 12], [6, 9, 9, 15]],
            [[-6, -32, 11, 13], [36, -3, 12, 18], [40, 7, 16, 17]],
            [[-1, -18, 6, 7], [7, -5, 6, 6], [10, 8, 7, 8]],
            [[-1, -21, 6, 9], [4, 1, 5, 11], [5, 16, 7, 13]],
            [[-2, -19, 4, 8], [0, 1, 5, 7], [-1, 15, 7, 7]],
            [[-6, -28, 6, 20], [-9, 5, 5, 9], [-6, 8, 7, 12]],
            [[0, -13, 6, 5], [-13, -18, 7, 9], [-10, -5, 8, 8]],
            [[-5, -12, 5, 6], [-2, -5, 6, 7], [-4, 3, 8, 9]],
            [[-6, -13, 5, 7], [1, -3, 5, 7], [-2, 7, 8, 10]],
        ],
        // heel
        [
            [[-7, -27, 9, 9], [12, -4, 8, 10], [8, 1, 9, 11]],
            [[5, -31, 10, 12], [2, -12, 9, 16], [4, -4, 10, 17]],
            [[10, -31, 9, 16], [19, -23, 14, 22], [23, -12, 13, 15]],
            [[10, -12, 7, 9], [-12, -9, 9, 7], [-3, 0, 9, 12]],
            [[-2, -17, 7, 10], [-3, -8, 6, 14], [-1, 7, 6, 18]],
            [[3, -19, 6, 8], [0, -3, 7, 9], [2, 9, 7, 11]],
            [[-20, -21, 6, 15], [8, 0, 5, 8], [4, -9, 7, 13]],
            [[-10, -22, 6, 8], [-4, -17, 10, 8], [0, -8, 10, 10]],
            [[-9, -25, 7, 8], [13, -2, 11, 9], [5, -2, 11, 10]],
            [[-9, -27, 7, 8], [14, -2, 9, 8], [8, 1, 10, 10]],
        ],
        // toe
        [
            [[4, -6, 12, 11], [-22, -6, 20, 12], [-22, 0, 18, 16]],
            [[-7, -3, 10, 8], [25, -4, 25, 10], [6, 3, 31, 16]],
            [[-9, -10, 11, 14], [10, 13, 15, 9], [5, 13, 20, 12]],
            [[-14, -1, 12, 8], [7, -1, 7, 5], [2, -1, 9, 8]],
            [[-14, 2, 10, 7], [8, -2, 8, 9], [6, 0, 11, 8]],
            [[-25, -2, 6, 10], [3, 1, 8, 8], [-1, 8, 10, 8]],
            [[3, -30, 12, 20], [7, 0, 10, 8], [16, 10, 12, 17]],
            [[2, -2, 13, 6], [-15, -13, 16, 9], [-3, 0, 14, 10]],
            [[7, -7, 14, 11], [-34, 1, 15, 10], [-25, 1, 14, 13]],
            [[7, -7, 12, 11], [-32, -1, 13, 11], [-27, 2, 12, 15]],
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
