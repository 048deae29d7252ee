//! A set as it goes on: frame by frame, as from a camera; says when standing is known, when each
//! repetition is final, and what was seen in it.
//!
//! ```sh
//! cargo run --example live -- RECORDING.json
//! ```

use underfoot::keypoints::Recording;
use underfoot::{Options, Session};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args()
        .nth(1)
        .ok_or("usage: live RECORDING.json")?;
    let recording: Recording = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let mut session = Session::new(recording.setup, Options::default());
    let mut known = false;
    for frame in &recording.frames {
        let now = session.push(frame.t_ms, &frame.people)?;
        let at_s = frame.t_ms / 1e3;
        if now.standing_known && !known {
            known = true;
            println!("{at_s:6.2} s  standing is known");
        }
        if let Some(rep) = now.finished.and_then(|number| session.rep(number)) {
            let down_s = rep.tempo.down_s;
            println!("{at_s:6.2} s  repetition {}: {down_s:.1} s down", rep.index);
        }
    }
    println!("{}", session.report().cue.text);
    Ok(())
}
