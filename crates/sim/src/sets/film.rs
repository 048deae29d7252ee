//! A planned set as a recording, with the truth about its repetitions.

use super::act::script;
use super::company::Other;
use super::faulty::with_faults;
use super::plan::{Crop, Phone, Plan, Scores};
use crate::body::Body;
use crate::camera::Camera;
use crate::film::{Filming, see, see_but};
use crate::lifter::Lifter;
use crate::noise::Errors;
use crate::rng::Draw;
use crate::scene::Scene;
use crate::script::{Action, Script};
use glam::{DVec2, DVec3};
use underfoot::keypoints::{
    ImageSize, Joint, Layout, Part, Person, RawFrame, Recording, Setup, Side,
};

/// The truth about one repetition, ms.
#[derive(Clone, Copy, Debug)]
pub struct Lifted {
    /// The motion's first instant.
    pub start_ms: f64,
    /// First and last instant at the bottom.
    pub bottom_ms: [f64; 2],
    /// The motion's last instant.
    pub end_ms: f64,
    /// Knee flexion at the bottom, mean of both sides, degrees.
    pub flexion: f64,
    /// Failed.
    pub fails: bool,
    /// Bounces at the bottom: which of the two bottoms is *the* bottom is a matter of taste.
    pub bounces: bool,
}

/// A filmed set.
#[derive(Clone, Debug)]
pub struct Take {
    /// What the core gets.
    pub recording: Recording,
    /// What is true.
    pub reps: Vec<Lifted>,
    /// What the lifter did, and from when, ms.
    pub acts: Vec<(&'static str, f64)>,
}

/// The plan of a seed's set, without filming it.
pub fn planned(seed: u64) -> Plan {
    Plan::random(&mut Draw::new(seed))
}

/// What a set has beside what its seed draws; all else is as without.
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside {
    /// The lifter may do things wrong.
    pub faults: bool,
    /// Where the phone stands; for feet and shins alone it is close and low.
    pub phone: Phone,
}

/// Films the set of a seed.
pub fn film(seed: u64) -> (Plan, Take) {
    film_with(seed, Beside::default())
}

/// Films the set of a seed with something beside.
pub fn film_with(seed: u64, beside: Beside) -> (Plan, Take) {
    let mut draw = Draw::new(seed);
    let mut plan = Plan::random(&mut draw);
    plan.phone = beside.phone;
    if beside.faults {
        plan = with_faults(plan, seed);
    }
    let take = take(&plan, &mut draw);
    (plan, take)
}

/// Films a plan.
pub fn take(plan: &Plan, draw: &mut Draw) -> Take {
    let mut lifter = Lifter::random(draw);
    lifter.habits.lead = draw.uniform(0.5, 0.9);
    let script = script(plan, &lifter, draw);
    let seconds = script.seconds();
    let scene = Scene::new(lifter, script, draw);
    let camera = camera(plan, &scene.lifter, draw);
    let filming = Filming {
        camera,
        noise: plan.noise,
        timing: plan.timing,
        layout: Layout::named(plan.layout)
            .unwrap_or_else(|| unreachable!("the plan names published layouts")),
        known_height: false,
        crop_above: match plan.crop {
            Crop::Shins => Some(0.40 * scene.lifter.height),
            Crop::NoHead => Some(0.88 * scene.lifter.height),
            _ => None,
        },
    };
    let others = others(plan, seconds, &camera, draw);
    let image = ImageSize {
        width: camera.size[0],
        height: camera.size[1],
    };
    let mut setup = Setup::new(filming.layout.clone(), image);
    setup.estimator = Some(underfoot::measures::PLAIN.name.into());
    setup.camera.mirrored = plan.mirrored;
    let unit = |l: &Lifter, z: f64| camera.scale(DVec3::new(0.0, 0.3, z)) * l.shank;
    let mut errors = Errors::new(plan.noise, unit(&scene.lifter, 0.0), draw);
    let mut their_errors: Vec<Errors> = others
        .iter()
        .map(|o| Errors::new(plan.noise, unit(&o.lifter, 0.0), draw))
        .collect();
    let mut frames = vec![];
    for tick in plan.timing.ticks(seconds, &mut draw.fork(1)) {
        let t_ms = tick.t * 1e3;
        let mut people = vec![];
        if !tick.empty {
            let body = scene.at(tick.t).body;
            let far = if camera.azimuth > 0.0 {
                Side::Right
            } else {
                Side::Left
            };
            let hidden = |joint| hidden(plan.crop, joint, far, body.drop);
            let me = see_but(&body, &filming, &mut errors, tick.t, &hidden, draw);
            let mut covered = false;
            for (other, errors) in others.iter().zip(&mut their_errors) {
                let them = other.body(tick.t);
                let centre = 0.5 * (them.at(Joint::LeftHip) + them.at(Joint::RightHip));
                let Some(px) = camera.project(centre).filter(|&p| camera.contains(p)) else {
                    continue;
                };
                let mine =
                    camera.project(0.5 * (body.at(Joint::LeftHip) + body.at(Joint::RightHip)));
                let nearer = (centre - camera.place()).length() < camera.distance;
                let width = 0.22 * camera.scale(centre);
                covered |= nearer && mine.is_some_and(|m| (m.x - px.x).abs() < width);
                people.push(see(&them, &filming, errors, tick.t, draw));
            }
            if !covered {
                people.push(me);
            }
            if people.len() > 1 && draw.chance(0.5) {
                people.reverse();
            }
        }
        for person in &mut people {
            dress(person, plan, &filming, draw);
        }
        frames.push(RawFrame {
            t_ms,
            people,
            ..RawFrame::default()
        });
    }
    Take {
        recording: Recording { setup, frames },
        reps: truth(plan, &scene),
        acts: acts(&scene.script),
    }
}

fn camera(plan: &Plan, lifter: &Lifter, draw: &mut Draw) -> Camera {
    let camera = Camera::at_height(draw, plan.view, plan.phone.height());
    if plan.crop == Crop::Shins {
        camera.close_up(draw, lifter.height)
    } else {
        camera
    }
}

fn others(plan: &Plan, seconds: f64, camera: &Camera, draw: &mut Draw) -> Vec<Other> {
    let (sin, cos) = camera.azimuth.to_radians().sin_cos();
    // Toward the camera, and square to that.
    let (near, across) = (DVec2::new(sin, cos), DVec2::new(cos, -sin));
    let mut list = vec![];
    if plan.bystander {
        list.push(Other {
            lifter: Lifter::random(draw),
            middle: near * -draw.uniform(0.8, 2.5)
                + across * (draw.sign() * draw.uniform(0.7, 1.2)),
            velocity: DVec2::ZERO,
            at_s: 0.0,
        });
    }
    for part in &plan.crossings {
        list.push(Other {
            lifter: Lifter::random(draw),
            middle: near * draw.uniform(0.5, 0.9),
            velocity: across * (draw.sign() * draw.uniform(0.7, 1.4)),
            at_s: part * seconds,
        });
    }
    list
}

/// Whether a joint is covered, by what is seen, which leg is the far one, and the pelvis' drop.
fn hidden(crop: Crop, joint: Joint, far: Side, drop: f64) -> bool {
    let is = |part: Part| Side::BOTH.iter().any(|&s| Joint::of(part, s) == joint);
    match crop {
        // From some way down on, the plates are before the hips.
        Crop::Plates => drop > 0.2 && is(Part::Hip),
        Crop::OneLeg => {
            joint.side() == Some(far)
                && [
                    Part::Hip,
                    Part::Knee,
                    Part::Ankle,
                    Part::Heel,
                    Part::BigToe,
                    Part::SmallToe,
                ]
                .into_iter()
                .any(is)
        }
        _ => false,
    }
}

/// Mirrors the picture and gives the scores their form.
fn dress(person: &mut Person, plan: &Plan, filming: &Filming, draw: &mut Draw) {
    if plan.mirrored {
        // The estimator sees a mirrored person and calls its left what is the lifter's right.
        let before = person.clone();
        for joint in Joint::ALL {
            let layout = &filming.layout;
            if let (Some(i), Some(j)) = (layout.index_of(joint), layout.index_of(joint.mirrored()))
            {
                person[i] = before[j];
            }
        }
        for point in person.iter_mut() {
            point[0] = filming.camera.size[0] - point[0];
        }
    }
    for point in person.iter_mut() {
        let p = point[2];
        point[2] = match plan.scores {
            Scores::Probability => p,
            Scores::Logit => {
                let p = if p < 0.3 { p * 0.3 } else { p }.clamp(0.001, 0.999);
                (p / (1.0 - p)).ln() + draw.normal(0.0, 0.2)
            }
            Scores::Peak => p * 1.3,
        };
    }
}

fn acts(script: &Script) -> Vec<(&'static str, f64)> {
    let name = |action: &Action| match action {
        Action::Stand(_) => "standing",
        Action::Chatter(_) => "talking",
        Action::Rep { .. } => "a repetition",
        Action::Dip { .. } => "a dip under the bar",
        Action::Step { .. } => "a step",
        Action::Bend { .. } => "a bend to the camera",
    };
    let starts = script.starts().into_iter();
    let named = script.actions.iter().map(name).zip(starts);
    named.map(|(name, s)| (name, s * 1e3)).collect()
}

/// Mean knee flexion of both legs, degrees: 0 is straight.
fn flexion(body: &Body) -> f64 {
    let of = |side: Side| {
        let at = |part| body.at(Joint::of(part, side));
        let (hip, knee, ankle) = (at(Part::Hip), at(Part::Knee), at(Part::Ankle));
        (knee - ankle).angle_between(hip - knee).to_degrees()
    };
    Side::BOTH.map(of).iter().sum::<f64>() / 2.0
}

fn truth(plan: &Plan, scene: &Scene) -> Vec<Lifted> {
    scene
        .reps()
        .iter()
        .zip(&plan.lifts)
        .filter_map(|(&(index, from, to), lift)| {
            let Some(Action::Rep { depth, .. }) = scene.script.actions.get(index) else {
                return None;
            };
            let (a, b) = depth.bottom();
            let body = scene.at(from + b).body;
            Some(Lifted {
                start_ms: from * 1e3,
                bottom_ms: [(from + a) * 1e3, (from + b) * 1e3],
                end_ms: to * 1e3,
                flexion: flexion(&body),
                fails: lift.fails,
                bounces: depth.knots.len() > 4 && !lift.fails,
            })
        })
        .collect()
}
