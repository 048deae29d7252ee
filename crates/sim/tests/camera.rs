//! The simulator's camera against a renderer's: the clips give azimuth, pitch and roll in words
//! and the world-to-camera matrix that their pictures were made with.

use flate2::read::GzDecoder;
use glam::DVec3;
use serde_json::Value;
use underfoot_sim::{Camera, clips};

#[test]
fn bearing_pitch_and_roll_turn_the_way_the_renderer_turns() {
    let mut checked = 0;
    for name in clips::NAMES {
        let path = clips::folder().join(format!("{name}.truth.json.gz"));
        let file = std::fs::File::open(path).unwrap();
        let truth: Value = serde_json::from_reader(GzDecoder::new(file)).unwrap();
        let number = |key: &str| truth[key].as_f64().unwrap();
        let list = |v: &Value| -> Vec<f64> {
            v.as_array()
                .unwrap()
                .iter()
                .map(|x| x.as_f64().unwrap())
                .collect()
        };
        let rows: Vec<Vec<f64>> = truth["camera"]["R"]
            .as_array()
            .unwrap()
            .iter()
            .map(list)
            .collect();
        let place = DVec3::from_slice(&list(&truth["camera"]["position"]));
        let focal = number("focal_px");
        let camera = Camera {
            azimuth: number("azimuth_deg"),
            distance: number("distance_m"),
            height: place.y,
            pitch: number("pitch_deg"),
            roll: number("roll_deg"),
            pan: 0.0,
            focal,
            size: [540.0, 960.0],
        };
        // The renderer turned about a point somewhat off the origin: compare directions.
        for direction in [
            DVec3::new(0.3, 0.2, 0.1),
            DVec3::new(-0.2, -0.5, 0.2),
            DVec3::new(0.1, 0.6, -0.3),
        ] {
            let ahead = DVec3::from_slice(&rows[2]) * 3.0 + direction;
            let q: Vec<f64> = rows
                .iter()
                .map(|r| DVec3::from_slice(r).dot(ahead))
                .collect();
            let theirs = [270.0 + focal * q[0] / q[2], 480.0 + focal * q[1] / q[2]];
            let ours = camera.project(camera.place() + ahead).unwrap();
            let off = (ours.x - theirs[0]).hypot(ours.y - theirs[1]);
            println!("{name} {off:.2}");
            assert!(off < 1.0, "{name}: {ours} {theirs:?}");
            checked += 1;
        }
    }
    assert_eq!(checked, 18);
}
