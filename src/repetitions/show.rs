//! The detector's state in a line.

use super::detector::{Detector, State};
use super::signal::Reading;
use std::fmt;

/// What the detector makes of things, in a line, for looking into a set.
impl fmt::Display for Detector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (drop, speed) = self
            .curve
            .last()
            .map_or((f64::NAN, f64::NAN), |l| (l.drop, l.speed));
        let stance = self.feet.stance();
        let away = stance.away;
        let walked = self.station.from(&self.place(stance)).unwrap_or(f64::NAN);
        let Reading {
            hips,
            shoulders,
            head,
            knees,
            ..
        } = self.signal.reading();
        let [hips, shoulders, head, knees] =
            [hips, shoulders, head, knees].map(|v| v.unwrap_or(f64::NAN));
        write!(
            f,
            "drop {drop:.3} speed {speed:.2} feet {away:.2} hips {hips:.3} shoulders {shoulders:.3} \
             head {head:.3} knees {knees:.3} walked {walked:.2}"
        )?;
        match self.state {
            State::Searching => write!(f, " searching"),
            State::Standing => write!(f, " standing"),
            State::Lifting(lift) => write!(
                f,
                " lifting, deepest {:.3}, back to {:.3}, {}",
                lift.deepest, lift.highest, lift.evidence
            ),
        }
    }
}
