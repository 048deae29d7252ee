//! How accurate the core is meant to be, by check and view.

use super::Condition;
use crate::camera::View;
use underfoot::measures::Check;

/// What is asked of a check from a view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Mean absolute error that must hold, and the goal.
    Error {
        /// Must hold.
        must: f64,
        /// The goal.
        goal: f64,
    },
    /// Cannot be seen from here and must say so.
    Unseen,
    /// May be unsure; no figure asked.
    Open,
}

const fn error(must: f64, goal: f64) -> Limit {
    Limit::Error { must, goal }
}

/// The limit for a check; a quarter more when the height is not known.
pub fn of(condition: &Condition, check: Check) -> Limit {
    let more = if condition.known { 1.0 } else { 1.25 };
    let limit = match (check, condition.view) {
        (Check::KneeIn, View::Front) => error(2.0, 1.2),
        (Check::KneeIn, View::Oblique) => error(2.5, 1.5),
        (Check::KneeIn, View::Rear) => error(3.0, 2.0),
        (Check::KneeIn | Check::FootRoll | Check::LoadLeft, View::Side) => Limit::Unseen,
        (Check::HeelLift, View::Oblique) => error(8.0, 5.0),
        (Check::HeelLift, View::Side) => error(5.0, 3.0),
        (Check::HeelLift, View::Rear) => error(7.0, 4.0),
        (Check::FootRoll, View::Front) => error(2.5, 1.5),
        (Check::FootRoll, View::Oblique | View::Rear) => error(3.0, 2.0),
        (Check::LoadLeft, View::Front | View::Rear) => error(3.0, 2.0),
        (Check::LoadLeft, View::Oblique) => error(4.0, 2.5),
        (Check::Forward, View::Oblique) => error(5.0, 3.0),
        (Check::Forward, View::Side) => error(3.0, 2.0),
        _ => Limit::Open,
    };
    match limit {
        Limit::Error { must, goal } => error(must * more, goal * more),
        other => other,
    }
}

/// Limits of the camera's bearing, degrees.
pub const AZIMUTH: Limit = error(3.0, 1.5);

impl Limit {
    /// `must / goal`, or in words.
    pub fn text(self) -> String {
        match self {
            Self::Error { must, goal } => format!("{must} / {goal}"),
            Self::Unseen => "unseen".into(),
            Self::Open => "open".into(),
        }
    }

    /// How an error stands against it.
    pub fn met(self, error: f64, unseen: f64) -> &'static str {
        match self {
            Self::Error { goal, .. } if error <= goal => "goal",
            Self::Error { must, .. } if error <= must => "holds",
            Self::Error { .. } => "**missed**",
            Self::Unseen if unseen >= 0.95 => "holds",
            Self::Unseen => "said at times",
            Self::Open => "",
        }
    }
}
