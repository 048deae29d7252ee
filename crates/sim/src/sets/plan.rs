//! What a set consists of, drawn at random.

use crate::camera::View;
use crate::fault::Fault;
use crate::noise::{Noise, Timing};
use crate::profile::{Depth, Ease};
use crate::rng::Draw;

/// What of the lifter is in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Crop {
    /// Everything.
    Whole,
    /// All but the head.
    NoHead,
    /// Feet and shins only.
    Shins,
    /// Plates cover the hips (side view).
    Plates,
    /// The far leg is not seen (side view).
    OneLeg,
}

/// Where the phone stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Phone {
    /// Between knee and hip.
    #[default]
    Stand,
    /// On the floor, against a plate.
    Floor,
    /// At the height of the head and above.
    Shelf,
}

impl Phone {
    /// The lens above the floor, least and most, m.
    pub const fn height(self) -> [f64; 2] {
        match self {
            Self::Stand => [0.4, 1.1],
            Self::Floor => [0.05, 0.2],
            Self::Shelf => [1.4, 2.2],
        }
    }
}

/// What the estimator's scores are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scores {
    /// 0 to 1.
    Probability,
    /// Arguments of a sigmoid.
    Logit,
    /// Peaks of a classifier, up to about 1.3.
    Peak,
}

/// One repetition, or an attempt.
#[derive(Clone, Debug)]
pub struct Lift {
    /// Depth over time, fraction of the lifter's full drop.
    pub depth: Depth,
    /// Standing afterwards, s.
    pub rest_s: f64,
    /// The feet are set anew afterwards.
    pub reset: bool,
    /// Quarter squat.
    pub quarter: bool,
    /// Fails: half up, down, and up without the load.
    pub fails: bool,
    /// What goes wrong, at full size.
    pub faults: Vec<Fault>,
}

/// A set with everything around it.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Starts the camera bent down to it, and walks to the bar; stops it likewise.
    pub camera_by_hand: [bool; 2],
    /// Takes the bar out of a rack: dip of so many mm, so many steps back; 0 steps: no rack.
    pub walk_out: (f64, usize),
    /// Walks in and racks with a dip of so many mm.
    pub walk_in: Option<f64>,
    /// Stands at the rack before the dip, s.
    pub at_rack_s: f64,
    /// Stands before the first repetition, s, talking or quiet.
    pub before_s: f64,
    /// Talks for so long before the first, s.
    pub chatter_s: f64,
    /// The repetitions.
    pub lifts: Vec<Lift>,
    /// Camera's bearing.
    pub view: View,
    /// Where the phone stands.
    pub phone: Phone,
    /// What is seen.
    pub crop: Crop,
    /// Points' errors.
    pub noise: Noise,
    /// Frames.
    pub timing: Timing,
    /// Scores.
    pub scores: Scores,
    /// Layout's name.
    pub layout: &'static str,
    /// The picture is mirrored.
    pub mirrored: bool,
    /// Somebody stands in the background.
    pub bystander: bool,
    /// Somebody walks through in front at these parts of the time.
    pub crossings: Vec<f64>,
}

impl Plan {
    /// What it consists of, in a line.
    pub fn words(&self) -> String {
        self.conditions().join(", ")
    }

    /// What it consists of, one thing each.
    pub fn conditions(&self) -> Vec<String> {
        let mut words = vec![
            format!("{:?}", self.crop),
            self.view.name().to_string(),
            self.layout.to_string(),
            format!("{} fps", self.timing.fps),
        ];
        let mut note = |is: bool, word: &str| {
            if is {
                words.push(word.to_string());
            }
        };
        note(self.timing.lost > 0.0, "frames lost");
        note(self.noise.swaps > 0.0, "rough points");
        note(self.scores != Scores::Probability, "odd scores");
        note(self.camera_by_hand[0], "starts camera");
        note(self.walk_out.1 > 0, "walks out");
        note(self.chatter_s > 0.0, "chatter");
        note(self.lifts.iter().any(|l| l.quarter), "quarter squats");
        note(self.lifts.iter().any(|l| l.fails), "fails");
        note(self.lifts.iter().any(|l| l.reset), "feet reset");
        note(self.lifts.iter().any(|l| !l.faults.is_empty()), "faults");
        note(self.walk_in.is_some(), "walks in");
        note(self.camera_by_hand[1], "stops camera");
        note(self.phone == Phone::Floor, "phone on the floor");
        note(self.phone == Phone::Shelf, "phone on a shelf");
        note(self.bystander, "bystander");
        note(!self.crossings.is_empty(), "crossing");
        words
    }

    /// A random set.
    pub fn random(draw: &mut Draw) -> Self {
        let crop = draw.pick(&[
            Crop::Whole,
            Crop::Whole,
            Crop::Whole,
            Crop::NoHead,
            Crop::Shins,
            Crop::Plates,
            Crop::OneLeg,
        ]);
        let view = match crop {
            Crop::Plates | Crop::OneLeg => View::Side,
            _ => draw.pick(&View::NAMED),
        };
        let racked = crop != Crop::Shins && draw.chance(0.5);
        let by_hand = crop != Crop::Shins;
        let layout = draw.pick(&[
            "halpe-26",
            "blazepose-33",
            "body-25",
            "coco-wholebody-133",
            "coco-17",
        ]);
        let company = crop == Crop::Whole;
        let mut noise = Noise::STANDARD.scaled(draw.uniform(0.5, 2.0));
        if draw.chance(0.6) {
            noise.swaps = draw.uniform(0.0, 0.15);
            noise.jumps = draw.uniform(0.0, 0.03);
            noise.dropouts = draw.uniform(0.0, 0.03);
            noise.far = draw.uniform(1.0, 2.5);
        }
        Self {
            camera_by_hand: [by_hand && draw.chance(0.3), by_hand && draw.chance(0.3)],
            walk_out: if racked {
                (draw.uniform(30.0, 120.0), 2 + draw.below(4))
            } else {
                (0.0, 0)
            },
            walk_in: (racked && draw.chance(0.7)).then(|| draw.uniform(30.0, 120.0)),
            at_rack_s: draw.uniform(0.2, 2.5),
            before_s: draw.uniform(0.9, 3.0),
            chatter_s: if draw.chance(0.15) {
                draw.uniform(5.0, 30.0)
            } else {
                0.0
            },
            lifts: lifts(draw),
            view,
            phone: Phone::Stand,
            crop,
            noise,
            timing: timing(draw),
            scores: draw.pick(&[
                Scores::Probability,
                Scores::Probability,
                Scores::Logit,
                Scores::Peak,
            ]),
            layout,
            mirrored: draw.chance(0.2),
            bystander: company && draw.chance(0.25),
            crossings: if company && draw.chance(0.25) {
                (0..1 + draw.below(2))
                    .map(|_| draw.uniform(0.05, 0.95))
                    .collect()
            } else {
                vec![]
            },
        }
    }
}

fn timing(draw: &mut Draw) -> Timing {
    let fps = draw.pick(&[12.0, 15.0, 20.0, 24.0, 30.0, 30.0, 30.0, 60.0, 120.0]);
    if draw.chance(0.4) {
        return Timing {
            fps,
            ..Timing::STANDARD
        };
    }
    Timing {
        fps,
        jitter: draw.uniform(0.0, 0.3),
        lost: draw.pick(&[0.0, 0.05, 0.10]),
        absent: draw.uniform(0.0, 1.0),
        repeated: draw.uniform(0.0, 0.03),
    }
}

fn lifts(draw: &mut Draw) -> Vec<Lift> {
    let count = draw.pick(&[1, 1, 2, 3, 3, 5, 5, 8, 10]);
    let count = if draw.chance(0.03) { 30 } else { count };
    let ease = draw.pick(&[Ease::MinimumJerk, Ease::Cosine]);
    let down = draw.pick(&[0.5, 0.7, 1.0, 1.4, 1.5, 1.8, 2.5, 4.0]);
    let up = draw.pick(&[0.6, 0.8, 1.0, 1.2, 1.4, 2.0, 4.0]);
    let pause = draw.pick(&[0.0, 0.0, 0.2, 0.3, 1.0, 3.0]);
    let rest: f64 = draw.pick(&[0.0, 0.1, 0.3, 0.6, 1.0, 1.5, 3.0, 10.0]);
    let kind = draw.below(8);
    let resets = draw.chance(0.2);
    let (mut depth, drift) = (draw.uniform(0.85, 1.1), draw.uniform(-0.06, 0.03));
    (0..count)
        .map(|i| {
            let quarter = kind == 0 || (kind == 1 && draw.chance(0.4));
            let fails = kind == 2 && i + 1 == count;
            let bounce = kind == 3 && draw.chance(0.6);
            let deep = if quarter {
                draw.uniform(0.25, 0.42)
            } else {
                depth = (depth + drift).clamp(0.62, 1.12);
                depth * draw.trimmed(1.0, 0.04, 2.0)
            };
            let vary = |draw: &mut Draw, s: f64| s * draw.trimmed(1.0, 0.08, 2.0);
            let (d, p, u) = (vary(draw, down), vary(draw, pause), vary(draw, up));
            let depth = if fails {
                Depth::failed(d.max(0.8), deep.max(0.7), ease)
            } else if bounce {
                Depth::bounced(d, u, deep, draw.uniform(0.1, 0.3), ease)
            } else {
                Depth::plain(d, p, u, deep, ease)
            };
            let reset = resets && draw.chance(0.6);
            Lift {
                depth,
                rest_s: if reset { rest.max(0.5) } else { rest },
                reset,
                quarter,
                fails,
                faults: vec![],
            }
        })
        .collect()
}
