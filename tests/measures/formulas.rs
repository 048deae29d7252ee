//! Formulas of the measures against references outside the project. `tests/data/measures.json`
//! names them: scipy for the filters, OpenCV for the projection, de Leva 1996 (table 4) for the
//! centre of mass, statics for the lever rule.

use glam::{DVec2, DVec3};
use serde_json::Value;
use underfoot::measures::com::{self, Balance, Segment, Sex};
use underfoot::measures::smoothing::Butterworth;
use underfoot::standing::Camera;

fn data() -> Value {
    serde_json::from_str(include_str!("../data/measures.json")).expect("valid JSON")
}

fn list(v: &Value) -> Vec<f64> {
    v.as_array()
        .expect("a list")
        .iter()
        .map(|x| x.as_f64().expect("a number"))
        .collect()
}

fn close(a: f64, b: f64, tolerance: f64, what: &str) {
    assert!((a - b).abs() <= tolerance, "{what}: {a} is not {b}");
}

/// scipy.signal.butter(2, fc / (fs / 2)).
#[test]
fn butterworth_coefficients() {
    let data = data();
    for (name, fs) in [("butter2_fc6_fs30", 30.0), ("butter2_fc6_fs60", 60.0)] {
        let reference = &data["butterworth"][name];
        let filter = Butterworth::low_pass(6.0, fs).expect("below Nyquist");
        for (mine, theirs) in filter.b.iter().zip(list(&reference["b"])) {
            close(*mine, theirs, 1e-12, name);
        }
        for (mine, theirs) in filter.a.iter().zip(&list(&reference["a"])[1..]) {
            close(*mine, *theirs, 1e-12, name);
        }
    }
    assert!(Butterworth::low_pass(30.0, 60.0).is_none());
    assert!(Butterworth::low_pass(f64::NAN, 60.0).is_none());
}

/// scipy.signal.filtfilt with its default odd padding, plain and with Winter's correction for two
/// passes.
#[test]
fn forward_and_backward() {
    let data = data();
    let reference = &data["filtfilt"];
    let input = list(&reference["input"]);
    let cases = [
        (
            "filtfilt_default_pad_odd_padlen9",
            Butterworth::low_pass(6.0, 60.0),
        ),
        (
            "filtfilt_exact_dual_pass",
            Butterworth::low_pass_two_passes(6.0, 60.0),
        ),
    ];
    for (name, filter) in cases {
        let mut values = input.clone();
        filter.expect("below Nyquist").both_ways(&mut values);
        for (mine, theirs) in values.iter().zip(list(&reference[name])) {
            close(*mine, theirs, 1e-9, name);
        }
    }
}

/// Two passes lose 3 dB at the cutoff, not 6 (Winter 2009, ch. 3).
#[test]
fn two_passes_keep_the_cutoff() {
    let filter = Butterworth::low_pass_two_passes(6.0, 60.0).expect("below Nyquist");
    let wave = |i: usize| (std::f64::consts::TAU * 6.0 * i as f64 / 60.0).sin();
    let mut values: Vec<f64> = (0..1200).map(wave).collect();
    filter.both_ways(&mut values);
    let middle = &values[300..900];
    let gain = (middle.iter().map(|v| v * v).sum::<f64>() / 300.0).sqrt();
    close(gain, 0.5f64.sqrt(), 1e-3, "gain at the cutoff");
}

/// cv2.projectPoints without distortion; its camera looks along +z with y down.
#[test]
fn pinhole() {
    let data = data();
    let reference = &data["pinhole_projection"];
    let number = |i: usize| list(&reference["K"])[i];
    let turn = list(&reference["rvec"])[0];
    let shift = list(&reference["tvec"]);
    // Only a turn about x: camera = R world + t, so the place is -R^T t.
    let (s, c) = turn.sin_cos();
    let row = [DVec3::X, DVec3::new(0.0, c, -s), DVec3::new(0.0, s, c)];
    let t = DVec3::new(shift[0], shift[1], shift[2]);
    let camera = Camera {
        place: -(row[0] * t.x + row[1] * t.y + row[2] * t.z),
        right: row[0],
        up: -row[1],
        forward: row[2],
        focal: number(0),
        centre: DVec2::new(number(2), number(5)),
    };
    let object = reference["object_points"].as_array().expect("points");
    let image = reference["image_points"].as_array().expect("points");
    for (object, image) in object.iter().zip(image) {
        let (o, i) = (list(object), list(image));
        let point = DVec3::new(o[0], o[1], o[2]);
        let at = camera.project(point).expect("in front");
        close(at.x, i[0], 1e-6, "u");
        close(at.y, i[1], 1e-6, "v");
        // The slopes are those of the projection.
        let (same, du, dv) = camera.project_with_slope(point).expect("in front");
        assert!(same.distance(at) < 1e-9);
        for axis in [DVec3::X, DVec3::Y, DVec3::Z] {
            let moved = camera.project(point + axis * 1e-6).expect("in front");
            close(du.dot(axis), (moved.x - at.x) * 1e6, 1e-2, "du");
            close(dv.dot(axis), (moved.y - at.y) * 1e6, 1e-2, "dv");
        }
        let back = camera.place + camera.ray(at) * point.distance(camera.place);
        assert!(back.distance(point) < 1e-9, "the ray leads back");
    }
}

/// de Leva's table on a worked sagittal pose, both limbs alike.
#[test]
fn centre_of_mass() {
    let data = data();
    let reference = &data["com_de_leva"];
    let pose = &reference["pose_sagittal_m"];
    let segments: [(&str, Segment); 8] = [
        ("head", com::HEAD_TO_NECK),
        ("trunk", com::TRUNK_FROM_NECK),
        ("upper_arm", com::UPPER_ARM),
        ("forearm", com::FOREARM),
        ("hand", com::HAND),
        ("thigh", com::THIGH),
        ("shank", com::SHANK),
        ("foot", com::FOOT),
    ];
    for (sex, name) in [(Sex::Man, "male"), (Sex::Woman, "female")] {
        let mut balance = Balance::new(sex);
        for (segment, row) in &segments {
            let end = |i: usize| {
                let point = list(&pose[reference["ends"][segment][i].as_str().expect("a name")]);
                DVec3::new(point[0], point[1], 0.0)
            };
            let count = reference[name]["segments"][segment]["count"].as_u64();
            for _ in 0..count.expect("a count") {
                balance.add(row, end(0), end(1));
            }
        }
        let mine = balance.centre().expect("mass");
        let theirs = list(&reference[name]["com"]);
        close(mine.x, theirs[0], 1e-9, name);
        close(mine.y, theirs[1], 1e-9, name);
    }
}

/// Statics: a beam on two supports.
#[test]
fn lever_rule() {
    for case in data()["lever_rule"].as_array().expect("cases") {
        let get = |k: &str| case[k].as_f64().expect("a number");
        let mine = com::left_share(get("x_com"), get("x_left"), get("x_right"));
        close(mine.expect("apart"), get("left_share"), 1e-12, "left share");
    }
    assert_eq!(com::left_share(0.1, 0.2, 0.2), None);
}
