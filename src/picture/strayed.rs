//! One camera sees both feet: when its shake is not the same by both, one foot was set elsewhere, or its
//! lift was taken for a shake in part.
//!
//! Where little of the floor is seen beside a foot, a step to the side and a shake of the camera do the
//! same to its picture, and from behind a lift does nearly so (drawn bare feet: 33 mm read 22).

use super::outcome::{FootMotion, Lost};
use glam::DVec2;

/// The shakes differ when they do by so much, of a foot's own scale, mm, and at least px.
const APART_MM: f64 = 10.0;
const APART_PX: f64 = 3.0;
/// A foot of which less than this part agrees tells nothing of the camera.
const HELD: f64 = 0.6;

/// Shakes that differ by less than this are one, px; and lifts, mm.
const SAME_PX: f64 = 1.5;
const SAME_MM: f64 = 4.0;

/// What both feet say of the camera.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct CommonShake {
    /// Where the camera had gone when a foot was learnt anew, px.
    base: [DVec2; 2],
    /// Shake that both feet last agreed on, px.
    agreed: DVec2,
}

impl CommonShake {
    /// The foot whose lift may have been taken for a shake of the camera in part, as it may from behind
    /// where little of the floor is seen, and the shake that the other one tells of, px.
    pub fn confused(&self, seen: &[Option<Result<FootMotion, Lost>>; 2]) -> Option<(usize, DVec2)> {
        let shakes = self.shakes(seen)?;
        let lift = |i: usize| match seen[i] {
            Some(Ok(motion)) => motion.heel_lift_mm.map_or(0.0, |e| e.value),
            _ => 0.0,
        };
        let more = lift(1) - lift(0);
        if shakes[0].distance(shakes[1]) < SAME_PX || more.abs() < SAME_MM {
            return None;
        }
        let foot = usize::from(more > 0.0);
        Some((foot, shakes[1 - foot] - self.base[foot]))
    }

    fn shakes(&self, seen: &[Option<Result<FootMotion, Lost>>; 2]) -> Option<[DVec2; 2]> {
        let [Some(Ok(left)), Some(Ok(right))] = seen else {
            return None;
        };
        let sure = left.held() >= HELD && right.held() >= HELD;
        sure.then_some([left.shake_px + self.base[0], right.shake_px + self.base[1]])
    }

    /// The foot that was set elsewhere by its shake: the one that went further from what both last
    /// agreed on. `px_per_mm` is the feet's scale in the picture.
    pub fn strayed(
        &mut self,
        seen: &[Option<Result<FootMotion, Lost>>; 2],
        px_per_mm: f64,
    ) -> Option<usize> {
        let shakes = self.shakes(seen)?;
        let apart = shakes[0].distance(shakes[1]);
        let most = (APART_MM * px_per_mm).max(APART_PX);
        if apart < 0.5 * most {
            self.agreed = 0.5 * (shakes[0] + shakes[1]);
        }
        let far = shakes.map(|s| s.distance(self.agreed));
        (apart > most).then_some(usize::from(far[1] > far[0]))
    }

    /// A foot was learnt anew when the camera had gone so far since the foot was learnt before, px.
    pub fn learnt_anew(&mut self, foot: usize, shake_px: DVec2) {
        self.base[foot] += shake_px;
    }
}
