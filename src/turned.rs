//! Which way up the film is: phones write films upside down or turned by a quarter.

use crate::keypoints::{Joint, Part, Person, Setup, Side};
use crate::pose::{Pose, mean};
use glam::DVec2;

/// The first so many ms in which somebody is seen decide.
const DECIDES_MS: f64 = 1200.0;
/// ... when so many frames agree, by this share of all.
const FRAMES: usize = 8;
const AGREE: f64 = 0.8;
/// Somebody stands whose body is this straight: cosine between legs and trunk.
const STRAIGHT: f64 = 0.94;
/// ... and lies within 25 degrees of the film's edges: cosine.
const ALONG: f64 = 0.906;

/// By how many quarters the film has to be turned clockwise to stand upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Turn {
    #[default]
    None,
    Once,
    Half,
    Thrice,
}

impl Turn {
    /// The turn that brings this direction, x right and y down, to the top of the picture.
    fn to_top(up: DVec2) -> Option<Self> {
        let up = up.normalize_or_zero();
        [
            (DVec2::NEG_Y, Self::None),
            (DVec2::NEG_X, Self::Once),
            (DVec2::Y, Self::Half),
            (DVec2::X, Self::Thrice),
        ]
        .into_iter()
        .find(|(way, _)| way.dot(up) > ALONG)
        .map(|(_, turn)| turn)
    }

    /// The set-up of the turned film.
    pub fn of_setup(self, setup: &Setup) -> Setup {
        let mut out = setup.clone();
        let (w, h) = (setup.image.width, setup.image.height);
        if matches!(self, Self::Once | Self::Thrice) {
            (out.image.width, out.image.height) = (h, w);
            // The field of view is that of the picture's width.
            out.camera.hfov_deg = setup.camera.hfov_deg.map(|deg| {
                let half = crate::angle::tan(deg.to_radians() / 2.0);
                2.0 * libm::atan(half * h / w).to_degrees()
            });
        }
        if self != Self::None {
            out.camera.roll_deg = setup.camera.roll_deg.filter(|roll| roll.abs() < 45.0);
        }
        out
    }

    /// People of the film as given (of this set-up), as the turned film shows them.
    pub fn of_people(self, setup: &Setup, people: &[Person]) -> Vec<Person> {
        let (w, h) = (setup.image.width, setup.image.height);
        let turn = |&[x, y, score]: &[f64; 3]| match self {
            Self::None => [x, y, score],
            Self::Once => [h - y, x, score],
            Self::Half => [w - x, h - y, score],
            Self::Thrice => [y, w - x, score],
        };
        let mut out = Vec::with_capacity(people.len());
        for person in people {
            let mut turned = Vec::with_capacity(person.len());
            turned.extend(person.iter().map(turn));
            out.push(turned);
        }
        out
    }
}

/// Frames as they were given: when, ms, and who was in them.
pub(crate) type Kept = Vec<(f64, Vec<Person>)>;

/// Watches the beginning of a film, and keeps it until it is known which way up it is.
#[derive(Clone, Debug, Default)]
pub(crate) struct Upright {
    kept: Kept,
    votes: [usize; 4],
    from_ms: Option<f64>,
    decided: bool,
}

impl Upright {
    /// Takes a frame of the film as given, and the lifter in it. Once it is plain that the film has to be
    /// turned gives by how much, with the frames so far.
    pub fn take(&mut self, t_ms: f64, people: &[Person], pose: &Pose) -> Option<(Turn, Kept)> {
        if self.decided {
            return None;
        }
        let seen = pose.joints.iter().any(Option::is_some);
        let from_ms = self.from_ms.or(seen.then_some(t_ms))?;
        self.from_ms = Some(from_ms);
        self.kept.push((t_ms, people.to_vec()));
        if let Some(turn) = up(pose).and_then(Turn::to_top) {
            self.votes[turn as usize] += 1;
        }
        // Most films stand upright: what is kept of them need not be kept any longer.
        let upright = self.agreed(Turn::None);
        if t_ms - from_ms < DECIDES_MS && !upright {
            return None;
        }
        self.decided = true;
        let kept = std::mem::take(&mut self.kept);
        let turns = [Turn::Once, Turn::Half, Turn::Thrice];
        let turn = turns.into_iter().find(|turn| self.agreed(*turn));
        turn.map(|turn| (turn, kept))
    }

    /// Whether enough frames agree on this turn.
    fn agreed(&self, turn: Turn) -> bool {
        let votes = self.votes[turn as usize];
        let all: usize = self.votes.iter().sum();
        votes >= FRAMES && votes as f64 > AGREE * all as f64
    }
}

/// Which way the head of somebody who stands is: from the ankles over the hips to the shoulders.
fn up(pose: &Pose) -> Option<DVec2> {
    let middle = |part| mean(Side::BOTH.map(|s| pose.of(part, s)));
    let hips = middle(Part::Hip)?;
    let legs = hips - middle(Part::Ankle)?;
    let trunk = middle(Part::Shoulder)? - hips;
    // The knees lie between: nobody sits.
    let thighs = hips - middle(Part::Knee)?;
    let straight = |a: DVec2, b: DVec2| a.normalize_or_zero().dot(b.normalize_or_zero());
    let stands = straight(legs, trunk) > STRAIGHT && straight(legs, thighs) > STRAIGHT;
    // The head is where the shoulders are.
    let head = pose
        .at(Joint::Nose)
        .is_none_or(|nose| (nose - hips).dot(trunk) > 0.0);
    (stands && head).then(|| legs + trunk)
}
