//! The command line of `analyze`: reports in order, and every bad input refused in one line.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::{Value, json};

/// A folder of its own for each test.
fn folder(name: &str) -> PathBuf {
    let dir = std::env::temp_dir().join(format!("underfoot-analyze-{name}-{}", std::process::id()));
    fs::create_dir_all(&dir).unwrap();
    dir
}

fn analyze(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_xtask"));
    command.arg("analyze").args(args).output().unwrap()
}

/// Ten frames of nobody moving, in the form of 17 points.
fn recording() -> Value {
    let points: Vec<_> = (0..17).map(|i| json!([100 + i, 200 + i, 0.9])).collect();
    let frames: Vec<_> = (0..10)
        .map(|i| json!({"t_ms": 33 * i, "points": points}))
        .collect();
    json!({"layout": "coco-17", "image": {"width": 640, "height": 480}, "frames": frames})
}

/// What `analyze` says about this text; checks that it gives no report, one line and status 2.
fn refusal(name: &str, text: &[u8]) -> String {
    let dir = folder(name);
    let file = dir.join("recording.json");
    fs::write(&file, text).unwrap();
    let out = analyze(&[file.to_str().unwrap()]);
    fs::remove_dir_all(dir).unwrap();
    assert_eq!(out.status.code(), Some(2), "{name}");
    assert!(out.stdout.is_empty(), "{name}");
    let error = String::from_utf8(out.stderr).unwrap();
    assert_eq!(error.matches('\n').count(), 1, "{error}");
    error.trim_end().to_owned()
}

#[test]
fn one_report_a_line_in_the_order_of_the_files() {
    let dir = folder("order");
    let file = |name: &str, value: &Value| {
        let path = dir.join(name);
        fs::write(&path, value.to_string()).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let long = file("long.json", &recording());
    let mut short = recording();
    short["frames"].as_array_mut().unwrap().truncate(3);
    let short = file("short.json", &short);
    let out = analyze(&["--series", &long, &short, &long]);
    assert_eq!(
        out.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let text = String::from_utf8(out.stdout).unwrap();
    let reports: Vec<Value> = text
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    let lengths: Vec<_> = reports
        .iter()
        .map(|r| r["series"]["t_ms"].as_array().map(Vec::len))
        .collect();
    assert_eq!(lengths, [Some(10), Some(3), Some(10)]);
    assert_eq!(reports[0], reports[2]);
    assert!(reports.iter().all(|r| r["schema"] == 1));
    // Without --series there are no curves.
    let out = analyze(&[&long]);
    let report: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert!(report.get("series").is_none());
    fs::remove_dir_all(dir).unwrap();
}

#[test]
fn bad_fields_are_named() {
    let changed = |change: &dyn Fn(&mut Value)| {
        let mut value = recording();
        change(&mut value);
        value.to_string()
    };
    let far = recording()
        .to_string()
        .replacen("[103,203,0.9]", "[Infinity,203,0.9]", 1);
    let huge = recording()
        .to_string()
        .replacen("[104,204,0.9]", "[104,-1e999,0.9]", 1);
    for (name, text, expected) in [
        (
            "infinite",
            far,
            "frames[0].points[3].x: not a finite number",
        ),
        ("huge", huge, "frames[0].points[4].y: not a finite number"),
        (
            "count",
            changed(&|r| r["frames"][4]["points"] = json!([[1, 2, 1]])),
            "frames[4].points: ",
        ),
        (
            "back",
            changed(&|r| r["frames"][7]["t_ms"] = json!(1)),
            "frames[7].t_ms: ",
        ),
        (
            "text",
            changed(&|r| r["frames"][2]["t_ms"] = json!("soon")),
            "frames[2].t_ms: ",
        ),
        (
            "size",
            changed(&|r| r["image"] = json!({"width": 640})),
            "image.height: ",
        ),
        ("none", changed(&|r| r["frames"] = json!([])), "frames: "),
        (
            "layout",
            changed(&|r| r["layout"] = json!("feet-9")),
            "layout: ",
        ),
        ("list", "[]".into(), "recording: "),
    ] {
        let error = refusal(name, text.as_bytes());
        assert!(error.starts_with(expected), "{name}: {error}");
    }
}

#[test]
fn what_is_no_recording_is_refused() {
    let cut = recording().to_string();
    for (name, bytes) in [
        ("empty", &b""[..]),
        ("cut", &cut.as_bytes()[..cut.len() / 2]),
        ("binary", &[0, 159, 146, 150][..]),
        ("gzip", &[0x1f, 0x8b, 8, 0, 0][..]),
    ] {
        assert!(refusal(name, bytes).starts_with("recording: "), "{name}");
    }
    let out = analyze(&["no-such-file.json"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&out.stderr).starts_with("no-such-file.json: cannot be read"));
    for args in [&[][..], &["--serie", "x"]] {
        assert_eq!(analyze(args).status.code(), Some(2));
    }
}

#[test]
fn reports_before_a_bad_file_are_kept() {
    let dir = folder("kept");
    let (good, bad) = (dir.join("good.json"), dir.join("bad.json"));
    fs::write(&good, recording().to_string()).unwrap();
    fs::write(&bad, "{}").unwrap();
    let (good, bad) = (good.to_str().unwrap(), bad.to_str().unwrap());
    let out = analyze(&[good, bad, good]);
    assert_eq!(out.status.code(), Some(2));
    assert_eq!(String::from_utf8(out.stdout).unwrap().lines().count(), 1);
    let error = String::from_utf8(out.stderr).unwrap();
    assert!(error.starts_with(&format!("{bad}: ")), "{error}");
    fs::remove_dir_all(dir).unwrap();
}

/// A standard error of next to nothing would outweigh everything else, and its square is 0.
#[test]
fn an_error_too_small_to_be_meant_is_refused() {
    for sd in [1e-300, 0.0, -1.0] {
        let mut value = recording();
        value["frames"][3]["feet"] = json!({"left": {"heel_lift_mm": [5.0, sd]}});
        let error = refusal("tiny", value.to_string().as_bytes());
        let field = "frames[3].feet.left.heel_lift_mm: ";
        assert!(error.starts_with(field), "{sd}: {error}");
    }
}

/// What a stranger's file names goes to a terminal: in short, and nothing that steers it.
#[test]
fn names_from_a_file_are_told_in_short_and_steer_no_terminal() {
    let long = "n".repeat(1_000_000);
    let codes = "\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\u{202e}";
    for name in [long.as_str(), codes] {
        for change in [
            json!({"layout": name}),
            json!({"layout": {"count": 17, "joints": {name: 3}}}),
            json!({"footwear": name}),
            json!({"load": {"carry": name}}),
        ] {
            let mut value = recording();
            let fields = change.as_object().unwrap().clone();
            value.as_object_mut().unwrap().extend(fields);
            let error = refusal("names", value.to_string().as_bytes());
            assert!(error.len() < 1000, "{} bytes", error.len());
            let steers = |c: char| c.is_control() || c == '\u{202e}';
            assert!(!error.contains(steers), "{error:?}");
        }
        // A field that is not known is told in the report.
        let mut value = recording();
        value[name] = json!(1);
        let dir = folder("unknown");
        let file = dir.join("recording.json");
        fs::write(&file, value.to_string()).unwrap();
        let out = analyze(&[file.to_str().unwrap()]);
        fs::remove_dir_all(dir).unwrap();
        let report = String::from_utf8(out.stdout).unwrap();
        assert!(report.len() < 20_000 && !report.contains('\u{202e}'));
        assert!(!report.trim_end().contains(char::is_control), "{report}");
        assert!(report.contains("unknown-fields"), "{report}");
    }
}

/// 250 MB out of a quarter of one, and 95 million numbers in 190 MB: refused with less than 1.5 GB at hand.
#[cfg(target_os = "linux")]
#[test]
fn what_a_small_file_unpacks_to_is_bounded() {
    let dir = folder("unpacked");
    for (name, piece, times) in [("blank", " ", 250_000_000), ("numbers", "0,", 95_000_000)] {
        let file = dir.join(name);
        let out = fs::File::create(&file).unwrap();
        let mut zip = flate2::write::GzEncoder::new(out, flate2::Compression::fast());
        let block = piece.repeat(1_000_000);
        for _ in 0..times / 1_000_000 {
            std::io::Write::write_all(&mut zip, block.as_bytes()).unwrap();
        }
        zip.finish().unwrap();
        let run = format!(
            "ulimit -v 1500000; exec {} analyze {}",
            env!("CARGO_BIN_EXE_xtask"),
            file.display()
        );
        let out = Command::new("sh").args(["-c", &run]).output().unwrap();
        let error = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{name}: {error}");
        assert!(error.contains("recording: more than"), "{name}: {error}");
    }
    fs::remove_dir_all(dir).unwrap();
}
