//! Feet and shins followed from marks: drawn cylinders and boxes, of which a formula says where they are.

use crate::legs::{Lean, Room, SIZE};
use glam::DVec2;
use underfoot::keypoints::{ImageSize, Joint, Layout, Marks, Part, Setup, Side};
use underfoot::picture::GreyView;
use underfoot::picture::legs::LegsFollower;

const PARTS: [Part; 5] = [
    Part::Knee,
    Part::Ankle,
    Part::Heel,
    Part::BigToe,
    Part::SmallToe,
];
const STANDING: Lean = [[4.0, 4.0]; 2];

fn image() -> ImageSize {
    let [width, height] = SIZE.map(|v| v as f64);
    ImageSize { width, height }
}

fn view(data: &[u8]) -> GreyView<'_> {
    GreyView::new(data, SIZE[0], SIZE[1], SIZE[0], DVec2::ZERO, 1.0).unwrap()
}

fn truth(room: &Room, lean: Lean) -> Vec<(Joint, DVec2)> {
    let mut out = Vec::new();
    for (side, lean) in Side::BOTH.into_iter().zip(lean) {
        for (part, place) in PARTS.into_iter().zip(Room::points(side.sign(), lean)) {
            out.push((Joint::of(part, side), room.project(place)));
        }
    }
    out
}

fn follower(room: &Room) -> LegsFollower {
    let joints = truth(room, STANDING)
        .into_iter()
        .map(|(joint, p)| (joint, [p.x, p.y]));
    let marks = Marks::new(0.0, joints, image()).unwrap();
    let picture = room.draw(STANDING, DVec2::ZERO, 1.0);
    LegsFollower::new(
        &Setup::new(Layout::named("blazepose-33").unwrap(), image()),
        &marks,
        &[view(&picture)],
    )
    .unwrap()
}

/// Down and up again: how far down, 0 to 1, in frame `i`.
fn depth(i: usize) -> f64 {
    let x = (i as f64 / 60.0).min(1.0);
    16.0 * x * x * (1.0 - x) * (1.0 - x)
}

/// Largest errors of a joint's place over a squat, along the picture's axes, px.
fn errors(bearing: f64, deep: Lean, shaken: f64, light: f64, of: &[Part]) -> DVec2 {
    let room = Room::new(bearing);
    let mut follower = follower(&room);
    let mut worst = DVec2::ZERO;
    for i in (0..=60).step_by(2) {
        let d = depth(i);
        let mut lean = STANDING;
        for (lean, deep) in lean.iter_mut().zip(deep) {
            for (l, deep) in lean.iter_mut().zip(deep) {
                *l += d * (deep - *l);
            }
        }
        let shake = DVec2::new((i as f64 * 1.3).sin(), (i as f64 * 0.9).cos()) * shaken;
        let picture = room.draw(lean, shake, 1.0 + (light - 1.0) * d);
        let seen = follower.see(i as f64 * 33.3, &view(&picture)).pose;
        for (joint, at) in truth(&room, lean) {
            if of
                .iter()
                .any(|&part| Side::BOTH.iter().any(|&s| Joint::of(part, s) == joint))
            {
                let found = seen.at(joint).unwrap_or(DVec2::splat(1e3));
                worst = worst.max((found - at - shake).abs());
            }
        }
    }
    worst
}

/// From the front the shins' way in and out: 1.5 degrees of a shin of 156 px are 4 px.
#[test]
fn cylinders_that_lean_in_and_out() {
    let worst = errors(0.0, [[25.0, 14.0], [25.0, -12.0]], 0.0, 1.0, &[Part::Knee]);
    assert!(worst.x < 4.0, "{worst}");
}

/// From the side their lean, and 5 % of how long they look.
#[test]
fn cylinders_that_lean_forward() {
    let room = Room::new(90.0);
    let mut follower = follower(&room);
    let (mut worst, mut longer) = (0.0f64, 0.0f64);
    for i in (0..=60).step_by(2) {
        let lean = [[4.0 + 30.0 * depth(i), 4.0]; 2];
        let picture = room.draw(lean, DVec2::ZERO, 1.0);
        let seen = follower.see(i as f64 * 33.3, &view(&picture)).pose;
        // The far leg is hidden in part.
        let at = seen.of(Part::Knee, Side::Left).unwrap();
        let knee = room.project(Room::points(1.0, lean[0])[0]);
        let ankle = room.project(Room::points(1.0, lean[0])[1]);
        let off = (at - ankle).angle_to(knee - ankle).to_degrees();
        worst = worst.max(off.abs());
        longer = longer.max((at.distance(ankle) / knee.distance(ankle) - 1.0).abs());
    }
    assert!(worst < 1.5, "{worst} degrees");
    assert!(longer < 0.05, "{longer}");
}

/// A phone that shakes by 2 px, and light that fades by a fifth, move no point by more than 4 px beyond the shake.
#[test]
fn shake_and_light_are_no_movement() {
    let worst = errors(0.0, [[25.0, 10.0]; 2], 2.0, 0.8, &[Part::Knee]);
    assert!(worst.x < 5.0, "{worst}");
    let feet = errors(
        0.0,
        STANDING,
        2.0,
        0.8,
        &[Part::Ankle, Part::Heel, Part::BigToe],
    );
    assert!(feet.max_element() < 1.5, "{feet}");
}

/// A shin behind a plate is lost, not guessed.
#[test]
fn what_is_hidden_is_lost() {
    let room = Room::new(0.0);
    let mut follower = follower(&room);
    let mut picture = room.draw(STANDING, DVec2::ZERO, 1.0);
    assert!(
        follower
            .see(0.0, &view(&picture))
            .pose
            .of(Part::Knee, Side::Right)
            .is_some()
    );
    for (k, v) in picture.iter_mut().enumerate() {
        // The left half of the picture: the lifter's right leg.
        if k % SIZE[0] < SIZE[0] / 2 {
            *v = 128;
        }
    }
    let pose = follower.see(33.3, &view(&picture)).pose;
    assert!(pose.of(Part::Knee, Side::Right).is_none());
    assert!(pose.of(Part::Heel, Side::Right).is_none());
    assert!(pose.of(Part::Knee, Side::Left).is_some());
}

/// A squat's bottom that is shown: from there it is followed both ways, by what was learnt in standing.
#[test]
fn a_later_frame_set_right_leads_both_ways() {
    let room = Room::new(0.0);
    let lean = |i: usize| [[4.0 + 21.0 * depth(i), 4.0 + 8.0 * depth(i)]; 2];
    let bottom = 30;
    let mut follower = follower(&room);
    let learnt = format!("{:?}", follower.fit());
    let joints = truth(&room, lean(bottom)).into_iter();
    // Shown 3 px off.
    let shown = joints.map(|(joint, p)| (joint, [p.x + 2.0, p.y - 2.2]));
    follower.set_right(&Marks::new(bottom as f64 * 33.3, shown, image()).unwrap());
    assert_eq!(format!("{:?}", follower.fit()), learnt);
    let on: Vec<usize> = (bottom..=60).step_by(2).collect();
    let back: Vec<usize> = (0..=bottom).rev().step_by(2).collect();
    for way in [on, back] {
        let mut follower = follower.clone();
        for (n, i) in way.into_iter().enumerate() {
            let picture = room.draw(lean(i), DVec2::ZERO, 1.0);
            let seen = follower.see(n as f64 * 66.6, &view(&picture)).pose;
            for (joint, at) in truth(&room, lean(i)) {
                let off = seen.at(joint).unwrap().distance(at);
                assert!(off < 9.0, "frame {i}, {joint:?}: {off} px");
            }
        }
    }
}
