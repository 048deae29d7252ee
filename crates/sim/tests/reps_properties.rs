//! What must not change the repetitions of a simulated set: another speed, a mirrored, scaled or shifted
//! picture, half the frames. All data here is invented.

use underfoot::keypoints::{Joint, Person, RawFrame};
use underfoot::repetitions::{Followed, Phase};
use underfoot_sim::sets::{Counted, Take, Traced, count, film, quantile, trace};

/// Sets drawn without a look at how they fare: the first seeds, all of them.
const PROPERTY: std::ops::Range<u64> = 1..25;
/// Times may differ by this much, ms: other noise decides where a slow movement leaves rest.
const APART_MS: f64 = 350.0;

/// They are told so far apart at most, in the median, ms.
const TOLD_MS: f64 = 100.0;

/// The take with its frames changed.
fn changed(take: &Take, frame: impl Fn(&mut RawFrame)) -> Take {
    let mut take = take.clone();
    take.recording.frames.iter_mut().for_each(frame);
    take
}

fn moved(take: &Take, point: impl Fn([f64; 3]) -> [f64; 3]) -> Take {
    changed(take, |frame| {
        for seen in frame.people.iter_mut().flatten() {
            *seen = point(*seen);
        }
    })
}

/// The same repetitions, once times are divided by `slower`.
fn same(name: &str, seed: u64, was: &Counted, now: &Counted, slower: f64, apart_ms: f64) {
    let times = |c: &Counted, k: f64| -> Vec<[f64; 3]> {
        let reps = c.reps.iter();
        reps.map(|told| told.rep)
            .map(|r| [r.start_ms / k, r.bottom_ms / k, r.end_ms / k])
            .collect()
    };
    let (a, b) = (times(was, 1.0), times(now, slower));
    assert_eq!(a.len(), b.len(), "seed {seed}, {name}: {a:.0?} {b:.0?}");
    let told = was.reps.iter().zip(&now.reps);
    let later = told
        .map(|(a, b)| (b.at_ms / slower - a.at_ms).abs())
        .collect::<Vec<_>>();
    let later = quantile(&later, 0.5);
    assert!(
        later.is_nan() || later <= TOLD_MS.min(apart_ms),
        "seed {seed}, {name}: told {later:.0} ms apart"
    );
    if apart_ms <= 1.0 {
        let (a, b) = (was.changes.len(), now.changes.len());
        assert_eq!(a, b, "seed {seed}, {name}: changes of what was told");
    }
    for (a, b) in a.iter().zip(&b) {
        // Bottoms with a pause or a bounce may be found at either end of it.
        for k in [0, 2] {
            assert!(
                (a[k] - b[k]).abs() < apart_ms,
                "seed {seed}, {name}: {a:.0?} {b:.0?}"
            );
        }
    }
}

/// What is made of each frame: its time, and the phase, the drop, the feet's distance from their place
/// and the way walked from the repetitions before, as the trace has them.
fn frames(take: &Take) -> Vec<(f64, Phase, [f64; 3])> {
    let values = |f: Followed| [f.drop, f.away, f.walked];
    let frame = |f: Traced| (f.t_ms, f.phase, values(f.followed));
    trace(take).into_iter().map(frame).collect()
}

/// The phase is another in at most this share of the frames, and drop, feet's distance and way walked
/// differ by at most this in the median of the frames of lifts (the way: of all), and in all but every
/// hundredth.
struct Close {
    phase: f64,
    half: [f64; 3],
    most: [f64; 3],
}

/// The same geometry in another picture.
const EXACT: Close = Close {
    phase: 0.0,
    half: [1e-4; 3],
    most: [0.0011, 0.0101, 0.0101],
};

/// Other times between frames: what is smoothed over milliseconds stays about the same.
const ABOUT: Close = Close {
    phase: 0.12,
    half: [0.005, 0.005, 0.02],
    most: [0.025, 0.02, f64::INFINITY],
};

/// The same at each frame that both takes have, once times are divided by `slower`.
fn alike(name: &str, seed: u64, was: &Take, now: &Take, slower: f64, close: &Close) {
    let (a, b) = (frames(was), frames(now));
    let near = |x: f64, y: f64| (x - y / slower).abs() < 1e-3;
    let (mut other, mut off) = (0, [vec![], vec![], vec![]]);
    let mut both = 0;
    for (t_ms, phase, values) in &a {
        let k = b.partition_point(|f| f.0 / slower < t_ms - 1e-3);
        let Some(frame) = b.get(k).filter(|f| near(*t_ms, f.0)) else {
            continue;
        };
        both += 1;
        other += usize::from(*phase != frame.1);
        if ![Phase::Standing, Phase::Searching].contains(phase) {
            for k in [0, 1] {
                off[k].push((values[k] - frame.2[k]).abs());
            }
        }
        let way = (values[2] - frame.2[2]).abs();
        off[2].extend(Some(way).filter(|way| way.is_finite()));
    }
    let share = other as f64 / f64::from(both.max(1));
    let [half, most] = [0.5, 0.99].map(|q| [0, 1, 2].map(|k| quantile(&off[k], q)));
    // Nothing to compare is NaN.
    let within =
        |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).all(|(a, b)| a.is_nan() || *a <= b + 1e-9);
    assert!(
        off[0].is_empty()
            || share <= close.phase && within(half, close.half) && within(most, close.most),
        "seed {seed}, {name}: phases {share:.4}, drop, feet and way {half:.4?}, {most:.4?}"
    );
}

#[test]
fn mirrored_sets_have_the_same_repetitions() {
    for seed in PROPERTY {
        let (_, take) = film(seed);
        let was = count(&take);
        // A mirrored picture whose estimator does not know it, and says so.
        let width = take.recording.setup.image.width;
        let layout = take.recording.setup.layout.clone();
        let mut other = moved(&take, |[x, y, s]| [width - x, y, s]);
        for person in other
            .recording
            .frames
            .iter_mut()
            .flat_map(|f| &mut f.people)
        {
            let before: Person = person.clone();
            for joint in Joint::ALL {
                let at = [joint, joint.mirrored()].map(|j| layout.index_of(j));
                if let [Some(i), Some(j)] = at {
                    person[i] = before[j];
                }
            }
        }
        // Somebody who is the mirror image of the lifter: left and right are alike.
        same("mirror image", seed, &was, &count(&other), 1.0, 1.0);
        alike("mirror image", seed, &take, &other, 1.0, &EXACT);
        other.recording.setup.camera.mirrored ^= true;
        same("mirrored", seed, &was, &count(&other), 1.0, 1.0);
        alike("mirrored", seed, &take, &other, 1.0, &EXACT);
    }
}

#[test]
fn scaled_sets_have_the_same_repetitions() {
    for seed in PROPERTY {
        let (_, take) = film(seed);
        let was = count(&take);
        for k in [0.5, 2.0] {
            let mut other = moved(&take, |[x, y, s]| [x * k, y * k, s]);
            other.recording.setup.image.width *= k;
            other.recording.setup.image.height *= k;
            same("scaled", seed, &was, &count(&other), 1.0, 1.0);
            alike("scaled", seed, &take, &other, 1.0, &EXACT);
        }
    }
}

#[test]
fn shifted_sets_have_the_same_repetitions() {
    for seed in PROPERTY {
        let (_, take) = film(seed);
        let was = count(&take);
        // A larger picture, with the old one in its middle: points at the border stay in it.
        let size = take.recording.setup.image;
        let mut other = moved(&take, |[x, y, s]| [x + 40.0, y + 30.0, s]);
        other.recording.setup.image.width = size.width + 80.0;
        other.recording.setup.image.height = size.height + 60.0;
        same("shifted", seed, &was, &count(&other), 1.0, 1.0);
        alike("shifted", seed, &take, &other, 1.0, &EXACT);
    }
}

#[test]
fn sets_at_another_speed_have_the_same_repetitions() {
    for seed in PROPERTY {
        let (_, take) = film(seed);
        let was = count(&take);
        for k in [0.9, 1.1] {
            let other = changed(&take, |frame| frame.t_ms *= k);
            same("at another speed", seed, &was, &count(&other), k, APART_MS);
            alike("at another speed", seed, &take, &other, k, &ABOUT);
        }
    }
}

#[test]
fn sets_at_half_the_frame_rate_have_the_same_repetitions() {
    for seed in PROPERTY {
        let (plan, take) = film(seed);
        if plan.timing.fps < 24.0 {
            continue;
        }
        let was = count(&take);
        let mut other = take.clone();
        let mut odd = false;
        other.recording.frames.retain(|_| {
            odd = !odd;
            odd
        });
        let name = "at half the frame rate";
        same(name, seed, &was, &count(&other), 1.0, APART_MS);
        alike(name, seed, &take, &other, 1.0, &ABOUT);
    }
}
