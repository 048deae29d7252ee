//! Reference position of standing, and whether the lifter is still there.

use super::feet::{Feet, gain};
use super::position::{SIZE_CHANGE, WALKED, size_change};
use glam::DVec2;

/// A shank that looks longer or shorter for so long tells that the lifter has walked, ms.
/// tuned: `reps`
const SIZE_CHANGE_MS: f64 = 400.0;
/// ... when the feet have moved by more than this meanwhile, shank lengths.
/// tuned: `reps`
const CREPT: f64 = 0.07;
/// Feet this close to where they were a moment ago have not moved, shank lengths.
/// tuned: `reps`
const NEARBY: f64 = 0.15;
/// Standing interrupted for less than this may have been an error, ms.
/// tuned: `reps`
const BRIEFLY_MS: f64 = 1200.0;

/// The reference that the joints' standing positions belong to.
#[derive(Clone, Copy, Debug)]
pub(super) struct StandingReference {
    /// How long the shank looked there, px; `None` while standing is not known.
    shank: Option<f64>,
    /// When the feet were last where they were put, ms.
    planted_ms: f64,
    /// Since when the shank has looked longer or shorter, ms.
    size_change_since: Option<f64>,
}

impl Default for StandingReference {
    fn default() -> Self {
        Self {
            shank: None,
            planted_ms: f64::NEG_INFINITY,
            size_change_since: None,
        }
    }
}

impl StandingReference {
    /// Standing is taken here, with a shank of so many px.
    pub fn take(&mut self, shank: f64) {
        self.shank = Some(shank);
    }

    /// Standing has to be taken anew.
    pub fn lose(&mut self) {
        self.shank = None;
    }

    /// The feet are where they were put.
    pub fn planted(&mut self, t_ms: f64) {
        self.planted_ms = t_ms;
    }

    /// Looks at the shank from now on.
    pub fn watch(&mut self) {
        self.size_change_since = None;
    }

    /// How much larger everything looks with a shank of so many px.
    pub fn magnification(&self, shank: f64) -> f64 {
        self.shank
            .map_or(1.0, |reference| shank / reference.max(1.0))
    }

    /// The shank has looked longer or shorter for some time, and the feet have not quite stayed
    /// where they were: a step toward the camera or away may not be seen as one.
    pub fn walked(&mut self, feet: &Feet, shank: f64, t_ms: f64, dt: f64) -> bool {
        let Some(reference) = &mut self.shank else {
            return false;
        };
        let displaced_since = feet
            .displacement_from_reference()
            .is_some_and(|m| m.0 > CREPT * shank);
        if !displaced_since {
            // Estimators' errors drift.
            *reference += gain(dt, 3000.0) * (shank - *reference);
        }
        if displaced_since && size_change(*reference, shank) > SIZE_CHANGE {
            t_ms - *self.size_change_since.get_or_insert(t_ms) > SIZE_CHANGE_MS
        } else {
            self.size_change_since = None;
            false
        }
    }

    /// Movement of the feet since standing was taken; `None` when they are elsewhere now and it has
    /// to be taken anew. After a moment only the feet tell: the lifter may have squatted meanwhile.
    pub fn moved(&self, feet: &Feet, shank: f64, t_ms: f64) -> Option<DVec2> {
        let reference = self.shank?;
        let (far, moved) = feet.displacement_from_reference()?;
        let far = far / shank.max(1.0);
        let same = if t_ms - self.planted_ms < BRIEFLY_MS {
            far < NEARBY
        } else {
            far < WALKED && size_change(reference, shank) < SIZE_CHANGE
        };
        same.then_some(moved)
    }
}
