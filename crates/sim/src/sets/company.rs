//! Other people in the picture.

use crate::body::{self, Body, Stance, sign};
use crate::foot::FootState;
use crate::lifter::Lifter;
use glam::DVec2;

/// Somebody who walks across between camera and lifter, or stands about.
#[derive(Clone, Debug)]
pub struct Other {
    /// Who.
    pub lifter: Lifter,
    /// Middle of the way, floor x, z, m.
    pub middle: DVec2,
    /// Metres a second; zero: stands.
    pub velocity: DVec2,
    /// When the middle is passed, s.
    pub at_s: f64,
}

impl Other {
    /// The body at `t`.
    pub fn body(&self, t: f64) -> Body {
        let speed = self.velocity.length();
        let here = self.middle + self.velocity * (t - self.at_s);
        let facing = if speed > 0.0 {
            self.velocity.x.atan2(self.velocity.y).to_degrees()
        } else {
            0.0
        };
        let ahead = self.velocity.normalize_or_zero();
        let left = DVec2::new(facing.to_radians().cos(), -facing.to_radians().sin());
        // A stride of 1.3 m: each foot rests half of it and swings the other half.
        let stride = 1.3;
        let feet = [0, 1].map(|side| {
            let phase = (speed * t / stride + 0.5 * side as f64).rem_euclid(1.0);
            let swing = ((phase - 0.5) / 0.5).max(0.0);
            let along = if phase < 0.5 {
                stride * (0.25 - phase)
            } else {
                stride * (swing * 0.5 - 0.25)
            };
            FootState {
                at: here + left * (sign(side) * 0.09) + ahead * (along * f64::from(speed > 0.0)),
                bearing: facing + sign(side) * 6.0,
                raised: if speed > 0.0 {
                    0.10 * (std::f64::consts::PI * swing).sin()
                } else {
                    0.0
                },
                ..FootState::default()
            }
        });
        body::solve(
            &self.lifter,
            &Stance {
                feet,
                facing,
                drop: 0.02 + 0.02 * f64::from(speed > 0.0),
                ..Stance::default()
            },
        )
    }
}
