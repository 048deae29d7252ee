//! `others`: what becomes of recordings that show no squats, and of those that do.

use std::path::PathBuf;
use underfoot::keypoints::Recording;
use underfoot::{Options, Session};
use underfoot_sim::others::Kind;
use underfoot_sim::others::moved::{Moved, sets};
use underfoot_sim::others::table::{Tally, others, real, rendered, squats};

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut each, mut seed, mut only) = (3, 1, String::new());
    let (mut folder, mut which, mut aspects) = (None, false, false);
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        let number = |p: &mut lexopt::Parser| p.value().and_then(|v| v.parse::<u64>());
        match arg {
            Long("each") => each = number(&mut parser).map_err(fail)? as usize,
            Long("seed") => seed = number(&mut parser).map_err(fail)?,
            Long("only") => only = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("clips") => folder = Some(PathBuf::from(parser.value().map_err(fail)?)),
            Long("which") => which = true,
            Long("aspects") => aspects = true,
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    if !aspects {
        println!(
            "| shown | recordings | no repetition | refused | not enough seen | judged, no fault | the right fault | a fault |"
        );
        println!("|---|---|---|---|---|---|---|---|");
    }
    let row = |name: &str, list: &mut dyn Iterator<Item = (String, Recording)>| {
        let mut tally = Tally::default();
        for (label, recording) in list {
            if aspects {
                show(name, &label, &recording);
            } else {
                tally.add(&label, &recording);
            }
        }
        if !aspects {
            print(name, &tally, which);
        }
        tally
    };
    let mut all = Tally::default();
    let wanted = |name: &str| name.contains(&only);
    for kind in Kind::ALL.into_iter().filter(|k| wanted(k.name())) {
        let t = row(kind.name(), &mut others(kind, each, seed));
        all.all += t.all;
        all.none += t.none;
        all.refused += t.refused;
        all.little += t.little;
        all.clear += t.clear;
        all.faults += t.faults;
    }
    if !aspects {
        print("**no squats, in all**", &all, false);
    }
    for (moved, faulty) in Moved::ALL.into_iter().flat_map(|m| [(m, false), (m, true)]) {
        let name = format!(
            "{} squats, phone {}",
            if faulty { "faulty" } else { "clean" },
            moved.name()
        );
        if wanted(&name) && !aspects {
            let mut tally = Tally::default();
            sets(moved, faulty, 8 * each, seed).for_each(|set| tally.add_set(&set));
            print(&name, &tally, which);
        }
    }
    if wanted("invented squats") {
        row(
            "invented squats, most with a fault",
            &mut squats(8 * each, seed),
        );
    }
    if wanted("real squats") {
        row(
            "real squats (UI-PRMD)",
            &mut real(5 * each, seed)?.into_iter(),
        );
    }
    if wanted("rendered squats") {
        let clips = rendered(folder.as_deref())?;
        row("rendered squats, a real estimator", &mut clips.into_iter());
    }
    Ok(())
}

fn print(name: &str, t: &Tally, which: bool) {
    println!(
        "| {name} | {} | {} | {} | {} | {} | {} | {} |",
        t.all, t.none, t.refused, t.little, t.clear, t.right, t.faults
    );
    if which {
        t.which.iter().for_each(|w| println!("    {w}"));
    }
}

/// One line a repetition: name, recording, repetition, and each aspect.
fn show(name: &str, label: &str, recording: &Recording) {
    let mut session = Session::new(recording.setup.clone(), Options::default());
    for frame in &recording.frames {
        let _ = session.push(frame.t_ms, &frame.people);
    }
    for (k, aspects) in session.aspects().into_iter().enumerate() {
        let numbers = aspects.map(|a| a.map_or("nan".into(), |v| format!("{v:.4}")));
        println!("{name}\t{label}\t{}\t{}", k + 1, numbers.join("\t"));
    }
}
