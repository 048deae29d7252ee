//! Squats filmed by a phone that does not stand still.

use crate::fault::{Fault, Kind};
use crate::film::Filming;
use crate::rng::Draw;
use crate::{Camera, Film, Lifter, SetSpec, View};
use glam::DVec2;
use underfoot::keypoints::Recording;
use underfoot::report::FindingKind;

/// What the phone does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moved {
    /// Slides steadily.
    Drifts,
    /// Is knocked once, between a third and two thirds of the way.
    Knocked,
    /// Shakes in the hand.
    Shakes,
}

impl Moved {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Drifts, Self::Knocked, Self::Shakes];

    /// In tables.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Drifts => "drifting by 5 to 150 px",
            Self::Knocked => "knocked by 20 to 100 px",
            Self::Shakes => "shaking by 1 to 4 px",
        }
    }
}

/// A set with a clear fault that the view shows, or a clean one, and what may be found in it.
pub struct Set {
    /// In words.
    pub name: String,
    /// The film.
    pub recording: Recording,
    /// The same from a phone that stood still.
    pub still: Recording,
    /// Findings that are right.
    pub right: Vec<FindingKind>,
}

/// Random sets from the views that show their fault.
pub fn sets(moved: Moved, faulty: bool, count: usize, seed: u64) -> impl Iterator<Item = Set> {
    (0..count as u64).map(move |i| {
        let mut draw = Draw::new(seed + 7 * i + 1000 * moved as u64);
        let views = [View::Front, View::Oblique, View::Side, View::Rear];
        let mut view = draw.pick(&views);
        let (mut faults, mut right) = (vec![], vec![]);
        if faulty && view == View::Side {
            faults.push(Fault::steady(Kind::HeelLift([draw.uniform(40.0, 55.0); 2])));
            right.extend([FindingKind::Forward, FindingKind::ForwardInward]);
        } else if faulty {
            view = View::Front;
            faults.push(Fault::steady(Kind::KneeIn([draw.uniform(19.0, 24.0); 2])));
            right.extend([FindingKind::Inward, FindingKind::ForwardInward]);
        }
        let camera = Camera::random(&mut draw, view);
        let spec = SetSpec {
            reps: 4,
            ..SetSpec::with(faults).random_tempo(&mut draw)
        };
        let scene = spec.scene(Lifter::random(&mut draw), &mut draw);
        let filming = Filming::standard(camera, "halpe-26");
        let filming = filming.unwrap_or_else(|| unreachable!("a known layout"));
        let still = Film::new(&scene, &filming, &mut draw).recording;
        let mut recording = still.clone();
        shift(&mut recording, moved, &mut draw);
        Set {
            name: format!("{} {} {i}", moved.name(), view.name()),
            recording,
            still,
            right,
        }
    })
}

fn shift(recording: &mut Recording, moved: Moved, draw: &mut Draw) {
    let lasts = recording.frames.last().map_or(1.0, |f| f.t_ms);
    let way = DVec2::from_angle(draw.uniform(0.0, std::f64::consts::TAU));
    let size = match moved {
        Moved::Drifts => draw.uniform(5f64.ln(), 150f64.ln()).exp(),
        Moved::Knocked => draw.uniform(20.0, 100.0),
        Moved::Shakes => draw.uniform(1.0, 4.0),
    };
    let at = draw.uniform(0.33, 0.67) * lasts;
    let mut shake = DVec2::ZERO;
    for frame in &mut recording.frames {
        let by = match moved {
            Moved::Drifts => way * size * frame.t_ms / lasts,
            Moved::Knocked => way * size * f64::from(u8::from(frame.t_ms > at)),
            Moved::Shakes => {
                shake =
                    shake * 0.8 + DVec2::new(draw.normal(0.0, 0.6), draw.normal(0.0, 0.6)) * size;
                shake
            }
        };
        for point in frame.people.iter_mut().flatten() {
            point[0] += by.x;
            point[1] += by.y;
        }
    }
}
