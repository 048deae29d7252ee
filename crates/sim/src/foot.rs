//! A foot's points, and how they move when the heel lifts or the foot rolls.
//!
//! Two foot models and two pivots can be chosen, so that no measure can be fitted to one of them.

use crate::anthropometry::BALL;
use crate::rng::Draw;
use glam::{DVec2, DVec3};

/// About what the heel lifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pivot {
    /// The ball (0.74 of foot length); toes stay flat. What feet do.
    Ball,
    /// The toe tip: a stiff sole.
    ToeTip,
}

/// About what the foot rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RollAxis {
    /// The edge on the floor: inward about the medial edge, outward about the lateral one.
    Edge,
    /// The long axis through the sole: soft foot or shoe, both edges move.
    Midline,
}

/// A foot at rest: along its long axis from the heel point, toward medial, up; metres.
#[derive(Clone, Debug)]
pub struct Foot {
    /// Heel point to toe tip.
    pub length: f64,
    /// Heel point.
    pub heel: DVec3,
    /// Ankle joint centre.
    pub ankle: DVec3,
    /// Big toe.
    pub big_toe: DVec3,
    /// Little toe.
    pub small_toe: DVec3,
    /// Toe tip, on the long axis: what a layout with one toe point sees.
    pub tip: DVec3,
    /// Medial and lateral edge of the sole from the long axis, both positive.
    pub edges: [f64; 2],
    /// Toe-out in standing, degrees.
    pub toe_out: f64,
    /// Roll already there in standing, degrees, + = in.
    pub rest_roll: f64,
    /// Where the heel lifts.
    pub pivot: Pivot,
    /// Where the foot rolls.
    pub axis: RollAxis,
}

/// Where a foot is and what it does.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FootState {
    /// Where the resting ankle stands on the floor: x, z.
    pub at: DVec2,
    /// Bearing of the long axis, degrees, + = toward the lifter's left (world).
    pub bearing: f64,
    /// Whole foot off the floor, m (walking).
    pub raised: f64,
    /// Rise of the heel point by pitching, mm.
    pub heel_mm: f64,
    /// Roll beyond rest, degrees, + = in.
    pub roll: f64,
}

/// A foot's points in the world.
#[derive(Clone, Copy, Debug, Default)]
pub struct FootPoints {
    /// Heel point.
    pub heel: DVec3,
    /// Ankle joint centre.
    pub ankle: DVec3,
    /// Big toe.
    pub big_toe: DVec3,
    /// Little toe.
    pub small_toe: DVec3,
    /// Toe tip.
    pub tip: DVec3,
    /// Long axis, horizontal.
    pub long: DVec3,
    /// Toward the other foot, horizontal.
    pub medial: DVec3,
}

/// Takes places in the world back to the foot at rest. Sines and cosines are paired.
#[derive(Clone, Copy, Debug)]
pub struct Backward {
    at: DVec3,
    side: f64,
    ankle: DVec3,
    bearing: (f64, f64),
    pivot: f64,
    pitch: Option<(f64, f64)>,
    toes_stay: bool,
    edge: f64,
    roll: (f64, f64),
}

impl Backward {
    /// Along, toward medial, up, m. `None` in the gap that opens above the ball as the heel lifts.
    pub fn rest(&self, world: DVec3) -> Option<DVec3> {
        let (sin, cos) = self.bearing;
        let arm = world - self.at;
        let mut p = DVec3::new(
            arm.x * sin + arm.z * cos + self.ankle.x,
            self.side * (arm.z * sin - arm.x * cos) + self.ankle.y,
            arm.y,
        );
        if let Some((sin, cos)) = self.pitch {
            let b = self.pivot - p.x;
            let rear = DVec3::new(self.pivot - (b * cos + p.z * sin), p.y, p.z * cos - b * sin);
            if !self.toes_stay || rear.x < self.pivot {
                p = rear;
            } else if p.x < self.pivot {
                return None;
            }
        }
        let (sin, cos) = self.roll;
        let (y, z) = (p.y - self.edge, p.z);
        Some(DVec3::new(
            p.x,
            self.edge + y * cos - z * sin,
            z * cos + y * sin,
        ))
    }
}

impl Foot {
    /// Random points for a foot of this length. Toe places follow the shape of feet in the
    /// literature loosely: the axis passes a third of the way from the big to the little toe.
    pub fn random(
        draw: &mut Draw,
        length: f64,
        ankle_height: f64,
        ankle_along: f64,
        pivot: Pivot,
        axis: RollAxis,
    ) -> Self {
        let width = length * draw.uniform(0.21, 0.32);
        let toe_height = draw.uniform(0.012, 0.024);
        Self {
            length,
            heel: DVec3::new(0.0, 0.0, draw.uniform(0.015, 0.032)),
            ankle: DVec3::new(
                ankle_along * length,
                draw.trimmed(0.0, 0.003, 2.0),
                ankle_height,
            ),
            big_toe: DVec3::new(
                length * draw.uniform(0.92, 1.0),
                width / 3.0,
                toe_height + 0.003,
            ),
            small_toe: DVec3::new(
                length * draw.uniform(0.77, 0.86),
                -width * 2.0 / 3.0,
                toe_height - 0.002,
            ),
            tip: DVec3::new(length, 0.0, toe_height),
            edges: [0.13 * length, 0.18 * length],
            toe_out: 15.0,
            rest_roll: 0.0,
            pivot,
            axis,
        }
    }

    /// The foot's points in the world; `side` is +1 left, -1 right.
    pub fn place(&self, state: &FootState, side: f64) -> FootPoints {
        let (sin, cos) = state.bearing.to_radians().sin_cos();
        let long = DVec3::new(sin, 0.0, cos);
        // Toward the other foot: -x for a left foot that points ahead.
        let medial = DVec3::new(-side * cos, 0.0, side * sin);
        let origin = DVec3::new(state.at.x, state.raised, state.at.y)
            - long * self.ankle.x
            - medial * self.ankle.y;
        let put = |p: DVec3| {
            let p = self.pitched(self.rolled(p, self.rest_roll + state.roll), state.heel_mm);
            origin + long * p.x + medial * p.y + DVec3::Y * p.z
        };
        FootPoints {
            heel: put(self.heel),
            ankle: put(self.ankle),
            big_toe: put(self.big_toe),
            small_toe: put(self.small_toe),
            tip: put(self.tip),
            long,
            medial,
        }
    }

    /// What undoes [`Foot::place`].
    pub fn backward(&self, state: &FootState, side: f64) -> Backward {
        let (pivot, pitch) = self.pitch(state.heel_mm);
        let degrees = self.rest_roll + state.roll;
        Backward {
            at: DVec3::new(state.at.x, state.raised, state.at.y),
            side,
            ankle: self.ankle,
            bearing: state.bearing.to_radians().sin_cos(),
            pivot,
            pitch: (pitch != 0.0).then(|| pitch.sin_cos()),
            toes_stay: self.pivot == Pivot::Ball,
            edge: self.edge(degrees),
            roll: degrees.to_radians().sin_cos(),
        }
    }

    /// Where the edge lies that a roll turns about, toward medial.
    fn edge(&self, degrees: f64) -> f64 {
        match self.axis {
            RollAxis::Midline => 0.0,
            RollAxis::Edge if degrees > 0.0 => self.edges[0],
            RollAxis::Edge => -self.edges[1],
        }
    }

    /// Rolling in carries the top of the foot toward medial: + about the long axis.
    fn rolled(&self, p: DVec3, degrees: f64) -> DVec3 {
        let about = self.edge(degrees);
        let (sin, cos) = degrees.to_radians().sin_cos();
        let (y, z) = (p.y - about, p.z);
        DVec3::new(p.x, about + y * cos + z * sin, z * cos - y * sin)
    }

    /// Where the pivot lies along the foot, m, and the turn about it that lifts the heel point by
    /// `heel_mm`, rad.
    fn pitch(&self, heel_mm: f64) -> (f64, f64) {
        let pivot = match self.pivot {
            Pivot::Ball => BALL * self.length,
            Pivot::ToeTip => self.length,
        };
        if heel_mm.abs() < 1e-9 {
            return (pivot, 0.0);
        }
        // Heel at distance r and elevation e behind the pivot: rise = r (sin(e + a) - sin e).
        let (back, up) = (pivot - self.heel.x, self.heel.z);
        let (r, e) = (back.hypot(up), up.atan2(back));
        let sine = (heel_mm / 1e3 / r + e.sin()).clamp(-1.0, 1.0);
        (pivot, sine.asin() - e)
    }

    /// Lifts what is behind the pivot so that the heel point rises by `heel_mm`.
    fn pitched(&self, p: DVec3, heel_mm: f64) -> DVec3 {
        let (pivot, a) = self.pitch(heel_mm);
        if a == 0.0 || (self.pivot == Pivot::Ball && p.x >= pivot) {
            return p;
        }
        let (sin, cos) = a.sin_cos();
        let b = pivot - p.x;
        DVec3::new(pivot - (b * cos - p.z * sin), p.y, b * sin + p.z * cos)
    }
}

#[cfg(test)]
#[path = "foot_tests.rs"]
mod tests;
