//! Films of what is no squat.

use super::kinds::{Kind, Play};
use crate::camera::{Camera, View};
use crate::film::{Film, Filming, see};
use crate::lifter::Lifter;
use crate::noise::Noise;
use crate::points;
use crate::rng::Draw;
use crate::set::SetSpec;
use glam::DVec2;
use std::f64::consts::TAU;
use underfoot::keypoints::{ImageSize, Joint, RawFrame, Recording};

/// Points of a picture by joint, px and score.
type Seen = [[f64; 3]; Joint::COUNT];

/// A random recording of this kind from this side.
pub fn film(kind: Kind, view: View, draw: &mut Draw) -> Recording {
    let play = Play::random(kind, draw);
    let camera = Camera::random(draw, view);
    let layout = draw.pick(&["blazepose-33", "halpe-26", "coco-wholebody-133"]);
    let Some(mut filming) = Filming::standard(camera, layout) else {
        unreachable!("known layouts")
    };
    filming.noise = Noise::STANDARD.scaled(draw.uniform(0.7, 1.6));
    let mut errors = filming.errors(play.figure.shank(), draw);
    let mut setup = filming.setup();
    if draw.chance(0.5) && kind != Kind::Cloud {
        setup.lifter.height_m = Some(play.figure.height);
    }
    let fps = draw.pick(&[15.0, 24.0, 30.0]);
    let count = (play.seconds() * fps) as usize;
    let clean = kind.squats().then(|| {
        let scene = SetSpec::default().scene(Lifter::random(draw), draw);
        setup.lifter.height_m = setup.lifter.height_m.map(|_| scene.lifter.height);
        Film::new(&scene, &filming, draw).recording.frames
    });
    let mut frames: Vec<RawFrame> = (0..count)
        .map(|i| {
            let t = i as f64 / fps;
            RawFrame {
                t_ms: t * 1e3,
                people: vec![see(&play.at(t), &filming, &mut errors, t, draw)],
                ..RawFrame::default()
            }
        })
        .collect();
    if let Some(clean) = clean {
        frames = clean;
    }
    let [w, h] = camera.size;
    let mut each = |change: &mut dyn FnMut(usize, &mut [f64; 3])| {
        for frame in &mut frames {
            for person in &mut frame.people {
                person
                    .iter_mut()
                    .enumerate()
                    .for_each(|(k, p)| change(k, p));
            }
        }
    };
    let image = |width, height| ImageSize { width, height };
    match kind {
        Kind::UpsideDown => each(&mut |_, p| (p[0], p[1]) = (w - p[0], h - p[1])),
        Kind::Turned => {
            if draw.chance(0.5) {
                each(&mut |_, p| (p[0], p[1]) = (p[1], w - p[0]));
            } else {
                each(&mut |_, p| (p[0], p[1]) = (h - p[1], p[0]));
            }
            setup.image = image(h, w);
        }
        Kind::Squeezed => {
            let part = draw.uniform(0.45, 0.65);
            if draw.chance(0.5) {
                each(&mut |_, p| p[0] *= part);
                setup.image = image((w * part).round(), h);
            } else {
                each(&mut |_, p| p[1] *= part);
                setup.image = image(w, (h * part).round());
            }
        }
        Kind::Shuffled => {
            let n = frames[0].people[0].len();
            let mut order: Vec<usize> = (0..n).collect();
            for i in (1..n).rev() {
                order.swap(i, draw.below(i + 1));
            }
            for frame in &mut frames {
                let person = frame.people[0].clone();
                frame.people[0] = order.iter().map(|&i| person[i]).collect();
            }
        }
        Kind::RandomWalk | Kind::Cloud => {
            let places = garbage(kind, draw, camera.size, count, fps);
            for (frame, seen) in frames.iter_mut().zip(&places) {
                frame.people = vec![points::spread(seen, &filming.layout)];
            }
        }
        _ => {}
    }
    Recording { setup, frames }
}

/// Points that are nobody's: each wanders, or a cloud of them breathes.
fn garbage(kind: Kind, draw: &mut Draw, [w, h]: [f64; 2], count: usize, fps: f64) -> Vec<Seen> {
    let middle = DVec2::new(w, h) / 2.0;
    let spread = draw.uniform(0.08, 0.25) * h;
    let start: Vec<DVec2> = Joint::ALL
        .iter()
        .map(|_| middle + DVec2::new(draw.normal(0.0, 0.6 * spread), draw.normal(0.0, spread)))
        .collect();
    let (period, size) = (draw.uniform(2.0, 4.0), draw.uniform(0.15, 0.5));
    let pace = draw.uniform(2.0, 40.0) / fps.sqrt();
    let mut places = start.clone();
    (0..count)
        .map(|i| {
            let t = i as f64 / fps;
            let breath = if t < 2.0 {
                0.0
            } else {
                (TAU * (t - 2.0) / period).sin()
            };
            let mut seen = [[f64::NAN, f64::NAN, 0.0]; Joint::COUNT];
            for ((place, start), out) in places.iter_mut().zip(&start).zip(&mut seen) {
                if kind == Kind::Cloud {
                    *place = middle + (*start - middle) * (1.0 + size * breath);
                } else if t > 1.5 {
                    *place += DVec2::new(draw.normal(0.0, pace), draw.normal(0.0, pace));
                }
                let at = *place + DVec2::new(draw.normal(0.0, 1.2), draw.normal(0.0, 1.2));
                *out = [at.x, at.y, 0.9];
            }
            seen
        })
        .collect()
}
