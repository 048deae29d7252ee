//! What a long session costs: an hour at 30 frames a second is one set after another, with nobody in between.
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

fn filmed(minutes: f64) -> (u64, usize, f64) {
    let recording = recording();
    let mut session = Session::new(recording.setup.clone(), Options::default());
    let lasts = recording.frames.last().unwrap().t_ms + 33.0;
    let sets = (minutes * 6e4 / lasts).ceil() as usize;
    let (mut frames, mut ms, mut reps) = (0, 0.0, 0);
    let used = measure(|| {
        for set in 0..sets {
            for frame in &recording.frames {
                session
                    .push(frame.t_ms + set as f64 * lasts, &frame.people)
                    .unwrap();
                frames += 1;
            }
        }
        let start = Instant::now();
        reps = session.report_with(false).reps.len();
        ms = start.elapsed().as_secs_f64() * 1e3;
    });
    println!(
        "{minutes} min: {frames} frames, {sets} sets, {reps} repetitions; {:.1} MB at most, report {ms:.0} ms",
        used.bytes_max as f64 / 1e6
    );
    (used.bytes_max, frames, ms)
}

#[test]
fn what_a_session_keeps_and_a_report_takes_grows_with_time_and_no_faster() {
    let minutes: f64 = std::env::var("UNDERFOOT_MINUTES")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(4.0);
    let (bytes, frames, ms) = filmed(minutes);
    // An hour is 108 000 frames: 300 MB is 2778 bytes for each.
    assert!(bytes < 2778 * frames as u64, "{bytes} bytes");
    let (_, few, short) = filmed(minutes / 5.0);
    // Twice the time that a part of it takes, for what else the machine does.
    let share = frames as f64 / few as f64;
    assert!(ms < 2.0 * share * short + 50.0, "{ms} ms, {short} ms");
}
