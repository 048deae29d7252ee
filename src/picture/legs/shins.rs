//! Both shins of a whole body, followed beside its feet.

use super::shin::Shin;
use crate::keypoints::{Part, Side};
use crate::picture::crops::Crops;
use crate::picture::grey::GreyView;
use crate::picture::motion::Part as Piece;
use crate::picture::tracker::FootTracker;
use crate::pose::Pose;
use crate::standing::StandingFit;
use glam::DVec2;

/// What is kept of standing, and who follows.
#[derive(Clone, Debug, Default)]
pub(in crate::picture) struct Shins {
    crops: [Crops; 2],
    shins: [Option<Shin>; 2],
}

impl Shins {
    /// Keeps what a frame shows of one leg, to learn its shin from.
    pub fn keep(&mut self, pose: &Pose, side: Side, view: &GreyView<'_>) {
        let at = |part| pose.of(part, side);
        let seen = [at(Part::Heel), at(Part::Ankle), at(Part::Knee), None];
        let crops = &mut self.crops[side.index()];
        if let Some(cut) = crops.cut(&seen, view) {
            crops.keep(pose.t_ms, &cut);
        }
    }

    /// Learns both shins as the fit has them, from the last crops of quiet standing between two times.
    pub fn learn(&mut self, fit: &StandingFit, from_ms: f64, to_ms: f64) {
        let place = |side: Side| {
            let leg = &fit.body.legs[side.index()];
            [leg.ankle, leg.knee].map(|p| fit.camera.project(p))
        };
        for side in Side::BOTH {
            let i = side.index();
            self.shins[i] = None;
            let views = self.crops[i].between(from_ms, to_ms);
            if let (Some(view), [Some(ankle), Some(knee)]) = (views.last(), place(side)) {
                let leg = &fit.body.legs[i];
                let ends = [ankle, knee];
                self.shins[i] = Some(Shin::new(&fit.camera, leg, ends, place(side.other()), view));
            }
        }
    }

    /// The axis of a shin in a frame, its foot being where it was last found: ankle and top, px.
    pub fn follow(
        &mut self,
        pose: &Pose,
        side: Side,
        view: &GreyView<'_>,
        foot: &FootTracker,
        shake: DVec2,
    ) -> Option<[[f64; 2]; 2]> {
        let shin = self.shins[side.index()].as_mut()?;
        let k = &foot.kinematics;
        let moved = k.moved(foot.last.as_ref()?);
        let ankle = k.place(&moved, Piece::Rear, shin.ankle);
        shin.knee_seen = pose.of(Part::Knee, side);
        let found = shin.follow(pose.t_ms, view, ankle, shake)?;
        Some([found.ankle, found.knee].map(|p| p.to_array()))
    }
}
