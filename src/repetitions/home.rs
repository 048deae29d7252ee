//! Where standing was taken from, and whether the lifter is still there.

use super::feet::{Feet, gain};
use super::whereabouts::{GROWN, WALKED, grown};
use glam::DVec2;

/// A shank that looks longer or shorter for so long tells that the lifter has walked, ms.
const GROWN_MS: f64 = 400.0;
/// ... when the feet have moved by more than this meanwhile, shank lengths.
const CREPT: f64 = 0.07;
/// Feet this close to where they were a moment ago have not moved, shank lengths.
const NEARBY: f64 = 0.15;
/// Standing interrupted for less than this may have been an error, ms.
const BRIEFLY_MS: f64 = 1200.0;

/// The place that the joints' standing places belong to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Home {
    /// How long the shank looked there, px; `None` while standing is not known.
    shank: Option<f64>,
    /// When the feet were last where they were put, ms.
    planted_ms: f64,
    /// Since when the shank has looked longer or shorter, ms.
    grown_since: Option<f64>,
}

impl Default for Home {
    fn default() -> Self {
        Self {
            shank: None,
            planted_ms: f64::NEG_INFINITY,
            grown_since: None,
        }
    }
}

impl Home {
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
        self.grown_since = None;
    }

    /// How much larger everything looks with a shank of so many px.
    pub fn larger(&self, shank: f64) -> f64 {
        self.shank.map_or(1.0, |home| shank / home.max(1.0))
    }

    /// The shank has looked longer or shorter for some time, and the feet have not quite stayed
    /// where they were: a step toward the camera or away may not be seen as one.
    pub fn walked(&mut self, feet: &Feet, shank: f64, t_ms: f64, dt: f64) -> bool {
        let Some(home) = &mut self.shank else {
            return false;
        };
        let crept = feet.moved_from_home().is_some_and(|m| m.0 > CREPT * shank);
        if !crept {
            // Estimators' errors drift.
            *home += gain(dt, 3000.0) * (shank - *home);
        }
        if crept && grown(*home, shank) > GROWN {
            t_ms - *self.grown_since.get_or_insert(t_ms) > GROWN_MS
        } else {
            self.grown_since = None;
            false
        }
    }

    /// Movement of the feet since standing was taken; `None` when they are elsewhere now and it has
    /// to be taken anew. After a moment only the feet tell: the lifter may have squatted meanwhile.
    pub fn moved(&self, feet: &Feet, shank: f64, t_ms: f64) -> Option<DVec2> {
        let home = self.shank?;
        let (far, moved) = feet.moved_from_home()?;
        let far = far / shank.max(1.0);
        let same = if t_ms - self.planted_ms < BRIEFLY_MS {
            far < NEARBY
        } else {
            far < WALKED && grown(home, shank) < GROWN
        };
        same.then_some(moved)
    }
}
