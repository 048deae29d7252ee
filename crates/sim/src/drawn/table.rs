//! Lifts and rolls of drawn feet from all round: errors of what the picture carried.

use super::run::{Taken, Way, take};
use super::studio::{Room, Studio};
use super::surface::{Floor, Wear};
use crate::camera::{Camera, View};
use crate::degraded::Errors;
use crate::fault::{Fault, Kind};
use crate::film::{Film, Filming};
use crate::lifter::Lifter;
use crate::noise::Timing;
use crate::rng::Draw;
use crate::set::SetSpec;
use glam::DVec3;
use underfoot::keypoints::{Footwear, Side};
use underfoot::measures::{Channel, Check};
use underfoot::report::{Mark, Verdict};

/// Head of the table that [`Figures::line`] prints a line of.
pub const HEAD: &str = "\
| from | on the feet | heel, mean abs. error, mm | worst | unseen | within 2 errors | 12 mm told from none | false heel faults | roll, mean abs. error, degrees | worst | unseen | within 2 errors |
|---|---|---|---|---|---|---|---|---|---|---|---|";

/// The views that are measured.
pub const VIEWS: [View; 5] = [
    View::Side,
    View::Wide,
    View::RearOblique,
    View::Rear,
    View::Front,
];

/// A heel that is up by less than this in truth is down, mm: 2 mm below the core's line.
const DOWN: f64 = 8.0;
/// A drawn set runs at this many frames a second.
const FPS: f64 = 10.0;
/// Lifts, mm, and rolls, degrees, of the nearer foot in the repetitions; the other one is clean.
pub const SET: [(f64, f64); 5] = [
    (0.0, 0.0),
    (12.0, 0.0),
    (30.0, 0.0),
    (0.0, -8.0),
    (0.0, 8.0),
];

/// One set to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct Set {
    /// Seen from.
    pub view: View,
    /// What is worn.
    pub wear: Wear,
    /// What the lifter stands on.
    pub floor: Floor,
    /// Of lifter, camera and noise.
    pub seed: u64,
}

/// What a row of the table holds.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    /// Lifts that the picture carried, mm.
    pub heel: Errors,
    /// Rolls that the picture carried, degrees.
    pub roll: Errors,
    /// Heels called a fault that stayed down.
    pub false_heels: usize,
    /// Lifts of 12 mm that were told from none, and all that were seen.
    pub told: [usize; 2],
}

/// Draws a set and takes it through the core; adds to the figures. `say` gets every value.
///
/// # Errors
/// A set that the core refuses.
pub fn run(
    set: &Set,
    way: &Way,
    figures: &mut Figures,
    say: &mut dyn FnMut(String),
) -> Result<(), String> {
    let mut draw = Draw::new(set.seed);
    let lifter = Lifter::random(&mut draw);
    let camera = Camera::random(&mut draw, set.view);
    let near = nearer(&camera);
    let of_near = |v: f64| Side::BOTH.map(|s| if s == near { v } else { 0.0 });
    let faults = SET
        .iter()
        .enumerate()
        .flat_map(|(i, &(mm, degrees))| {
            [Kind::HeelLift(of_near(mm)), Kind::Roll(of_near(degrees))]
                .map(|kind| Fault::steady(kind).only(&[i]))
        })
        .collect();
    let spec = SetSpec {
        reps: SET.len(),
        before_s: 1.6,
        between_s: 0.7,
        tempo: [1.1, 0.25, 1.0],
        faults,
    };
    let scene = spec.scene(lifter, &mut draw);
    let mut filming = Filming::standard(camera, "blazepose-33").ok_or("no such layout")?;
    filming.timing = Timing {
        fps: FPS,
        ..Timing::STANDARD
    };
    let film = Film::new(&scene, &filming, &mut draw.fork(2));
    let room = Room {
        floor: set.floor,
        wear: set.wear,
        light: DVec3::new(draw.uniform(-0.5, 0.5), 1.0, draw.uniform(-0.5, 0.5)).normalize(),
        helper: None,
    };
    let studio = Studio {
        scene: &scene,
        camera,
        room,
        // Rendered clips: 6 to 12 px at a foot of 80, of which the standing fit takes a part.
        habit: [0.04, 0.08][set.seed as usize % 2]
            * camera.scale(DVec3::ZERO)
            * scene.lifter.feet[0].length,
    };
    let worn = match set.wear {
        Wear::Bare => Footwear::Barefoot,
        _ => Footwear::Flat,
    };
    let taken = take(&studio, &film, way, Some(worn), &mut draw.fork(3))?;
    figures.add(set, near, &film, &taken, say);
    Ok(())
}

/// The foot that is nearer to the camera.
fn nearer(camera: &Camera) -> Side {
    if camera.place().x < 0.0 {
        Side::Right
    } else {
        Side::Left
    }
}

impl Figures {
    fn add(
        &mut self,
        set: &Set,
        near: Side,
        film: &Film,
        taken: &Taken,
        say: &mut dyn FnMut(String),
    ) {
        let mut lifts = [None; 2];
        for (i, rep) in film.truth.reps.iter().enumerate() {
            let said = taken
                .report
                .reps
                .iter()
                .find(|r| (rep.start_ms..=rep.end_ms).contains(&r.bottom_ms));
            for side in Side::BOTH {
                // The far foot is hidden behind the nearer one.
                if set.view == View::Side && side != near {
                    continue;
                }
                for check in [Check::HeelLift, Check::FootRoll] {
                    let channel = Channel::of(check, side);
                    let Some(truth) = rep.extremes[channel.index()] else {
                        continue;
                    };
                    let mark = said.map(|r| r.checks.get(channel));
                    let seen = self.value(check, truth.value, mark);
                    let read = seen.map_or("unseen".into(), |(v, sd)| format!("{v:.1} ± {sd:.1}"));
                    say(format!(
                        "{} {:?} {:?} seed {} rep {} {channel:?}: {:.1} read {read}",
                        set.view.name(),
                        set.wear,
                        set.floor,
                        set.seed,
                        i + 1,
                        truth.value,
                    ));
                    if check == Check::HeelLift && side == near && i < 2 {
                        lifts[i] = seen;
                    }
                }
            }
        }
        if let [Some(none), Some(lifted)] = lifts {
            self.told[0] += usize::from(lifted.0 - none.0 > 6.0);
            self.told[1] += 1;
        }
    }

    fn value(&mut self, check: Check, truth: f64, mark: Option<&Mark>) -> Option<(f64, f64)> {
        let heel = check == Check::HeelLift;
        let fault = mark.is_some_and(|m| m.verdict == Verdict::Fault);
        self.false_heels += usize::from(heel && fault && truth < DOWN);
        let carried = mark.filter(|m| m.evidence.is_some_and(|e| e != "keypoints"));
        let seen = carried.and_then(|m| m.value.zip(m.sd));
        let errors = if heel { &mut self.heel } else { &mut self.roll };
        match seen {
            Some((value, sd)) => errors.seen.push((value - truth, sd)),
            None => errors.unseen += 1,
        }
        seen
    }

    /// A line of the table.
    pub fn line(&self, view: View, wear: &str) -> String {
        let part = |e: &Errors| {
            if e.seen.is_empty() {
                return format!("- | - | {} of {} | -", e.unseen, e.unseen);
            }
            format!(
                "{:.1} | {:.1} | {} of {} | {:.0} %",
                e.mean(),
                e.worst(),
                e.unseen,
                e.unseen + e.seen.len(),
                100.0 * e.within(),
            )
        };
        format!(
            "| {} | {wear} | {} | {} of {} | {} | {} |",
            view.name(),
            part(&self.heel),
            self.told[0],
            self.told[1],
            self.false_heels,
            part(&self.roll),
        )
    }
}
