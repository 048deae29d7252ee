//! What a coach would say of whole recordings: one simulated set or rendered clip a row, with the
//! finding, its foot, the cue and the foot the cue is for. Common practice, no source: the
//! expectations are the trade's rules, as the docs of `findings` and `cue` state them.
//! `cargo test -p underfoot-sim --test situations -- --nocapture` prints the table.

use underfoot::Options;
use underfoot::report::Report;
use underfoot::thresholds::{Lines, Thresholds};
use underfoot_sim::film::{Film, Filming};
use underfoot_sim::rng::Draw;
use underfoot_sim::{Camera, Fault, Kind, Lifter, SetSpec, Shape, View, clips};

/// A set to be filmed and what is to be said of it.
struct Row {
    name: &'static str,
    view: View,
    reps: usize,
    faults: Vec<Fault>,
    layout: &'static str,
    /// Only what is below this height is in the picture, m.
    crop: Option<f64>,
    options: Options,
    /// `finding foot | cue foot`
    expected: &'static str,
}

fn row(name: &'static str, view: View, faults: Vec<Fault>, expected: &'static str) -> Row {
    Row {
        name,
        view,
        reps: 4,
        faults,
        layout: "halpe-26",
        crop: None,
        options: Options::default(),
        expected,
    }
}

fn heels(left: f64, right: f64) -> Fault {
    Fault::steady(Kind::HeelLift([left, right]))
}

fn knees(left: f64, right: f64) -> Fault {
    Fault::steady(Kind::KneeIn([left, right]))
}

fn rolls(left: f64, right: f64) -> Fault {
    Fault::steady(Kind::Roll([left, right]))
}

fn shift(mm: f64) -> Fault {
    Fault::steady(Kind::Shift(mm))
}

const NONE: &str = "none - | keep -";
/// A clean lifter whose knees come within a degree or two of the line may be left open.
const FINE: &str = "none - | keep -, not-enough-seen - | film-again -";
const INWARD: &str = "inward both | stretch-the-mat both";
const FORWARD: &str = "forward both | heel-print both";
const OUTWARD: &str = "outward both | toe-print both";
const BOTH: &str = "forward-inward both | heel-print-and-stretch both";

#[rustfmt::skip] // a table
fn rows() -> Vec<Row> {
    use View::{Front, Oblique, Rear, RearOblique, Side, Wide};
    let strict = Options {
        thresholds: Thresholds::default().with("knee_in_deg", Lines { low: None, high: Some(-3.0) }).expect("valid"),
        ..Options::default()
    };
    let hurts = Options { hurts: true, ..Options::default() };
    vec![
        row("clean", Front, vec![], FINE),
        row("clean", Oblique, vec![], FINE),
        row("clean", Wide, vec![], FINE),
        row("clean", Side, vec![], FINE),
        row("clean", Rear, vec![], FINE),
        row("clean", RearOblique, vec![], FINE),
        Row { reps: 8, ..row("clean, eight repetitions", Front, vec![], FINE) },
        Row { layout: "blazepose-33", ..row("clean, other points", Front, vec![], FINE) },
        row("both heels up", Wide, vec![heels(48.0, 48.0)], FORWARD),
        row("both heels up", Side, vec![heels(48.0, 48.0)], FORWARD),
        row("both heels up from early on", Side, vec![heels(48.0, 48.0).shaped(Shape::Throughout)], FORWARD),
        Row { reps: 6, ..row("heels rise more and more", Side, vec![heels(60.0, 60.0).growing(0.1)], FORWARD) },
        Row { reps: 6, ..row("heels up on the last two of six", Side, vec![heels(48.0, 48.0).only(&[4, 5])], FORWARD) },
        row("both knees in", Front, vec![knees(22.0, 22.0)], INWARD),
        row("both knees in", Oblique, vec![knees(22.0, 22.0)], INWARD),
        row("both knees in", RearOblique, vec![knees(22.0, 22.0)], INWARD),
        row("both knees in", Rear, vec![knees(22.0, 22.0)], INWARD),
        row("left knee in", Front, vec![knees(22.0, 0.0)], "inward left | stretch-the-mat left"),
        row("right knee in", Front, vec![knees(0.0, 22.0)], "inward right | stretch-the-mat right"),
        row("left knee in", Rear, vec![knees(22.0, 0.0)], "inward left | stretch-the-mat left"),
        row("right knee in", Rear, vec![knees(0.0, 22.0)], "inward right | stretch-the-mat right"),
        row("both knees in on the way up", Front, vec![knees(26.0, 26.0).shaped(Shape::Ascent)], INWARD),
        row("both knees in on the way down", Front, vec![knees(26.0, 26.0).shaped(Shape::Descent)], INWARD),
        Row { reps: 6, ..row("knees come in more and more", Front, vec![knees(26.0, 26.0).growing(0.2)], INWARD) },
        Row { reps: 6, ..row("knees in on three of six", Front, vec![knees(24.0, 24.0).only(&[1, 3, 5])], INWARD) },
        Row { reps: 1, ..row("one repetition, knees in", Front, vec![knees(24.0, 24.0)], INWARD) },
        Row { layout: "blazepose-33", ..row("both knees in, other points", Front, vec![knees(24.0, 24.0)], INWARD) },
        Row { layout: "body-25", ..row("both knees in, other points", Front, vec![knees(24.0, 24.0)], INWARD) },
        Row { crop: Some(0.7), ..row("both knees in, feet and shins only", Front, vec![knees(24.0, 24.0)], INWARD) },
        row("knees too wide", Front, vec![knees(-19.0, -19.0)], OUTWARD),
        row("knees too wide", Rear, vec![knees(-19.0, -19.0)], OUTWARD),
        row("knees too wide", Oblique, vec![knees(-19.0, -19.0)], OUTWARD),
        row("both feet rolled out", Front, vec![rolls(-19.0, -19.0)], OUTWARD),
        row("both feet rolled out", Rear, vec![rolls(-19.0, -19.0)], OUTWARD),
        row("left foot rolled in", Front, vec![rolls(19.0, 0.0)], "inward left | stretch-the-mat left"),
        row("right foot rolled in", Front, vec![rolls(0.0, 19.0)], "inward right | stretch-the-mat right"),
        row("left foot rolled out", Front, vec![rolls(-19.0, 0.0)], "outward left | toe-print left"),
        row("shifted to the left", Front, vec![shift(85.0)], "sideways left | tape-line left"),
        row("shifted to the right", Front, vec![shift(-85.0)], "sideways right | tape-line right"),
        row("shifted to the left", Rear, vec![shift(85.0)], "sideways left | tape-line left"),
        row("shifted to the right", Rear, vec![shift(-85.0)], "sideways right | tape-line right"),
        row("left foot out and carrying, the right in", Front, vec![rolls(-17.0, 17.0), shift(75.0)], "sideways left | carrying-toe-print left"),
        row("right foot out and carrying, the left in", Front, vec![rolls(17.0, -17.0), shift(-75.0)], "sideways right | carrying-toe-print right"),
        row("left foot out and carrying, the right in", Rear, vec![rolls(-17.0, 17.0), shift(75.0)], "sideways left | carrying-toe-print left"),
        row("heels up and knees in", Oblique, vec![heels(50.0, 50.0), knees(23.0, 23.0)], BOTH),
        row("heels up and knees in", RearOblique, vec![heels(50.0, 50.0), knees(23.0, 23.0)], BOTH),
        Row { options: hurts, ..row("knees in, and something hurts", Front, vec![knees(22.0, 22.0)], "inward both | stop -") },
        Row { options: strict, ..row("knees hardly in, by a coach's strict line", Front, vec![knees(13.0, 13.0)], INWARD) },
        Row { layout: "coco-17", ..row("no foot points, from the side", Side, vec![], "not-enough-seen - | film-again -") },
    ]
}

fn film(row: &Row, seed: u64) -> Film {
    let mut draw = Draw::new(seed);
    let lifter = Lifter::random(&mut draw);
    let camera = Camera::random(&mut draw, row.view);
    let spec = SetSpec {
        reps: row.reps,
        ..SetSpec::with(row.faults.clone())
    }
    .random_tempo(&mut draw);
    let scene = spec.scene(lifter, &mut draw);
    let mut filming = Filming::standard(camera, row.layout).expect("a layout");
    filming.crop_above = row.crop;
    Film::new(&scene, &filming, &mut draw)
}

fn said(report: &Report) -> String {
    let (finding, cue) = (&report.finding, &report.cue);
    let side = |s: Option<&'static str>| s.unwrap_or("-");
    format!(
        "{} {} | {} {}",
        finding.kind.name(),
        side(finding.side),
        cue.id,
        side(cue.side)
    )
}

#[test]
fn whole_recordings_are_told_as_a_coach_would() {
    let (mut wrong, mut fine) = (Vec::new(), 0);
    let rows = rows();
    for (i, row) in rows.iter().enumerate() {
        let film = film(row, 4_000 + i as u64);
        let report = underfoot::analyze(&film.recording, &row.options).expect("valid");
        let said = said(&report);
        println!(
            "{} ({}): {said}: {}",
            row.name,
            row.view.name(),
            report.finding.sentence
        );
        fine += usize::from(row.expected == FINE && said == NONE);
        if !row.expected.split(", ").any(|one| one == said) {
            let numbers = underfoot_sim::coach::numbers(&film, &report);
            wrong.push(format!(
                "{} ({}): {said}, {} repetitions\n    not {}\n    {} {numbers}",
                row.name,
                row.view.name(),
                report.reps.len(),
                row.expected,
                report.finding.sentence
            ));
        }
        let cue = &report.cue;
        assert!(
            !cue.text.is_empty() && cue.why.len() <= 2 && cue.cautions.len() >= 3,
            "{}",
            row.name
        );
    }
    let films = [
        // The rolls of keypoints alone are too uncertain to call clear.
        ("dev-front-clean", "not-enough-seen - | film-again -"),
        ("dev-front-knees-in", INWARD),
        // The knees lean out by 8 degrees, within what this estimator errs by on other people.
        (
            "dev-front-rolled-out",
            "not-enough-seen - | film-again -, outward both | toe-print both",
        ),
        // 58 and 64 % on the left foot, then 61 % on the right: mostly left, or both where the
        // first stays unsure.
        (
            "dev-front-shift",
            "sideways left | tape-line left, sideways both | tape-line both",
        ),
    ];
    for (name, expected) in films {
        let film = clips::load(name, true).expect("the clip is in the project");
        let said = said(&underfoot::analyze(&film.recording, &Options::default()).expect("valid"));
        println!("{name}: {said}");
        if !expected.split(", ").any(|one| one == said) {
            wrong.push(format!("{name}: {said}\n    not {expected}"));
        }
    }
    let clean = rows.iter().filter(|r| r.expected == FINE).count();
    assert!(2 * fine > clean, "{fine} of {clean} clean sets are told so");
    let all = rows.len() + films.len();
    assert!(all >= 40);
    println!("{} of {all} met", all - wrong.len());
    assert!(wrong.is_empty(), "{} of {all}:\n{wrong:#?}", wrong.len());
}
