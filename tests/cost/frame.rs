//! What one frame costs once standing is known: memory, and time beside a yardstick.
//!
//! The frames are those that a public pose estimator gave for a rendered clip (tests/data/clips).

// The counting allocator is for native programs; the module brings its own.
#![cfg(not(target_arch = "wasm32"))]

#[path = "../support/filmed.rs"]
mod filmed;

use allocation_counter::measure;
use filmed::recording;
use std::time::Instant;
use underfoot::{Options, Session};

/// The session keeps every frame, so its lists grow now and then by doubling; stretches of standing
/// and repetitions that end cost what they cost. All other frames allocate nothing.
#[test]
fn frames_allocate_nothing_in_steady_state() {
    let recording = recording();
    let mut session = Session::new(recording.setup.clone(), Options::default());
    let (mut steady, mut allocating) = (0, Vec::new());
    for frame in &recording.frames {
        let before = session.live();
        let used = measure(|| {
            session.push(frame.t_ms, &frame.people).unwrap();
            std::hint::black_box(session.values());
        });
        if before.standing_known && session.live().finished.is_none() {
            steady += 1;
            if used.count_total > 0 {
                allocating.push((frame.t_ms, used.count_total));
            }
        }
    }
    assert!(steady > 250, "{steady} frames after standing");
    println!(
        "{} of {steady} steady frames allocate: {allocating:?}",
        allocating.len()
    );
    assert!(allocating.len() * 50 < steady, "{allocating:?}");
}

/// A frame's state and its values should take 5 microseconds: printed here, and held to three times
/// as much, because other tests keep the machine busy.
#[test]
fn a_frame_takes_microseconds() {
    let recording = recording();
    let mut best = [f64::INFINITY; 2];
    for _ in 0..5 {
        let mut session = Session::new(recording.setup.clone(), Options::default());
        let mut took: [Vec<f64>; 2] = [Vec::new(), Vec::new()];
        for frame in &recording.frames {
            let known = session.live().standing_known;
            let start = Instant::now();
            session.push(frame.t_ms, &frame.people).unwrap();
            let pushed = start.elapsed();
            std::hint::black_box(session.values());
            let all = start.elapsed();
            if known {
                took[0].push(pushed.as_secs_f64() * 1e6);
                took[1].push((all - pushed).as_secs_f64() * 1e6);
            }
        }
        for (best, took) in best.iter_mut().zip(&mut took) {
            took.sort_by(f64::total_cmp);
            *best = best.min(took[took.len() / 2]);
        }
    }
    println!(
        "median frame: state {:.1}, values {:.1} microseconds",
        best[0], best[1]
    );
    assert!(best[0] + best[1] < 15.0, "{best:?}");
}
