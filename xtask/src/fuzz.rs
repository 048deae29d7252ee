//! `cargo xtask fuzz [--seconds N] [--seed N] [--pushes N]`: hostile frames, set-ups and files through the core,
//! from a seed, until the time is over. Whatever goes in, nothing panics and nothing impossible comes out.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};
use underfoot::keypoints::{ImageSize, Layout, Person, RawFrame, Recording, Setup, read_recording};
use underfoot::report::{Report, Verdict};
use underfoot::{Options, Session, analyze};

use crate::json::{self, Json};
use crate::paths;

/// A generator of Sebastiano Vigna's, splitmix64: a few lines, the same on every machine.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    /// From 0 to 1.
    fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn chance(&mut self, part: f64) -> bool {
        self.part() < part
    }

    /// About a normal number.
    fn noise(&mut self) -> f64 {
        (0..4).map(|_| self.part() - 0.5).sum::<f64>() * 1.7
    }

    fn odd(&mut self) -> f64 {
        let odd = [
            f64::NAN,
            f64::INFINITY,
            -1e308,
            1e308,
            0.0,
            -0.0,
            5e-324,
            -1.0,
            1e9,
            0.5,
        ];
        odd[self.below(odd.len())]
    }
}

/// What has been tried so far.
#[derive(Default)]
struct Tried {
    pushes: u64,
    refused: u64,
    reports: u64,
    files: u64,
    read: u64,
}

/// Runs until the time, or the number of pushes, is over.
pub fn main(args: Vec<String>) -> Result<()> {
    use lexopt::prelude::*;
    let (mut seconds, mut seed, mut most) = (60, 1, u64::MAX);
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("seconds") => seconds = parser.value()?.parse()?,
            Long("seed") => seed = parser.value()?.parse()?,
            Long("pushes") => most = parser.value()?.parse()?,
            other => return Err(other.unexpected().into()),
        }
    }
    let bases = bases()?;
    let (start, limit) = (Instant::now(), Duration::from_secs(seconds));
    let mut tried = Tried::default();
    let mut case = seed;
    while start.elapsed() < limit && tried.pushes < most {
        let mut draw = Draw(case);
        let base = &bases[draw.below(bases.len())];
        let done = catch_unwind(AssertUnwindSafe(|| match draw.below(4) {
            0 => file(&mut draw, base, &mut tried),
            _ => session(&mut draw, &base.recording, &mut tried),
        }));
        match done {
            Ok(Ok(())) => {}
            Ok(Err(e)) => bail!("case {case}: {e:#}"),
            Err(_) => bail!("case {case}: a panic; see above"),
        }
        case += 1;
    }
    // Files that are all refused try the refusal alone.
    if tried.files > 100 && tried.read * 5 < tried.files {
        bail!("only {} of {} files were read", tried.read, tried.files);
    }
    println!(
        "{} cases from seed {seed} in {:.0} s: {} pushes ({} refused), {} files ({} read), {} reports; no panic, nothing impossible",
        case - seed,
        start.elapsed().as_secs_f64(),
        tried.pushes,
        tried.refused,
        tried.files,
        tried.read,
        tried.reports,
    );
    Ok(())
}

/// A recording of the project.
struct Base {
    /// Its text up to the first frame, and each frame's.
    head: String,
    frames: Vec<String>,
    recording: Recording,
}

/// The project's recordings, as text and read.
fn bases() -> Result<Vec<Base>> {
    let folder = paths::root().join("tests/data/recordings");
    let mut out = Vec::new();
    for entry in fs::read_dir(&folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.extension().is_some_and(|e| e == "gz") {
            let mut tree = json::parse(fs::read(&path)?).map_err(anyhow::Error::msg)?;
            let recording = read_recording(&Json(&tree))?;
            let frames = tree["frames"].take();
            let frames = frames.as_array().map_or(&[][..], Vec::as_slice);
            let frames = frames.iter().map(ToString::to_string).collect();
            // What comes before the frames is kept whole when they are cut off.
            tree.as_object_mut().map(|o| o.remove("frames"));
            let head = tree.to_string();
            let head = format!("{},\"frames\":[", head.trim_end_matches('}'));
            out.push(Base {
                head,
                frames,
                recording,
            });
        }
    }
    if out.is_empty() {
        bail!("{}: no recording", folder.display());
    }
    Ok(out)
}

/// One session: frames of a recording, cut, bent and spoilt.
fn session(draw: &mut Draw, base: &Recording, tried: &mut Tried) -> Result<()> {
    let setup = setup(draw, &base.setup);
    let fitting = setup.layout.count() == base.setup.layout.count();
    let mut session = Session::new(setup.clone(), Options::default());
    let (rate, spoilt) = (draw.part() * 2.5 + 0.2, draw.part().powi(3));
    let (turn, scale, shift) = (
        draw.noise() * 2.0,
        0.2 + 2.0 * draw.part(),
        draw.noise() * 300.0,
    );
    let wander = if draw.chance(0.3) {
        draw.part() * 30.0
    } else {
        0.0
    };
    let loops = 1 + draw.below(3);
    let turned = draw.chance(0.3);
    let mut t_ms = draw.noise() * 1e4;
    let count = base.frames.len() * loops;
    let from = draw.below(base.frames.len());
    for i in 0..count {
        let frame: &RawFrame = &base.frames[(from + i) % base.frames.len()];
        t_ms += 33.0 * rate * (0.5 + draw.part());
        if draw.chance(0.02 * spoilt) {
            t_ms += [5e3, -50.0, 0.0, f64::NAN][draw.below(4)];
        }
        let mut people: Vec<Person> = if fitting {
            frame.people.clone()
        } else {
            vec![
                (0..setup.layout.count())
                    .map(|_| [draw.part() * 700.0, draw.part() * 700.0, 0.9])
                    .collect(),
            ]
        };
        for point in people.iter_mut().flatten() {
            if turned {
                let (sin, cos) = turn.sin_cos();
                (point[0], point[1]) = (
                    point[0] * cos - point[1] * sin,
                    point[0] * sin + point[1] * cos,
                );
            }
            point[0] = point[0] * scale + shift + wander * draw.noise();
            point[1] = point[1] * scale + shift + wander * draw.noise();
            if draw.chance(0.1 * spoilt) {
                point[draw.below(3)] = draw.odd();
            }
        }
        if draw.chance(0.2 * spoilt) {
            people.clear();
        }
        if draw.chance(0.05 * spoilt)
            && let Some(first) = people.first_mut()
        {
            first.truncate(draw.below(40));
        }
        tried.pushes += 1;
        match session.push(t_ms, &people) {
            Ok(_) => {
                let _ = session.values();
            }
            Err(_) => tried.refused += 1,
        }
        if !t_ms.is_finite() {
            t_ms = i as f64 * 33.0;
        }
    }
    tried.reports += 1;
    sane(&session.report_with(draw.chance(0.2)))
}

fn setup(draw: &mut Draw, base: &Setup) -> Setup {
    let mut setup = base.clone();
    if draw.chance(0.2) {
        let name = Layout::NAMES[draw.below(Layout::NAMES.len())];
        if let Some(layout) = Layout::named(name) {
            setup.layout = layout;
        }
    }
    if draw.chance(0.2) {
        setup.image = ImageSize {
            width: 1.0 + draw.part() * 4000.0,
            height: 1.0 + draw.part() * 4000.0,
        };
    }
    if draw.chance(0.2) {
        setup.camera.hfov_deg = Some(5.0 + 165.0 * draw.part());
        setup.camera.pitch_deg = Some(180.0 * draw.part() - 90.0);
        setup.camera.roll_deg = Some(360.0 * draw.part() - 180.0);
    }
    setup.camera.mirrored = draw.chance(0.2);
    if draw.chance(0.3) {
        setup.lifter.height_m = Some(0.8 + 1.8 * draw.part());
    }
    setup
}

/// What may stand in the place of a value.
const ODD: [&[u8]; 8] = [
    b"NaN",
    b"-1e999",
    b"null",
    b"{}",
    b"[]",
    b"\"\\u0000\"",
    b"1e-300",
    b"1e308",
];

/// A file of some of a recording's frames, with a few bytes changed, cut, doubled or moved.
fn file(draw: &mut Draw, base: &Base, tried: &mut Tried) -> Result<()> {
    let (from, step) = (draw.below(base.frames.len()), 1 + draw.below(4));
    let most = 20 + draw.below(300);
    let some: Vec<&str> = (base.frames.iter().skip(from))
        .step_by(step)
        .take(most)
        .map(String::as_str)
        .collect();
    let mut text = format!("{}{}]}}", base.head, some.join(",")).into_bytes();
    for _ in 0..draw.below(6) {
        let at = draw.below(text.len());
        // Most of the time a number gives way to another: what is still JSON gets further.
        match draw.below(15) {
            0 => text[at] = draw.next() as u8,
            1 => text.truncate(at + 1),
            2 => {
                let piece: Vec<u8> = text[at..(at + draw.below(80)).min(text.len())].to_vec();
                let to = draw.below(text.len());
                text.splice(to..to, piece);
            }
            3 => {
                let to = (at + draw.below(40)).min(text.len());
                text.drain(at..to);
            }
            4 => {
                let odd = ODD[draw.below(ODD.len())].iter().copied();
                text.splice(at..at, odd);
            }
            _ => {
                let digit = |b: &u8| b.is_ascii_digit() || matches!(b, b'.' | b'-');
                let Some(from) = text[at..].iter().position(digit).map(|k| at + k) else {
                    continue;
                };
                let from = from - text[..from].iter().rev().take_while(|b| digit(b)).count();
                let to = from + text[from..].iter().take_while(|b| digit(b)).count();
                let number = match draw.below(3) {
                    0 => ODD[draw.below(ODD.len())].to_vec(),
                    _ => format!("{:.1}", draw.noise() * 1000.0).into_bytes(),
                };
                text.splice(from..to, number);
            }
        }
        if text.is_empty() {
            return Ok(());
        }
    }
    tried.files += 1;
    let Ok(tree) = json::parse(text) else {
        return Ok(());
    };
    let Ok(recording) = read_recording(&Json(&tree)) else {
        return Ok(());
    };
    tried.read += 1;
    if let Ok(report) = analyze(&recording, &Options::default()) {
        tried.reports += 1;
        sane(&report)?;
    }
    Ok(())
}

/// Nothing that can't be.
fn sane(report: &Report) -> Result<()> {
    let text = serde_json::to_string(report)?;
    // JSON has no number that is none: serde writes null, which a report has only where it says so.
    if text.contains("NaN") || text.contains("inf,") {
        bail!("a number that is none");
    }
    if let Some(view) = &report.view
        && !(view.azimuth_deg.abs() <= 180.0 && view.distance_m > 0.0)
    {
        bail!("view {view:?}");
    }
    let mut end = f64::NEG_INFINITY;
    for rep in &report.reps {
        let order = [end, rep.start_ms, rep.bottom_ms, rep.end_ms];
        if !order.is_sorted() {
            bail!("repetition {} out of order: {order:?}", rep.index);
        }
        end = rep.end_ms;
        for (k, mark) in rep.checks.0.iter().enumerate() {
            let fits = mark.value.is_none_or(|v| {
                let most = match k {
                    7 => 0.0..=100.0,
                    0 | 1 => -250.0..=250.0,
                    _ => -1e3..=1e3,
                };
                most.contains(&v)
            });
            let seen = mark.verdict == Verdict::Unseen
                || mark.value.is_some() && mark.sd.is_some_and(|s| s > 0.0 && s.is_finite());
            if !fits || !seen {
                bail!("repetition {}, channel {k}: {mark:?}", rep.index);
            }
        }
    }
    Ok(())
}
