//! What is known of an estimator's points, on a figure that the table was not measured on.

use underfoot::{Options, analyze};
use underfoot_sim::clips;

/// Errors of both feet's toe-out on the six older clips, degrees, with and without what is known of the estimator. The truth
/// is the clips' own: 15 degrees (tests/data/clips/NAME.truth.json.gz).
#[test]
fn toe_out_is_nearer_the_truth_with_what_is_known_of_the_points() {
    let rms = |known: bool| {
        let mut squares = Vec::new();
        for name in clips::NAMES {
            let mut recording = clips::load(name, false).expect("a clip").recording;
            if !known {
                recording.setup.estimator = None;
            }
            let report = analyze(&recording, &Options::default()).expect("a report");
            let standing = report.standing.expect("standing");
            let toes = standing.toe_out_deg;
            squares.extend([toes.left, toes.right].map(|v| (v - 15.0).powi(2)));
        }
        (squares.iter().sum::<f64>() / squares.len() as f64).sqrt()
    };
    let (with, without) = (rms(true), rms(false));
    println!("toe-out: {with:.1} degrees, without {without:.1}");
    assert!(with < 3.5 && with < 0.6 * without, "{with} {without}");
}
