//! An estimator's list of points as a pose, in true sides.

use super::score::Scores;
use super::types::{Pose, Seen};
use crate::keypoints::{Joint, Setup};
use glam::DVec2;

/// Below this a point counts as unseen (the contract's "about 0.3").
const UNSEEN_SCORE: f64 = 0.3;
/// Points farther outside the picture than this part of its size are an estimator's guesses.
const OUTSIDE: f64 = 0.15;

/// Reads one layout.
#[derive(Clone, Debug)]
pub(super) struct Reader {
    index: [Option<usize>; Joint::COUNT],
    count: usize,
    width: f64,
    /// Corners of what may be believed, px.
    low: DVec2,
    high: DVec2,
    mirrored: bool,
    scores: Scores,
}

impl Reader {
    pub fn new(setup: &Setup) -> Self {
        let size = DVec2::new(setup.image.width, setup.image.height);
        Self {
            index: Joint::ALL.map(|j| setup.layout.index_of(j)),
            count: setup.layout.count(),
            width: size.x,
            low: -OUTSIDE * size,
            high: size + OUTSIDE * size,
            mirrored: setup.camera.mirrored,
            scores: Scores::default(),
        }
    }

    /// Reads a person's points into `pose`, which is empty; `false` for a list of the wrong length, or
    /// with nothing to be seen.
    #[inline(never)]
    pub fn read(&mut self, person: &[[f64; 3]], pose: &mut Pose) -> bool {
        if person.len() != self.count {
            return false;
        }
        let mut any = false;
        for (&joint, place) in Joint::ALL.iter().zip(&self.index) {
            let Some(&[x, y, raw]) = place.and_then(|i| person.get(i)) else {
                continue;
            };
            let score = self.scores.normalise(raw);
            let at = DVec2::new(x, y);
            // Not a number is nowhere; and some estimators write 0, 0 for a missing point.
            let inside = at.cmpge(self.low).all() && at.cmple(self.high).all();
            if !inside || at == DVec2::ZERO || score < UNSEEN_SCORE {
                continue;
            }
            let (joint, x) = if self.mirrored {
                (joint.mirrored(), self.width - x)
            } else {
                (joint, x)
            };
            any = true;
            pose.joints[joint.index()] = Some(Seen {
                at: DVec2::new(x, y),
                score,
            });
        }
        any
    }
}
