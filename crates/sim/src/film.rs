//! A scene seen by a camera and a pose estimator: the recording, and what is true about it.

use crate::body::Body;
use crate::camera::Camera;
use crate::noise::{Errors, Noise, Tick, Timing};
use crate::points;
use crate::rng::Draw;
use crate::scene::Scene;
use crate::script::Action;
use crate::truth::{Curves, Points, RepTruth, Rest, Truth};
use glam::{DVec2, DVec3};
use underfoot::keypoints::{
    ImageSize, Joint, Layout, Lifter, Load, Part, Person, RawFrame, Recording, Setup, Side,
};

/// How a scene is filmed.
#[derive(Clone, Debug)]
pub struct Filming {
    /// Where from.
    pub camera: Camera,
    /// The estimator's errors.
    pub noise: Noise,
    /// When frames come.
    pub timing: Timing,
    /// The estimator's list of points.
    pub layout: Layout,
    /// Tell the recording the lifter's height.
    pub known_height: bool,
    /// Only what is below this height above the floor is in the picture, m.
    pub crop_above: Option<f64>,
}

impl Filming {
    /// Table conditions: standard noise, 30 frames a second.
    pub fn standard(camera: Camera, layout: &str) -> Option<Self> {
        Some(Self {
            camera,
            noise: Noise::STANDARD,
            timing: Timing::STANDARD,
            layout: Layout::named(layout)?,
            known_height: true,
            crop_above: None,
        })
    }
}

/// A recording with its truth.
#[derive(Clone, Debug)]
pub struct Film {
    /// What the core gets.
    pub recording: Recording,
    /// What is true.
    pub truth: Truth,
    /// What the errors may depend on, in words; empty for what is not simulated.
    pub traits: Vec<String>,
}

impl Film {
    /// Films a scene.
    pub fn new(scene: &Scene, filming: &Filming, draw: &mut Draw) -> Self {
        let ticks = filming
            .timing
            .ticks(scene.script.seconds(), &mut draw.fork(1));
        Self {
            recording: record(scene, filming, &ticks, draw),
            truth: truth(scene, filming, &ticks),
            traits: Vec::new(),
        }
    }
}

/// What the checks need of a body.
pub fn truth_points(body: &Body) -> Points {
    let at = |part| [0, 1].map(|s| body.at(Joint::of(part, Side::BOTH[s])));
    let hips = at(Part::Hip);
    Points {
        heel: at(Part::Heel),
        ankle: at(Part::Ankle),
        knee: at(Part::Knee),
        tip: body.tip,
        pelvis: 0.5 * (hips[0] + hips[1]),
        com: body.com,
        roll: body.roll.map(|r| r.is_finite().then_some(r)),
    }
}

impl Filming {
    /// What the recording says beside its frames; nothing yet about the lifter.
    pub fn setup(&self) -> Setup {
        let image = ImageSize {
            width: self.camera.size[0],
            height: self.camera.size[1],
        };
        let mut setup = Setup::new(self.layout.clone(), image);
        setup.estimator = Some(underfoot::measures::PLAIN.name.into());
        setup
    }

    /// Errors for a body with a shank of this length at the origin, m.
    pub fn errors(&self, shank: f64, draw: &mut Draw) -> Errors {
        let shank_px = self.camera.scale(DVec3::new(0.0, 0.3, 0.0)) * shank;
        Errors::new(self.noise, shank_px, draw)
    }
}

fn record(scene: &Scene, filming: &Filming, ticks: &[Tick], draw: &mut Draw) -> Recording {
    let mut setup = filming.setup();
    if filming.known_height {
        setup.lifter = Lifter {
            height_m: Some(scene.lifter.height),
        };
    }
    setup.load = Load {
        body_kg: Some(scene.lifter.body_kg),
        bar_kg: (scene.lifter.bar_kg > 0.0).then_some(scene.lifter.bar_kg),
        carry: scene.lifter.carry,
    };
    let mut errors = filming.errors(scene.lifter.shank, draw);
    let frames = ticks
        .iter()
        .map(|tick| {
            let body = scene.at(tick.t).body;
            let person = see(&body, filming, &mut errors, tick.t, draw);
            RawFrame {
                t_ms: tick.t * 1e3,
                people: if tick.empty { vec![] } else { vec![person] },
                ..RawFrame::default()
            }
        })
        .collect();
    Recording { setup, frames }
}

/// One body's points as the estimator gives them.
pub fn see(body: &Body, filming: &Filming, errors: &mut Errors, t: f64, draw: &mut Draw) -> Person {
    see_but(body, filming, errors, t, &|_| false, draw)
}

/// The same, with some of the body's joints `hidden` behind something: they are the body's, and
/// stay hidden when the estimator swaps left and right.
pub fn see_but(
    body: &Body,
    filming: &Filming,
    errors: &mut Errors,
    t: f64,
    hidden: &dyn Fn(Joint) -> bool,
    draw: &mut Draw,
) -> Person {
    let camera = &filming.camera;
    // The side away from the camera: only from well off the front or rear.
    let across = camera.azimuth.to_radians().sin();
    let far = |j: Joint| {
        j.side()
            .is_some_and(|s| across.abs() > 0.7 && s.sign() * across < 0.0)
    };
    let (shifts, swapped) = errors.next(t, far, draw);
    let one_toe = filming.layout.one_toe_point();
    let mut seen = [[f64::NAN, f64::NAN, 0.0]; Joint::COUNT];
    for joint in Joint::ALL {
        let (i, toe) = (joint.index(), [Joint::LeftBigToe, Joint::RightBigToe]);
        let at = match toe.iter().position(|&j| j == joint) {
            Some(s) if one_toe => body.tip[s],
            _ => body.joints[i],
        };
        let Some(px) = camera.project(at).map(|p| p + shifts[i].0) else {
            continue;
        };
        let out = !camera.contains(px) || filming.crop_above.is_some_and(|top| at.y > top);
        let [low, high] = filming.noise.score;
        let score = if out || shifts[i].1 || hidden(joint) {
            draw.uniform(0.02, 0.28)
        } else if far(joint) && filming.noise.far > 1.0 {
            draw.uniform(0.35, 0.7)
        } else {
            draw.uniform(low, high)
        };
        let slot = if swapped { joint.mirrored() } else { joint };
        // A point out of the picture is guessed somewhere at its border.
        let px = if out {
            px.clamp(DVec2::ZERO, DVec2::from_array(camera.size))
        } else {
            px
        };
        seen[slot.index()] = [px.x, px.y, score];
    }
    points::spread(&seen, &filming.layout)
}

/// Time between the moments that extremes are read from, s.
const FINE: f64 = 1.0 / 60.0;

fn truth(scene: &Scene, filming: &Filming, ticks: &[Tick]) -> Truth {
    let (reps, standing, steps) = (scene.reps(), scene.standing(), scene.steps());
    let points = |t: f64| truth_points(&scene.at(t).body);
    let sample = |from: f64, to: f64| -> Vec<(f64, Points)> {
        let n = ((to - from) / FINE).ceil().max(1.0) as usize;
        (0..=n)
            .map(|i| from + (to - from) * i as f64 / n as f64)
            .map(|t| (t * 1e3, points(t)))
            .collect()
    };
    // A setting of the feet lasts from one step to the next; its rest is the standing in it that
    // comes before its first repetition, or failing that any standing in it.
    let mut edges: Vec<f64> = vec![0.0];
    edges.extend(steps.iter().map(|s| s.2));
    edges.push(f64::INFINITY);
    let settings: Vec<(f64, f64, Rest)> = edges
        .windows(2)
        .filter_map(|edge| {
            let (from, to) = (edge[0], edge[1]);
            let within = |s: &&(usize, f64, f64)| s.1 >= from - 1e-9 && s.2 <= to + 1e-9;
            let first = reps
                .iter()
                .find(within)
                .map_or(f64::INFINITY, |r| r.1 + 1e-9);
            let mut list: Vec<_> = standing.iter().filter(within).collect();
            if list.iter().any(|s| s.2 <= first) {
                list.retain(|s| s.2 <= first);
            }
            let moments: Vec<Points> = list
                .iter()
                .flat_map(|s| sample(s.1, s.2))
                .map(|(_, p)| p)
                .collect();
            Rest::new(&moments).map(|rest| (from, to, rest))
        })
        .collect();
    let at = |t: f64| {
        settings
            .iter()
            .rev()
            .find(|s| s.0 <= t + 1e-9)
            .or(settings.first())
    };
    let mut curves = Curves {
        t_ms: ticks.iter().map(|k| k.t * 1e3).collect(),
        ..Curves::default()
    };
    for tick in ticks {
        let p = points(tick.t);
        let rest = at(tick.t).map(|s| &s.2);
        let values = rest.map(|r| r.read(&p)).unwrap_or_default();
        for (list, v) in curves.channels.iter_mut().zip(values) {
            list.push(v);
        }
        curves
            .depth
            .push(rest.map_or(0.0, |r| (r.pelvis - p.pelvis.y) / r.pelvis));
    }
    let rep_truths = reps.iter().filter_map(|&(i, from, to)| {
        let Some(Action::Rep { depth, .. }) = scene.script.actions.get(i) else {
            return None;
        };
        let (a, b) = depth.bottom();
        let bottom = [a, b].map(|s| (from + s) * 1e3);
        Some(RepTruth::new(&at(from)?.2, &sample(from, to), bottom))
    });
    let first = reps.first().and_then(|r| at(r.1)).or(settings.first());
    let camera = &filming.camera;
    let feet = &scene.lifter.feet;
    Truth {
        source: "simulated (invented)".into(),
        azimuth_deg: camera.azimuth,
        distance_m: camera.distance,
        height_m: Some(scene.lifter.height),
        hfov_deg: camera.hfov(),
        pitch_roll_deg: [camera.pitch, camera.roll],
        stance_width_mm: 1e3 * first.map_or(scene.lifter.stance, |s| s.2.stance),
        toe_out_deg: first.map_or([feet[0].toe_out, feet[1].toe_out], |s| s.2.toe_out),
        standing_ms: standing.iter().map(|s| [s.1 * 1e3, s.2 * 1e3]).collect(),
        reps: rep_truths.collect(),
        curves,
    }
}
