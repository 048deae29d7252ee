//! A drawn foot that is set elsewhere.

use crate::feet::Room;
use glam::{DQuat, DVec2, DVec3};

/// The room with its left foot set on by so much along itself and toward the other foot, m.
pub fn set_by(room: &Room, by: DVec2) -> Room {
    let mut set = Room {
        body: room.body,
        ..Room::new(0.0)
    };
    (set.camera, set.origin) = (room.camera, room.origin);
    let leg = &mut set.body.legs[0];
    let shift = leg.along * by.x + leg.medial * by.y;
    for place in [&mut leg.ball, &mut leg.heel, &mut leg.ankle, &mut leg.knee] {
        *place += shift;
    }
    set
}

/// The room with its left foot turned out by so much about its heel, rad.
pub fn turned_by(room: &Room, angle: f64) -> Room {
    let mut set = set_by(room, DVec2::ZERO);
    let leg = &mut set.body.legs[0];
    let turn = DQuat::from_axis_angle(DVec3::Y, angle);
    let about = leg.heel;
    for place in [&mut leg.ball, &mut leg.ankle] {
        *place = about + turn * (*place - about);
    }
    (leg.along, leg.medial) = (turn * leg.along, turn * leg.medial);
    set
}

/// A foot between two places: `u` of the way, off the floor in between.
pub fn on_the_way(from: &Room, to: &Room, u: f64) -> Room {
    let mut room = set_by(from, DVec2::ZERO);
    let (a, b) = (&from.body.legs[0], &to.body.legs[0]);
    let up = DVec3::Y * (0.04 * (std::f64::consts::PI * u).sin());
    let leg = &mut room.body.legs[0];
    leg.along = a.along.lerp(b.along, u).normalize();
    leg.medial = a.medial.lerp(b.medial, u).normalize();
    leg.ball = a.ball.lerp(b.ball, u) + up;
    leg.heel = a.heel.lerp(b.heel, u) + up;
    leg.ankle = a.ankle.lerp(b.ankle, u) + up;
    room
}
