//! A coach's day in invented sets: what happens around the squats must not add or lose one. Each is
//! filmed with three lifters drawn at random.

use underfoot_sim::noise::{Noise, Timing};
use underfoot_sim::profile::{Depth, Ease};
use underfoot_sim::rng::Draw;
use underfoot_sim::sets::{Crop, Lift, Phone, Plan, Scores, count, take};
use underfoot_sim::{Fault, Kind, View};

/// A squat of usual depth and pace.
fn squat() -> Lift {
    lift(Depth::plain(1.4, 0.2, 1.1, 1.0, Ease::MinimumJerk))
}

fn lift(depth: Depth) -> Lift {
    Lift {
        depth,
        rest_s: 1.0,
        reset: false,
        quarter: false,
        fails: false,
        faults: vec![],
    }
}

fn quarter() -> Lift {
    Lift {
        quarter: true,
        ..lift(Depth::plain(0.9, 0.0, 0.8, 0.36, Ease::MinimumJerk))
    }
}

/// A set from the front, the phone between knee and hip, with nothing around it.
fn set(lifts: Vec<Lift>) -> Plan {
    Plan {
        camera_by_hand: [false; 2],
        walk_out: (0.0, 0),
        walk_in: None,
        at_rack_s: 1.5,
        before_s: 2.0,
        chatter_s: 0.0,
        lifts,
        view: View::Front,
        phone: Phone::Stand,
        crop: Crop::Whole,
        noise: Noise::STANDARD,
        timing: Timing::STANDARD,
        scores: Scores::Probability,
        layout: "blazepose-33",
        mirrored: false,
        bystander: false,
        crossings: vec![],
    }
}

fn squats(n: usize) -> Plan {
    set(vec![squat(); n])
}

/// Counts the scenario with three lifters; every repetition once, and no other.
#[track_caller]
fn counted(plan: &Plan) {
    for seed in 1..4 {
        let film = take(plan, &mut Draw::new(seed));
        let reps = count(&film).reps;
        let (told, there) = (reps.len(), film.reps.len());
        assert_eq!(there, plan.lifts.len(), "the film's own count");
        assert_eq!(told, there, "lifter {seed}: {reps:#?}");
        for (told, truth) in reps.iter().zip(&film.reps) {
            let rep = told.rep;
            let over = rep.start_ms < truth.bottom_ms[1] && rep.end_ms > truth.bottom_ms[0];
            assert!(over, "lifter {seed}: {rep:?} is not {truth:?}");
        }
    }
}

#[test]
fn three_squats() {
    counted(&squats(3));
}

#[test]
fn walks_out_three_squats_walks_in_re_racks() {
    counted(&Plan {
        walk_out: (80.0, 3),
        walk_in: Some(90.0),
        ..squats(3)
    });
}

#[test]
fn a_single_after_the_walk_out() {
    counted(&Plan {
        walk_out: (100.0, 4),
        walk_in: Some(60.0),
        ..squats(1)
    });
}

#[test]
fn starts_and_stops_the_phone_by_hand() {
    counted(&Plan {
        camera_by_hand: [true; 2],
        ..squats(3)
    });
}

#[test]
fn talks_before_the_set() {
    counted(&Plan {
        chatter_s: 20.0,
        ..squats(3)
    });
}

#[test]
fn sets_the_feet_anew_after_each() {
    let mut plan = squats(4);
    plan.lifts.iter_mut().for_each(|l| l.reset = true);
    counted(&plan);
}

#[test]
fn rests_long_at_the_top() {
    let mut plan = squats(3);
    plan.lifts.iter_mut().for_each(|l| l.rest_s = 10.0);
    counted(&plan);
}

#[test]
fn squats_without_a_rest() {
    let mut plan = squats(8);
    plan.lifts.iter_mut().for_each(|l| l.rest_s = 0.1);
    counted(&plan);
}

#[test]
fn pauses_three_seconds_at_the_bottom() {
    let pause = lift(Depth::plain(1.5, 3.0, 1.2, 1.0, Ease::MinimumJerk));
    counted(&set(vec![pause; 3]));
}

#[test]
fn bounces_at_the_bottom() {
    let bounce = lift(Depth::bounced(1.2, 1.0, 1.0, 0.2, Ease::Cosine));
    counted(&set(vec![bounce; 3]));
}

#[test]
fn four_seconds_down_and_up() {
    let slow = lift(Depth::plain(4.0, 0.0, 4.0, 1.0, Ease::MinimumJerk));
    counted(&set(vec![slow; 3]));
}

#[test]
fn half_a_second_down() {
    let fast = lift(Depth::plain(0.5, 0.0, 0.6, 1.0, Ease::Cosine));
    counted(&set(vec![fast; 5]));
}

#[test]
fn quarter_squats_alone() {
    counted(&set(vec![quarter(); 5]));
}

#[test]
fn warms_up_with_a_quarter_squat() {
    counted(&set(vec![quarter(), squat(), squat()]));
}

#[test]
fn fails_the_last_one() {
    let failed = Lift {
        fails: true,
        ..lift(Depth::failed(1.4, 1.0, Ease::MinimumJerk))
    };
    counted(&set(vec![squat(), squat(), failed]));
}

#[test]
fn somebody_crosses_twice() {
    counted(&Plan {
        crossings: vec![0.3, 0.7],
        ..squats(5)
    });
}

#[test]
fn somebody_stands_in_the_background() {
    counted(&Plan {
        bystander: true,
        ..squats(3)
    });
}

#[test]
fn plates_hide_the_hips_from_the_side() {
    counted(&Plan {
        view: View::Side,
        crop: Crop::Plates,
        ..squats(3)
    });
}

#[test]
fn feet_and_shins_only() {
    counted(&Plan {
        crop: Crop::Shins,
        ..squats(5)
    });
}

#[test]
fn the_phone_lies_against_a_plate_on_the_floor() {
    counted(&Plan {
        phone: Phone::Floor,
        walk_out: (80.0, 3),
        walk_in: Some(80.0),
        ..squats(3)
    });
}

#[test]
fn twelve_frames_a_second_with_gaps() {
    counted(&Plan {
        timing: Timing {
            fps: 12.0,
            lost: 0.1,
            ..Timing::STANDARD
        },
        ..squats(5)
    });
}

#[test]
fn heels_come_up_and_knees_go_in() {
    let mut plan = squats(3);
    for lift in &mut plan.lifts {
        lift.faults = vec![
            Fault::steady(Kind::HeelLift([30.0; 2])),
            Fault::steady(Kind::KneeIn([12.0; 2])),
        ];
    }
    counted(&plan);
}
