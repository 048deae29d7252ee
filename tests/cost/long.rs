//! What a long session costs: in an hour at 30 frames a second, nine repetitions every two minutes. Between them
//! the lifter stands about, and is out of the picture.
//!
//! The frames are those that a public pose estimator gave for a rendered clip (tests/data/clips).

// The counting allocator is for native programs; the module brings its own.
#![cfg(not(target_arch = "wasm32"))]

#[path = "../support/filmed.rs"]
mod filmed;

use allocation_counter::measure;
use filmed::recording;
use std::time::Instant;
use underfoot::keypoints::RawFrame;
use underfoot::report::Report;
use underfoot::{Options, Session};

/// Frames of one set, and of it with the rest after it.
const SET: usize = 1290;
const WITH_REST: usize = 3600;
const STEP_MS: f64 = 100.0 / 3.0;

struct Cost {
    bytes: u64,
    frames: usize,
    /// Reading the sets that are over as each next one ends, at most; the report then, and without that.
    settle_ms: f64,
    report_ms: f64,
    cold_ms: f64,
}

/// Frame number `i` of a session.
fn frame_at(clip: &[RawFrame], i: usize) -> &RawFrame {
    let i = i % WITH_REST;
    // The clip stands for its first half second.
    let standing = 15;
    match i {
        _ if i < SET => &clip[i % clip.len()],
        _ if i < 2 * SET => &clip[i % standing],
        _ => &clip[0],
    }
}

/// Frame number `i`; between sets nobody is in the picture.
fn push(session: &mut Session, clip: &[RawFrame], i: usize) {
    let frame = frame_at(clip, i);
    let people = if i % WITH_REST < 2 * SET {
        &frame.people[..]
    } else {
        &[]
    };
    session.push(i as f64 * STEP_MS, people).unwrap();
}

fn timed<T>(run: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let out = run();
    (out, start.elapsed().as_secs_f64() * 1e3)
}

fn filmed(minutes: f64) -> Cost {
    let recording = recording();
    let mut session = Session::new(recording.setup.clone(), Options::default());
    let mut cold = session.clone();
    let frames = (minutes * 6e4 / STEP_MS) as usize;
    let mut settle_ms: f64 = 0.0;
    let (mut report, mut report_ms): (Option<Report>, f64) = (None, 0.0);
    let used = measure(|| {
        for i in 0..frames {
            push(&mut session, &recording.frames, i);
            if i % WITH_REST == SET {
                settle_ms = settle_ms.max(timed(|| session.settle()).1);
            }
        }
        let (told, ms) = timed(|| session.report_with(false));
        (report, report_ms) = (Some(told), ms);
    });
    for i in 0..frames {
        push(&mut cold, &recording.frames, i);
    }
    let (told, cold_ms) = timed(|| cold.report_with(false));
    let report = report.unwrap();
    assert_eq!(report, told, "what was read before is what is read now");
    println!(
        "{minutes} min: {frames} frames, {} repetitions; {:.1} MB at most, a set {settle_ms:.0} ms, report {report_ms:.0} ms, \
         without the sets read before {cold_ms:.0} ms",
        report.reps.len(),
        used.bytes_max as f64 / 1e6
    );
    Cost {
        bytes: used.bytes_max,
        frames,
        settle_ms,
        report_ms,
        cold_ms,
    }
}

#[test]
fn what_a_session_keeps_and_a_report_takes_grows_with_time_and_no_faster() {
    let minutes: f64 = std::env::var("UNDERFOOT_MINUTES")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(12.0);
    let long = filmed(minutes);
    // An hour is 108 000 frames: 300 MB is 2778 bytes for each.
    assert!(
        long.bytes < 2778 * long.frames as u64,
        "{} bytes",
        long.bytes
    );
    let short = filmed(minutes / 3.0);
    // Twice the time that a part of it takes, for what else the machine does.
    assert!(long.cold_ms < 2.0 * 3.0 * short.cold_ms + 50.0);
    assert!(long.settle_ms < 5.0 * short.settle_ms + 100.0);
    // What was read before is left: half of it all, where a part is a sixth.
    assert!(
        long.report_ms < 0.5 * long.cold_ms + 50.0,
        "{} of {} ms",
        long.report_ms,
        long.cold_ms
    );
}
