//! The same recordings on this machine and in a browser's engine: `cargo test` runs this file
//! natively, `cargo test --target wasm32-unknown-unknown` in headless Chromium.
//!
//! Expected times and bearings are the renderer's own (camera matrix and pelvis of the clips whose
//! keypoints tests/data/recordings holds), not this project's output.

use crate::tree::Tree;
use flate2::read::GzDecoder;
use underfoot::keypoints::{Recording, read_recording};
use underfoot::measures::MEASURED;
use underfoot::{Options, Session, analyze};

/// One test for both.
macro_rules! both {
    ($(#[doc = $doc:literal])* fn $name:ident() $body:block) => {
        $(#[doc = $doc])*
        #[cfg_attr(not(target_arch = "wasm32"), test)]
        #[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
        fn $name() $body
    };
}

struct Clip {
    packed: &'static [u8],
    /// Where each repetition is held at the bottom, s.
    bottoms_s: [(f64, f64); 3],
    /// The camera's bearing, degrees.
    azimuth_deg: f64,
}

const SIDE: Clip = Clip {
    packed: include_bytes!("../data/recordings/side-heel-lift.json.gz"),
    bottoms_s: [(3.67, 3.98), (7.78, 8.08), (11.71, 12.02)],
    azimuth_deg: 88.0,
};
const FRONT: Clip = Clip {
    packed: include_bytes!("../data/recordings/front-knees-in.json.gz"),
    bottoms_s: [(3.66, 3.86), (7.72, 7.92), (11.81, 12.00)],
    azimuth_deg: -3.0,
};

fn recording(clip: &Clip) -> Recording {
    let tree = serde_json::from_reader(GzDecoder::new(clip.packed)).expect("JSON");
    read_recording(&Tree(&tree)).expect("recording")
}

both! {
    /// Repetitions where the figure squatted, the camera where it stood.
    fn repetitions_and_bearing() {
        for clip in [SIDE, FRONT] {
            let report = analyze(&recording(&clip), &Options::default()).expect("report");
            assert_eq!(report.reps.len(), 3);
            for (rep, (from, to)) in report.reps.iter().zip(clip.bottoms_s) {
                let at = rep.bottom_ms / 1e3;
                // Half a second: a rendered lifter hardly moves just before and after the bottom.
                assert!((from - 0.5..=to + 0.5).contains(&at), "bottom at {at} s, not {from} to {to}");
            }
            let view = report.view.expect("a view");
            let off = (view.azimuth_deg - clip.azimuth_deg).abs();
            assert!(off < 10.0, "bearing {} for {}", view.azimuth_deg, clip.azimuth_deg);
        }
    }
}

both! {
    /// The contract: an unknown estimator or none means the generic profile, and a note says so.
    fn an_unknown_estimator_is_told() {
        let noted = |name: Option<&str>| {
            let mut recording = recording(&SIDE);
            recording.setup.estimator = name.map(str::to_owned);
            let report = analyze(&recording, &Options::default()).expect("report");
            report.notes.iter().filter(|note| note.code == "unknown-estimator").count()
        };
        for name in [None, Some("one of my own"), Some("mediapipe-pose-lite")] {
            assert_eq!(noted(name), 1, "{name:?}");
        }
        for profile in MEASURED {
            assert_eq!(noted(Some(profile.name)), 0, "{}", profile.name);
        }
        assert_eq!(noted(Some("MediaPipe Pose")), 0);
    }
}

both! {
    /// Pushing frame by frame, again after a reset, and all at once end in the same report.
    fn frame_by_frame_is_the_same() {
        let recording = recording(&FRONT);
        let options = Options { series: true, ..Options::default() };
        let whole = analyze(&recording, &options).expect("report");
        let mut session = Session::new(recording.setup.clone(), options);
        for _ in 0..2 {
            for frame in &recording.frames {
                session.push(frame.t_ms, &frame.people).expect("frame");
            }
            assert_eq!(session.live().reps, 3);
            // NaN would differ from itself: there is none in a report.
            assert_eq!(session.report(), whole);
            session.reset();
        }
    }
}

both! {
    /// Frames that hold rubbish are refused or skipped, and never stop the module.
    fn rubbish_is_survived() {
        let recording = recording(&SIDE);
        let mut session = Session::new(recording.setup.clone(), Options::default());
        let rubbish = [f64::NAN, f64::INFINITY, -1e308, 1e308, 0.0, -0.0, 5e-324];
        for (i, frame) in recording.frames.iter().enumerate() {
            let mut people = frame.people.clone();
            for (k, point) in people.iter_mut().flatten().enumerate() {
                if (i + k) % 3 == 0 {
                    *point = [0, 1, 2].map(|axis| rubbish[(i + 2 * k + axis) % rubbish.len()]);
                }
            }
            assert!(session.push(f64::NAN, &people).is_err());
            assert!(session.push(frame.t_ms - 1e6, &people).is_err() || i == 0);
            let _ = session.push(frame.t_ms, &people);
        }
        let _ = session.report();
    }
}
