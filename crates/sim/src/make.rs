//! `make`: recordings as files.

use std::path::PathBuf;
use underfoot_sim::film::{Film, Filming};
use underfoot_sim::rng::Draw;
use underfoot_sim::{Camera, Fault, Kind, Lifter, Noise, SetSpec, View, json};

struct Options {
    out: PathBuf,
    seed: u64,
    count: u64,
    view: View,
    layout: String,
    reps: usize,
    faults: Vec<String>,
    noise: f64,
    fps: f64,
    known: bool,
    feet_only: bool,
}

fn parse(args: &[String]) -> Result<Options, Box<dyn std::error::Error>> {
    use lexopt::prelude::*;
    let mut o = Options {
        out: PathBuf::new(),
        seed: 1,
        count: 1,
        view: View::Front,
        layout: "halpe-26".into(),
        reps: 3,
        faults: vec![],
        noise: 1.0,
        fps: 30.0,
        known: true,
        feet_only: false,
    };
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("out") => o.out = parser.value()?.into(),
            Long("seed") => o.seed = parser.value()?.parse()?,
            Long("count") => o.count = parser.value()?.parse()?,
            Long("view") => {
                let name = parser.value()?.string()?;
                o.view = View::named(&name).ok_or(format!("no view `{name}`"))?;
            }
            Long("layout") => o.layout = parser.value()?.string()?,
            Long("reps") => o.reps = parser.value()?.parse()?,
            Long("fault") => o.faults.push(parser.value()?.string()?),
            Long("noise") => o.noise = parser.value()?.parse()?,
            Long("fps") => o.fps = parser.value()?.parse()?,
            Long("unknown-height") => o.known = false,
            Long("feet-only") => o.feet_only = true,
            _ => return Err(arg.unexpected().into()),
        }
    }
    if o.out.as_os_str().is_empty() {
        return Err("--out DIR is needed".into());
    }
    Ok(o)
}

fn fault(name: &str, draw: &mut Draw) -> Result<Fault, String> {
    let kind = match name {
        "heel" => Kind::HeelLift([draw.uniform(25.0, 45.0); 2]),
        "knee-in" => Kind::KneeIn([draw.uniform(12.0, 18.0); 2]),
        "knee-out" => Kind::KneeIn([draw.uniform(-18.0, -12.0); 2]),
        "roll-in" => Kind::Roll([draw.uniform(8.0, 14.0); 2]),
        "roll-out" => Kind::Roll([draw.uniform(-14.0, -8.0); 2]),
        "shift" => Kind::Shift(draw.sign() * draw.uniform(40.0, 70.0)),
        "forward" => Kind::Forward(draw.uniform(15.0, 25.0)),
        other => return Err(format!("no fault `{other}`")),
    };
    Ok(Fault::steady(kind))
}

pub fn main(args: &[String]) -> Result<(), String> {
    let o = parse(args).map_err(|e| e.to_string())?;
    std::fs::create_dir_all(&o.out).map_err(|e| format!("{}: {e}", o.out.display()))?;
    for n in o.seed..o.seed + o.count {
        let mut draw = Draw::new(n);
        let lifter = Lifter::random(&mut draw);
        let camera = Camera::random(&mut draw, o.view);
        let faults: Result<Vec<Fault>, String> =
            o.faults.iter().map(|f| fault(f, &mut draw)).collect();
        let spec = SetSpec {
            reps: o.reps,
            ..SetSpec::with(faults?).random_tempo(&mut draw)
        };
        let scene = spec.scene(lifter, &mut draw);
        let mut filming = Filming::standard(camera, &o.layout)
            .ok_or_else(|| format!("no layout `{}`", o.layout))?;
        filming.noise = Noise::STANDARD.scaled(o.noise);
        filming.timing.fps = o.fps;
        filming.known_height = o.known;
        filming.crop_above = o.feet_only.then_some(0.75 * 0.53 * scene.lifter.height);
        let film = Film::new(&scene, &filming, &mut draw);
        let name = format!("sim-{}-{n}", o.view.name());
        let write = |file: String, value: &dyn Fn() -> serde_json::Result<String>| {
            let path = o.out.join(file);
            let text = value().map_err(|e| e.to_string())?;
            std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))
        };
        write(format!("{name}.json"), &|| {
            serde_json::to_string(&json::recording(&film.recording))
        })?;
        write(format!("{name}.truth.json"), &|| {
            serde_json::to_string(&film.truth)
        })?;
        println!("{name}");
    }
    Ok(())
}
