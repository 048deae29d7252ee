//! One camera sees both feet: when its shake is not the same by both, one foot was set elsewhere.
//!
//! Where little of the floor is seen beside a foot, a step to the side and a shake of the camera do the
//! same to its picture.

use super::outcome::{FootMotion, Lost};
use glam::DVec2;

/// The shakes differ when they do by so much, of a foot's own scale, mm, and at least px.
const APART_MM: f64 = 10.0;
const APART_PX: f64 = 3.0;
/// A foot of which less than this part agrees tells nothing of the camera.
const HELD: f64 = 0.6;

/// What both feet say of the camera.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct CommonShake {
    /// Where the camera had gone when a foot was learnt anew, px.
    base: [DVec2; 2],
    /// Shake that both feet last agreed on, px.
    agreed: DVec2,
}

impl CommonShake {
    /// The foot that was set elsewhere by its shake: the one that went further from what both last
    /// agreed on. `px_per_mm` is the feet's scale in the picture.
    pub fn strayed(
        &mut self,
        seen: &[Option<Result<FootMotion, Lost>>; 2],
        px_per_mm: f64,
    ) -> Option<usize> {
        let [Some(Ok(left)), Some(Ok(right))] = seen else {
            return None;
        };
        if left.held() < HELD || right.held() < HELD {
            return None;
        }
        let shakes = [left.shake_px + self.base[0], right.shake_px + self.base[1]];
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
