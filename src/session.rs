//! One set, frame by frame: push keypoints, read the live state, take the report.

use crate::Error;
use crate::keypoints::{Person, RawFrame, Recording, Setup};
use crate::report::{Cue, Finding, Report, SCHEMA};

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
    setup: Setup,
    options: Options,
    frames: Vec<RawFrame>,
    live: Live,
}

impl Session {
    /// A session for frames of this set-up.
    pub fn new(setup: Setup, options: Options) -> Self {
        Self {
            setup,
            options,
            frames: Vec::new(),
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
        Ok(self.live)
    }

    /// The state after the last frame.
    pub fn live(&self) -> Live {
        self.live
    }

    /// The report over everything pushed so far.
    pub fn report(&self) -> Report {
        Report {
            schema: SCHEMA,
            view: None,
            standing: None,
            reps: Vec::new(),
            finding: Finding::default(),
            cue: Cue::default(),
            notes: Vec::new(),
            series: self.options.series.then(Default::default),
        }
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
