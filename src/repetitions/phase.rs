//! Plain values: a repetition, and the phase of the lift.

/// One repetition, from standing to standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repetition {
    /// Leaves standing, ms.
    pub start_ms: f64,
    /// Arrives at the bottom, ms.
    pub bottom_ms: f64,
    /// Begins to come up for good, ms; later than `bottom_ms` when there is a pause or a bounce.
    pub bottom_end_ms: f64,
    /// Stands again, ms.
    pub end_ms: f64,
    /// Pelvis drop as a fraction of its standing height above the ankles (0.535, SD 0.08 in deep
    /// squats of the UI-PRMD data); `None` when neither hips nor shoulders nor head were seen.
    pub depth: Option<f64>,
    /// Nearer a quarter squat than a half squat: knees bent by less than about 75 degrees.
    pub shallow: bool,
    /// `false` when the lifter came half up and went down again before standing, or never stood.
    pub complete: bool,
}

/// Where in the lift.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Phase {
    /// No standing seen yet, or walking.
    #[default]
    Searching,
    /// Standing.
    Standing,
    /// Going down.
    Down,
    /// At the bottom.
    Bottom,
    /// Coming up.
    Up,
}

/// What the detector knows after a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// Where in the lift.
    pub phase: Phase,
    /// The repetition that became final with this frame.
    pub finished: Option<Repetition>,
    /// One before it that had been held back, because it looked like a dip under the bar.
    pub held: Option<Repetition>,
    /// How many of the latest repetitions turned out to be none with this frame (a dip under the
    /// bar is told from a shallow repetition by the walk that follows): drop them from the end.
    pub withdrawn: usize,
}

impl Progress {
    /// Brings the repetitions so far up to date.
    pub fn bring(&self, reps: &mut Vec<Repetition>) {
        reps.truncate(reps.len().saturating_sub(self.withdrawn));
        reps.extend(self.held.into_iter().chain(self.finished));
    }
}
