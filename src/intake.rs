//! What every frame must satisfy, whoever built it.

use crate::keypoints::{Person, Setup};
use crate::{Error, ErrorCode};

/// Frames that follow one another faster than this, on average over so many, are stamped in seconds:
/// no camera takes two thousand pictures a second, ms.
const FASTEST_MS: f64 = 0.5;
const STAMPS: u32 = 30;
/// Points within so many px of the corner, so many of them and nothing else, are fractions of the
/// picture.
const CORNER_PX: f64 = 2.0;
const FRACTIONS: usize = 5;
/// Below this a point counts as unseen (the contract's "about 0.3").
const UNSEEN_SCORE: f64 = 0.3;

/// Watches the frames of one recording.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Intake {
    first_ms: Option<f64>,
    pub last_ms: Option<f64>,
    /// How often the time has risen.
    rises: u32,
}

impl Intake {
    /// Takes a frame, or says why it can't be used.
    ///
    /// # Errors
    /// A time that is not finite, goes back or is in seconds; a person with a wrong number of points, with
    /// an infinite one, or in fractions of the picture.
    pub fn take(&mut self, setup: &Setup, t_ms: f64, people: &[Person]) -> Result<(), Error> {
        if !t_ms.is_finite() {
            return Err(Error::bad("t_ms", "not a finite number"));
        }
        if self.last_ms.is_some_and(|b| t_ms < b) {
            return Err(Error::new(
                ErrorCode::TimeOrder,
                "t_ms",
                "is before the frame before it",
            ));
        }
        let first = self.first_ms.unwrap_or(t_ms);
        let rises = self.rises + u32::from(self.last_ms.is_some_and(|b| t_ms > b));
        if rises == STAMPS && t_ms - first < FASTEST_MS * f64::from(rises) {
            return Err(Error::bad(
                "t_ms",
                "is in seconds, as it seems: give milliseconds",
            ));
        }
        let count = setup.layout.count();
        for (k, person) in people.iter().enumerate() {
            let list = || match people.len() {
                1 => "points".to_owned(),
                _ => format!("people[{k}]"),
            };
            check(person, count, list)?;
        }
        self.first_ms = Some(first);
        self.last_ms = Some(t_ms);
        self.rises = rises.min(STAMPS + 1);
        Ok(())
    }
}

fn check(person: &Person, count: usize, list: impl Fn() -> String) -> Result<(), Error> {
    if person.len() != count {
        let reason = format!("has {} points, the layout has {count}", person.len());
        return Err(Error::bad(list(), reason));
    }
    let (mut near, mut far) = (0, false);
    for (i, point) in person.iter().enumerate() {
        if let Some(k) = point.iter().position(|v| v.is_infinite()) {
            let field = format!("{}[{i}]{}", list(), [".x", ".y", ".score"][k]);
            return Err(Error::bad(field, "not a finite number"));
        }
        let [x, y, score] = *point;
        // Some estimators write 0, 0 for a missing point.
        if score >= UNSEEN_SCORE && !x.is_nan() && !y.is_nan() && [x, y] != [0.0; 2] {
            far |= x.abs() > CORNER_PX || y.abs() > CORNER_PX;
            near += 1;
        }
    }
    if near >= FRACTIONS && !far {
        return Err(Error::bad(
            list(),
            "are fractions of the picture, not pixels: multiply x by image.width and y by image.height",
        ));
    }
    Ok(())
}
