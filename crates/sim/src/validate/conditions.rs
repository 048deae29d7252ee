//! Under what the core is measured.

use crate::camera::{Camera, View};
use crate::fault::{Fault, Kind};
use crate::film::{Film, Filming};
use crate::lifter::Lifter;
use crate::noise::Noise;
use crate::rng::Draw;
use crate::set::SetSpec;
use crate::{clips, prmd};

/// Where recordings come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Simulated sets with faults in half of the draws.
    Simulated,
    /// One repetition of the real squats at a time, its first pose held for 2 s.
    RealOne,
    /// The real sets as they are in the data, the first pose held for 2 s.
    RealSet,
    /// The rendered clips.
    Clips,
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// Where recordings come from.
    pub source: Source,
    /// Where the camera stands.
    pub view: View,
    /// The estimator's points.
    pub layout: &'static str,
    /// Whether the lifter's height is known.
    pub known: bool,
    /// Hips and all above out of the picture.
    pub feet_only: bool,
    /// ... because the camera is close and low.
    pub close: bool,
    /// Factor on the standard noise.
    pub noise: f64,
    /// No faults: the habits of correct squats only.
    pub clean: bool,
}

const TABLE: Condition = Condition {
    source: Source::Simulated,
    view: View::Front,
    layout: "halpe-26",
    known: true,
    feet_only: false,
    close: false,
    noise: 1.0,
    clean: false,
};

/// All of them, in the page's order.
pub fn all() -> Vec<Condition> {
    let mut list = Vec::new();
    for known in [true, false] {
        for view in View::NAMED {
            list.push(Condition {
                view,
                known,
                ..TABLE
            });
        }
    }
    for layout in ["blazepose-33", "coco-17"] {
        for view in [View::Front, View::Oblique, View::Side] {
            list.push(Condition {
                view,
                layout,
                ..TABLE
            });
        }
    }
    for close in [false, true] {
        for view in [View::Front, View::Oblique, View::Side] {
            list.push(Condition {
                view,
                feet_only: true,
                close,
                ..TABLE
            });
        }
    }
    for view in [View::Front, View::Oblique, View::Side] {
        list.push(Condition {
            view,
            noise: 2.0,
            ..TABLE
        });
    }
    for layout in ["halpe-26", "blazepose-33"] {
        list.push(Condition {
            view: View::Any,
            layout,
            clean: true,
            ..TABLE
        });
    }
    for known in [true, false] {
        for view in [View::Front, View::Oblique, View::Side] {
            list.push(Condition {
                source: Source::RealOne,
                view,
                known,
                layout: "blazepose-33",
                ..TABLE
            });
        }
    }
    for view in [View::Front, View::Oblique, View::Side] {
        list.push(Condition {
            source: Source::RealOne,
            view,
            layout: "blazepose-33",
            feet_only: true,
            close: true,
            ..TABLE
        });
    }
    for view in [View::Front, View::Oblique, View::Side] {
        list.push(Condition {
            source: Source::RealSet,
            view,
            layout: "blazepose-33",
            ..TABLE
        });
    }
    for known in [true, false] {
        list.push(Condition {
            source: Source::Clips,
            view: View::Any,
            layout: "blazepose-33",
            known,
            ..TABLE
        });
    }
    list
}

impl Condition {
    /// A name that says it all.
    pub fn name(&self) -> String {
        let source = match self.source {
            Source::Simulated => "sim",
            Source::RealOne => "real-rep",
            Source::RealSet => "real-set",
            Source::Clips => "clips",
        };
        let mut name = format!("{source} {} {}", self.view.name(), self.layout);
        name.push_str(if self.known { " known" } else { " unknown" });
        if self.feet_only {
            name.push_str(if self.close {
                " close-up"
            } else {
                " feet-only"
            });
        }
        if self.clean {
            name.push_str(" clean");
        }
        if self.noise != 1.0 {
            name.push_str(&format!(" noise-x{}", self.noise));
        }
        name
    }

    /// How many recordings there are.
    pub fn count(&self, sets: usize) -> usize {
        match self.source {
            Source::Simulated if self.clean => 3 * sets,
            Source::Simulated => sets,
            // Every repetition of every person is at most about 100.
            Source::RealOne => (2 * sets).min(100),
            Source::RealSet => 10,
            Source::Clips => clips::NAMES.len(),
        }
    }

    /// Recording `i`.
    ///
    /// # Errors
    /// A data file that cannot be read.
    pub fn film(&self, seed: u64, i: usize) -> Result<Film, String> {
        if self.source == Source::Clips {
            return clips::load(clips::NAMES[i], self.known);
        }
        // Known and unknown height see the same lifters and cameras.
        let mut draw = Draw::new(seed).fork(1000 * self.view as u64 + i as u64);
        let camera = Camera::random(&mut draw, self.view);
        let mut filming = Filming::standard(camera, self.layout)
            .ok_or_else(|| format!("no layout `{}`", self.layout))?;
        filming.noise = Noise::STANDARD.scaled(self.noise);
        filming.known_height = self.known;
        let frame = |filming: &mut Filming, stature: f64, draw: &mut Draw| {
            filming.crop_above = self.feet_only.then_some(0.40 * stature);
            if self.close {
                filming.camera = camera.close_up(draw, stature);
            }
        };
        match self.source {
            Source::Simulated | Source::Clips => {
                let lifter = Lifter::random(&mut draw);
                frame(&mut filming, lifter.height, &mut draw);
                let faults = if self.clean {
                    vec![]
                } else {
                    faults(&mut draw)
                };
                let spec = SetSpec::with(faults).random_tempo(&mut draw);
                let scene = spec.scene(lifter, &mut draw);
                let mut film = Film::new(&scene, &filming, &mut draw);
                film.traits = traits(&scene.lifter, &filming.camera);
                Ok(film)
            }
            Source::RealOne => {
                let sets = prmd::all()?;
                let set = &sets[i % sets.len()];
                let rep = set.one(i / sets.len() % set.reps.len());
                frame(&mut filming, set.height(), &mut draw);
                Ok(rep.film(&filming, 2.0, &mut draw))
            }
            Source::RealSet => Ok(prmd::all()?[i].film(&filming, 2.0, &mut draw)),
        }
    }
}

/// A random mixture: each kind in half of the sets, so that values spread over the whole range.
fn faults(draw: &mut Draw) -> Vec<Fault> {
    let mut list = Vec::new();
    let two = |a: f64, b: f64, draw: &mut Draw| {
        let both = draw.chance(0.5);
        let first = draw.uniform(a, b);
        let second = draw.uniform(a, b);
        [first, if both { first } else { second }]
    };
    let kinds = [
        Kind::KneeIn(two(-9.0, 14.0, draw)),
        Kind::HeelLift(two(0.0, 40.0, draw)),
        Kind::Roll(two(-12.0, 12.0, draw)),
        Kind::Shift(draw.uniform(-40.0, 40.0)),
        Kind::Forward(draw.uniform(-3.0, 20.0)),
    ];
    for kind in kinds {
        if draw.chance(0.5) {
            let first = draw.uniform(0.5, 1.0);
            list.push(Fault::steady(kind).growing(first));
        }
    }
    list
}

/// What the errors may depend on.
fn traits(lifter: &Lifter, camera: &Camera) -> Vec<String> {
    let foot = &lifter.feet[0];
    let half = |name: &str, high: bool| format!("{name} {}", if high { "high" } else { "low" });
    vec![
        format!("pivot {:?}", foot.pivot),
        format!("roll about {:?}", foot.axis),
        format!("carry {:?}", lifter.carry),
        half("toe-out", foot.toe_out > 17.0),
        half("stance", lifter.stance > 0.41),
        half("ankle along", foot.ankle.x > 0.21 * foot.length),
        half("distance", camera.distance > 3.0),
        half("camera height", camera.height > 0.75),
    ]
}
