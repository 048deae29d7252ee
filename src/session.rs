//! One set, frame by frame: push keypoints, read the live state, take the report.

use crate::Error;
use crate::keypoints::{Person, RawFrame, Recording, Setup};
use crate::pose::{Pose, PoseTracker};
use crate::repetitions::{Detector, Phase, Repetition};
use crate::report::Report;
use crate::standing::{Quiet, QuietFinder};
use crate::stands::Stand;
use crate::{assemble, repetitions};

/// What the caller chooses; everything has a default.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Put the curves into the report.
    pub series: bool,
    /// The lifter said that something hurts: the advice to stop comes ahead of any cue.
    pub hurts: bool,
}

/// Where in the lift the lifter is now.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LivePhase {
    /// Standing has not been found yet, or the lifter is walking.
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

impl LivePhase {
    /// The package's word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Searching => "searching",
            Self::Standing => "standing",
            Self::Down => "down",
            Self::Bottom => "bottom",
            Self::Up => "up",
        }
    }
}

impl From<Phase> for LivePhase {
    fn from(phase: Phase) -> Self {
        match phase {
            Phase::Searching => Self::Searching,
            Phase::Standing => Self::Standing,
            Phase::Down => Self::Down,
            Phase::Bottom => Self::Bottom,
            Phase::Up => Self::Up,
        }
    }
}

/// The state after a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Live {
    /// Where in the lift.
    pub phase: LivePhase,
    /// Repetitions finished so far.
    pub reps: usize,
    /// Quiet standing has been fitted: values can be measured.
    pub standing_known: bool,
    /// A repetition became final with this frame (its number, from 1).
    pub finished: Option<usize>,
}

/// One set in progress. Holds everything pushed; nothing is computed from a clock.
#[derive(Clone, Debug)]
pub struct Session {
    pub(crate) setup: Setup,
    pub(crate) options: Options,
    frames: Vec<RawFrame>,
    pub(crate) poses: Vec<Pose>,
    tracker: PoseTracker,
    finder: QuietFinder,
    detector: Detector,
    /// Every setting of the feet: its stretch of standing before the first repetition, and the
    /// live fit of it.
    pub(crate) quiets: Vec<Quiet>,
    stand: Option<Stand>,
    pub(crate) reps: Vec<Repetition>,
    live: Live,
}

impl Session {
    /// A session for frames of this set-up.
    pub fn new(setup: Setup, options: Options) -> Self {
        Self {
            tracker: PoseTracker::new(&setup),
            setup,
            options,
            frames: Vec::new(),
            poses: Vec::new(),
            finder: QuietFinder::new(),
            detector: Detector::new(),
            quiets: Vec::new(),
            stand: None,
            reps: Vec::new(),
            live: Live::default(),
        }
    }

    /// Takes one frame. `people` holds everybody found, in the layout's order; empty when nobody.
    ///
    /// # Errors
    /// A time that is not finite or goes back, or a person with a wrong number of points. The
    /// frame is then ignored and the session goes on.
    pub fn push(&mut self, t_ms: f64, people: &[Person]) -> Result<Live, Error> {
        crate::analyze::check_frame(
            &self.setup,
            self.frames.last().map(|f| f.t_ms),
            t_ms,
            people,
        )?;
        self.frames.push(RawFrame {
            t_ms,
            people: people.to_vec(),
        });
        self.live.finished = None;
        if let Some(pose) = self.tracker.push(t_ms, people) {
            self.poses.push(pose);
            self.follow(&pose);
        }
        Ok(self.live)
    }

    fn follow(&mut self, pose: &Pose) {
        let finished = self.detector.push(pose);
        let upright = self.detector.phase() == Phase::Standing;
        if let Some(quiet) = self.finder.push(pose, upright) {
            self.stood(quiet, pose);
        }
        if let Some(rep) = finished {
            self.reps.push(rep);
            self.live.finished = Some(self.reps.len());
        }
        self.live.reps = self.reps.len();
        self.live.standing_known = self.stand.is_some();
        self.live.phase = self.detector.phase().into();
    }

    /// Keeps the stretch that the setting's first repetition will be read against, and fits it.
    fn stood(&mut self, quiet: Quiet, pose: &Pose) {
        let fresh = self
            .quiets
            .last()
            .is_none_or(|q| q.feet_epoch != quiet.feet_epoch);
        if fresh {
            if let Some(ratio) = repetitions::ratio(pose) {
                self.detector.standing(ratio);
            }
            self.quiets.push(quiet);
            if let Some(stand) = Stand::new(&self.poses, quiet, &self.setup) {
                self.stand = Some(stand);
            }
        } else if let Some(last) = self.quiets.last_mut() {
            // The same stretch grows; a later one of the same setting does not replace it once a
            // repetition has been done.
            let lifted = self.reps.last().is_some_and(|r| r.end_ms > last.to_ms);
            if quiet.from_ms <= last.to_ms || !lifted {
                *last = quiet;
            }
        }
    }

    /// The state after the last frame.
    pub fn live(&self) -> Live {
        self.live
    }

    /// The report over everything pushed so far.
    pub fn report(&self) -> Report {
        assemble::report(self)
    }

    /// Everything pushed so far, as a recording that gives the same report.
    pub fn recording(&self) -> Recording {
        Recording {
            setup: self.setup.clone(),
            frames: self.frames.clone(),
        }
    }

    /// Forgets every frame; set-up and options stay.
    pub fn reset(&mut self) {
        *self = Self::new(self.setup.clone(), self.options.clone());
    }
}
