//! Where each joint sits in an estimator's list of points.
//!
//! Index tables: COCO-17 and Halpe-26 from the Halpe-FullBody README and the mmpose
//! configurations, COCO-WholeBody-133 from mmpose `coco_wholebody.py`, BODY_25 from the
//! OpenPose output documentation, BlazePose-33 from the mediapipe package's `pose.py`.

use super::joint::Joint;
use crate::Error;

/// The order of points in one person's list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    name: String,
    count: usize,
    index: [Option<u16>; Joint::COUNT],
    one_toe_point: bool,
}

/// Largest number of points that a custom layout may declare.
const MAX_COUNT: usize = 1024;

impl Layout {
    /// The names that [`Layout::named`] knows.
    pub const NAMES: [&'static str; 5] = [
        "blazepose-33",
        "halpe-26",
        "body-25",
        "coco-wholebody-133",
        "coco-17",
    ];

    /// A published layout by the contract's name.
    pub fn named(name: &str) -> Option<Self> {
        const NONE: u16 = u16::MAX;
        // nose, eyes, ears, shoulders, elbows, wrists, hips, knees, ankles, heels, big toes, small toes
        const COCO: [u16; 17] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16];
        let (count, body, feet): (usize, [u16; 17], [u16; 6]) = match name {
            "coco-17" => (17, COCO, [NONE; 6]),
            "halpe-26" => (26, COCO, [24, 25, 20, 21, 22, 23]),
            "coco-wholebody-133" => (133, COCO, [19, 22, 17, 20, 18, 21]),
            "body-25" => (
                25,
                [0, 16, 15, 18, 17, 5, 2, 6, 3, 7, 4, 12, 9, 13, 10, 14, 11],
                [21, 24, 19, 22, 20, 23],
            ),
            "blazepose-33" => (
                33,
                [
                    0, 2, 5, 7, 8, 11, 12, 13, 14, 15, 16, 23, 24, 25, 26, 27, 28,
                ],
                [29, 30, 31, 32, NONE, NONE],
            ),
            _ => return None,
        };
        let mut index = [None; Joint::COUNT];
        for (slot, &i) in index.iter_mut().zip(body.iter().chain(&feet)) {
            *slot = (i != NONE).then_some(i);
        }
        Some(Self {
            name: name.into(),
            count,
            index,
            one_toe_point: name == "blazepose-33",
        })
    }

    /// A layout of `count` points with the given joints.
    ///
    /// # Errors
    /// An index outside `count`, the same index or joint twice, or a count of 0 or above 1024.
    pub fn custom(
        count: usize,
        joints: impl IntoIterator<Item = (Joint, usize)>,
    ) -> Result<Self, Error> {
        if count == 0 || count > MAX_COUNT {
            return Err(Error::bad(
                "layout.count",
                format!("must be from 1 to {MAX_COUNT}"),
            ));
        }
        let mut index = [None; Joint::COUNT];
        for (joint, i) in joints {
            let field = || format!("layout.joints.{}", joint.name());
            if i >= count {
                return Err(Error::bad(
                    field(),
                    format!("index {i} is not below count {count}"),
                ));
            }
            let i = i as u16;
            if index[joint.index()].is_some() || index.contains(&Some(i)) {
                return Err(Error::bad(field(), "joint or index given twice"));
            }
            index[joint.index()] = Some(i);
        }
        let has = |j: Joint| index[j.index()].is_some();
        let one_toe_point = (has(Joint::LeftBigToe) || has(Joint::RightBigToe))
            && !(has(Joint::LeftSmallToe) || has(Joint::RightSmallToe));
        Ok(Self {
            name: "custom".into(),
            count,
            index,
            one_toe_point,
        })
    }

    /// The layout of just these joints, in their order.
    pub(crate) fn of(joints: &[Joint]) -> Self {
        let mut index = [None; Joint::COUNT];
        for (joint, i) in joints.iter().zip(0u16..) {
            index[joint.index()] = Some(i);
        }
        Self {
            name: "custom".into(),
            count: joints.len(),
            index,
            one_toe_point: false,
        }
    }

    /// The contract's name, or `custom`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Points in one person's list.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Where `joint` sits, if the layout has it.
    pub fn index_of(&self, joint: Joint) -> Option<usize> {
        self.index[joint.index()].map(usize::from)
    }

    /// Whether the layout has the joint at all.
    pub fn has(&self, joint: Joint) -> bool {
        self.index[joint.index()].is_some()
    }

    /// Whether the only toe point is one at the toe tip (kept in the big toe's place).
    pub fn one_toe_point(&self) -> bool {
        self.one_toe_point
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Indices from the sources named at the head of this file.
    #[test]
    fn published_indices() {
        let at = |name: &str, joint| Layout::named(name).and_then(|l| l.index_of(joint));
        assert_eq!(at("body-25", Joint::LeftHip), Some(12));
        assert_eq!(at("body-25", Joint::RightHip), Some(9));
        assert_eq!(at("body-25", Joint::RightHeel), Some(24));
        assert_eq!(at("halpe-26", Joint::LeftSmallToe), Some(22));
        assert_eq!(at("halpe-26", Joint::RightHeel), Some(25));
        assert_eq!(at("coco-wholebody-133", Joint::RightBigToe), Some(20));
        assert_eq!(at("coco-wholebody-133", Joint::LeftHeel), Some(19));
        assert_eq!(at("blazepose-33", Joint::RightAnkle), Some(28));
        assert_eq!(at("blazepose-33", Joint::LeftBigToe), Some(31));
        assert_eq!(at("blazepose-33", Joint::LeftSmallToe), None);
        assert_eq!(at("coco-17", Joint::LeftHeel), None);
        assert!(Layout::named("unknown").is_none());
        for name in Layout::NAMES {
            let layout = Layout::named(name).expect(name);
            assert!(
                Joint::ALL
                    .iter()
                    .all(|&j| layout.index_of(j).is_none_or(|i| i < layout.count()))
            );
        }
    }

    #[test]
    fn custom_refuses_nonsense() {
        assert!(Layout::custom(0, []).is_err());
        assert!(Layout::custom(3, [(Joint::Nose, 3)]).is_err());
        assert!(Layout::custom(3, [(Joint::Nose, 1), (Joint::LeftHip, 1)]).is_err());
        assert!(Layout::custom(3, [(Joint::Nose, 1), (Joint::LeftHip, 2)]).is_ok());
    }
}
