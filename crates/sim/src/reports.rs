//! `reports`: the core's reports of many recordings, a line each, to compare before and after a change
//! that must not change them.

use serde_json::{Value, json};
use std::fmt::Write as _;
use underfoot::keypoints::Recording;
use underfoot::picture::Picture;
use underfoot::{Options, Session};
use underfoot_sim::film::Filming;
use underfoot_sim::rng::Draw;
use underfoot_sim::sets::{Beside, Phone, film_with};
use underfoot_sim::{Camera, View, clips, prmd};

pub fn main(args: &[String]) -> Result<(), String> {
    use lexopt::Arg::Long;
    use lexopt::ValueExt;
    let (mut sets, mut seed, mut out, mut against) = (200, 1, None, None);
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        let own = match arg {
            Long(name) => name.to_owned(),
            _ => return Err(arg.unexpected().to_string()),
        };
        let value = parser.value().map_err(fail)?;
        match own.as_str() {
            "sets" => sets = value.parse().map_err(fail)?,
            "seed" => seed = value.parse().map_err(fail)?,
            "out" => out = Some(value),
            "against" => against = Some(value),
            other => return Err(format!("no option --{other}")),
        }
    }
    let lines = lines(seed, sets)?;
    if let Some(out) = out {
        std::fs::write(&out, lines.join("\n") + "\n").map_err(|e| e.to_string())?;
    }
    let Some(against) = against else {
        return Ok(());
    };
    let before = std::fs::read_to_string(&against).map_err(|e| e.to_string())?;
    let before: Vec<&str> = before.lines().collect();
    if before.len() != lines.len() {
        return Err(format!("{} reports, there {}", lines.len(), before.len()));
    }
    let (mut same, mut other, mut largest) = (0, 0, (0.0, String::new()));
    for (was, is) in before.iter().zip(&lines) {
        if was == is {
            same += 1;
            continue;
        }
        let [was, is]: [Value; 2] =
            [*was, is].map(|text| serde_json::from_str(text).unwrap_or_default());
        let name = is["name"].as_str().unwrap_or_default();
        let mut found = Difference::default();
        found.walk(&was, &is, name);
        if let Some(words) = found.words {
            other += 1;
            println!("{words}");
        }
        if found.largest.0 > largest.0 {
            largest = found.largest;
        }
    }
    println!(
        "{} reports: {same} identical to the byte, {other} differ beside numbers; largest relative difference of a number {:.1e} {}",
        lines.len(),
        largest.0,
        largest.1
    );
    Ok(())
}

/// What differs between two reports.
#[derive(Default)]
struct Difference {
    /// The first that is no number.
    words: Option<String>,
    /// Of numbers, relative to the larger one or to 1; and where.
    largest: (f64, String),
}

impl Difference {
    fn walk(&mut self, was: &Value, is: &Value, at: &str) {
        match (was, is) {
            (Value::Number(a), Value::Number(b)) => {
                let (a, b) = (a.as_f64().unwrap_or(0.0), b.as_f64().unwrap_or(0.0));
                let off = (a - b).abs() / a.abs().max(b.abs()).max(1.0);
                if off > self.largest.0 {
                    self.largest = (off, format!("{at}: {a} {b}"));
                }
            }
            (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
                for (i, (a, b)) in a.iter().zip(b).enumerate() {
                    self.walk(a, b, &format!("{at}[{i}]"));
                }
            }
            (Value::Object(a), Value::Object(b)) => {
                for (key, b) in b {
                    self.walk(
                        a.get(key).unwrap_or(&Value::Null),
                        b,
                        &format!("{at}.{key}"),
                    );
                }
            }
            _ if was == is => (),
            _ => {
                let mut words = format!("{at}: {was}");
                words.truncate(160);
                let _ = write!(words, " is now {is}");
                self.words.get_or_insert(words);
            }
        }
    }
}

/// Simulated sets, every other one with faults; real squats from five bearings and three heights, and
/// their shins; rendered clips with a real estimator's points.
fn lines(seed: u64, sets: u64) -> Result<Vec<String>, String> {
    let phones = [Phone::Stand, Phone::Floor, Phone::Shelf];
    let mut jobs: Vec<Box<dyn Fn() -> Result<String, String> + Sync>> = Vec::new();
    for n in seed..seed + sets {
        let beside = Beside {
            faults: n % 2 == 0,
            phone: phones[n as usize % 3],
        };
        jobs.push(Box::new(move || {
            Ok(line(&format!("set {n}"), &film_with(n, beside).1.recording))
        }));
    }
    for (k, set) in prmd::all()?.iter().enumerate() {
        for (v, view) in View::NAMED.into_iter().enumerate() {
            for phone in phones.map(Some).into_iter().chain([None]) {
                jobs.push(Box::new(move || {
                    let mut draw = Draw::new(1 + (10 * v + k) as u64);
                    let camera = match phone {
                        Some(phone) => Camera::at_height(&mut draw, view, phone.height()),
                        None => Camera::random(&mut draw, view),
                    };
                    let mut filming =
                        Filming::standard(camera, "blazepose-33").ok_or("no such layout")?;
                    if phone.is_none() {
                        filming.crop_above = Some(0.40 * set.height());
                    }
                    let film = set.film(&filming, 2.0, &mut draw);
                    let what = phone.map_or_else(|| "shins".into(), |p| format!("{p:?}"));
                    let name = format!("{} {} {what}", set.name, view.name());
                    Ok(line(&name, &film.recording))
                }));
            }
        }
    }
    for name in clips::NAMES {
        jobs.push(Box::new(move || {
            Ok(line(name, &clips::load(name, false)?.recording))
        }));
    }
    // Two threads: every second one each.
    let half = |part: usize| -> Vec<_> { jobs.iter().skip(part).step_by(2).map(|j| j()).collect() };
    let (even, odd) = std::thread::scope(|scope| {
        let odd = scope.spawn(|| half(1));
        (half(0), odd.join().unwrap_or_default())
    });
    let mut odd = odd.into_iter();
    even.into_iter()
        .flat_map(|line| [Some(line), odd.next()])
        .flatten()
        .collect()
}

/// What is told live, and the report.
fn line(name: &str, recording: &Recording) -> String {
    let mut session = Session::new(recording.setup.clone(), Options::default());
    let mut live = Vec::new();
    let mut before = 0;
    for frame in &recording.frames {
        let feet = frame.feet.map(Picture::Tracked);
        match session.push_with(frame.t_ms, &frame.people, feet.as_ref()) {
            Ok(now) if now.finished.is_some() || now.reps != before => {
                before = now.reps;
                live.push(json!([frame.t_ms, now.reps, now.finished]));
            }
            Ok(_) => (),
            Err(e) => return json!({ "name": name, "error": e.to_string() }).to_string(),
        }
    }
    json!({ "name": name, "live": live, "report": session.report() }).to_string()
}
