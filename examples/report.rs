//! What to change before the next set: the cue of a recording, and what it rests on.
//!
//! ```sh
//! cargo run --example report -- RECORDING.json
//! ```

use underfoot::keypoints::Recording;
use underfoot::{Options, analyze};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args()
        .nth(1)
        .ok_or("usage: report RECORDING.json")?;
    let recording: Recording = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let report = analyze(&recording, &Options::default())?;
    if let Some(view) = &report.view {
        println!("filmed from: {}", view.name);
    }
    println!("repetitions: {}", report.reps.len());
    println!("{}", report.finding.sentence);
    println!("{}", report.cue.text);
    for note in &report.notes {
        println!("- {}", note.text);
    }
    Ok(())
}
