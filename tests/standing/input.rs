//! Whatever the points are, the standing fit and the measures answer and do not panic. Invented
//! input: only that an answer comes and that numbers are finite is checked.

use glam::DVec2;
use underfoot::keypoints::{ImageSize, Joint, Layout, Setup};
use underfoot::measures::{Channel, Curves, Measurer, peaks, series};
use underfoot::pose::{Pose, Seen};
use underfoot::standing::{Unfit, fit};

fn setup(layout: &str) -> Setup {
    let size = ImageSize {
        width: 1080.0,
        height: 1920.0,
    };
    Setup::new(Layout::named(layout).expect("a layout"), size)
}

/// A plain front view: left joints to the picture's right, shanks 190 px.
fn standing(t_ms: f64) -> Pose {
    let mut pose = Pose::empty(t_ms);
    let pairs = [
        (Joint::LeftShoulder, 85.0, 560.0),
        (Joint::LeftHip, 45.0, 800.0),
        (Joint::LeftKnee, 80.0, 1000.0),
        (Joint::LeftAnkle, 90.0, 1190.0),
        (Joint::LeftHeel, 85.0, 1205.0),
        (Joint::LeftBigToe, 100.0, 1240.0),
        (Joint::LeftSmallToe, 118.0, 1235.0),
    ];
    for (joint, x, y) in pairs {
        for (joint, x) in [(joint, 540.0 + x), (joint.mirrored(), 540.0 - x)] {
            let at = DVec2::new(x, y);
            pose.joints[joint.index()] = Some(Seen { at, score: 0.9 });
        }
    }
    pose
}

fn still(count: usize) -> Vec<Pose> {
    (0..count).map(|i| standing(i as f64 * 33.0)).collect()
}

#[test]
fn refuses_with_a_reason() {
    let setup = setup("halpe-26");
    assert_eq!(fit(&[], &setup).err(), Some(Unfit::TooFewFrames));
    let empty: Vec<Pose> = (0..20).map(|i| Pose::empty(f64::from(i))).collect();
    assert_eq!(fit(&empty, &setup).err(), Some(Unfit::TooFewPoints));
    let mut tiny = still(20);
    for pose in &mut tiny {
        for seen in pose.joints.iter_mut().flatten() {
            seen.at *= 0.02;
        }
    }
    assert_eq!(fit(&tiny, &setup).err(), Some(Unfit::TooSmall));
    let mut no_picture = setup.clone();
    no_picture.image.width = 0.0;
    assert_eq!(fit(&still(20), &no_picture).err(), Some(Unfit::TooSmall));
}

#[test]
fn finds_the_front() {
    let found = fit(&still(30), &setup("halpe-26")).expect("a fit");
    let view = found.view();
    assert!(view.azimuth_deg.abs() < 6.0, "{view:?}");
    assert_eq!(view.name, "front");
    let toes = found.summary(0.0, 1000.0).toe_out_deg;
    assert!(
        (toes.left - toes.right).abs() < 1.0,
        "a mirrored body has mirrored feet"
    );
}

#[test]
fn odd_points_never_panic() {
    // A small generator, so that every run sees the same oddities.
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut next = move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state
    };
    for layout in Layout::NAMES {
        let setup = setup(layout);
        for _ in 0..12 {
            let mut poses = still(60);
            for pose in &mut poses {
                for joint in &mut pose.joints {
                    let odd = match next() % 40 {
                        0 => Some(f64::NAN),
                        1 => Some(f64::INFINITY),
                        2 => Some(-1e9),
                        3 => Some(0.0),
                        _ => None,
                    };
                    match (odd, next() % 10, joint.as_mut()) {
                        (_, 0, _) => *joint = None,
                        (Some(v), _, Some(seen)) => seen.at.x = v,
                        _ => {}
                    }
                }
            }
            let Ok(found) = fit(&poses, &setup) else {
                continue;
            };
            let measurer = Measurer::new(&found, &setup);
            for pose in &poses {
                for value in measurer.frame(pose, None).into_iter().flatten() {
                    assert!(value.value.is_finite() && value.sd.is_finite() && value.sd > 0.0);
                }
            }
            let curves = series(&measurer, &poses, &[], &[], Curves::All);
            for channel in Channel::ALL {
                let peak = peaks(&curves, 300.0, 900.0, 1500.0, channel);
                for e in peak.ways.into_iter().flatten() {
                    assert!(e.usable() && e.sd > 0.0);
                }
                assert!(peak.ways.iter().all(Option::is_some) || peak.unseen.is_some());
            }
        }
    }
}

/// The lever rule (statics) with the feet where they were set: a left foot set 14 px further out than its
/// 90 px leaves it 90 / (90 + 104) = 46.4 % of a load that hangs over the middle.
#[test]
fn a_foot_set_elsewhere_before_a_repetition_is_followed() {
    let setup = setup("halpe-26");
    let found = fit(&still(30), &setup).expect("a fit");
    let measurer = Measurer::new(&found, &setup);
    let mut poses = still(120);
    for pose in &mut poses[50..] {
        for joint in [
            Joint::LeftAnkle,
            Joint::LeftHeel,
            Joint::LeftBigToe,
            Joint::LeftSmallToe,
        ] {
            if let Some(seen) = &mut pose.joints[joint.index()] {
                seen.at.x += 14.0;
            }
        }
    }
    let share = |reps: &[(f64, f64)]| {
        let curves = series(&measurer, &poses, &[], reps, Curves::All);
        curves.channels[Channel::LoadLeft.index()][100].map(|e| e.value)
    };
    let (known, unknown) = (share(&[(80.0 * 33.0, 118.0 * 33.0)]), share(&[]));
    let known = known.expect("seen from the front");
    assert!((known - 46.4).abs() < 1.0, "{known}");
    assert!(
        unknown.is_some_and(|v| (v - 46.4).abs() > 1.0),
        "{unknown:?}"
    );
}
