//! `findings`: what the core finds in whole sets, as a table.

use underfoot_sim::coach::{SITUATIONS, clean, numbers, situation};
use underfoot_sim::{View, clips};

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut sets, mut seed, mut why, mut only) = (50, 1, false, String::new());
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        let number = |p: &mut lexopt::Parser| p.value().and_then(|v| v.parse::<u64>());
        match arg {
            Long("sets") => sets = number(&mut parser).map_err(fail)? as usize,
            Long("seed") => seed = number(&mut parser).map_err(fail)?,
            Long("why") => why = true,
            Long("only") => only = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    println!(
        "| clean sets from | sets | with a finding | nothing said | cells | false faults | clear |"
    );
    println!("|---|---|---|---|---|---|---|");
    let percent = |n: usize, of: usize| 100.0 * n as f64 / of.max(1) as f64;
    let (mut cells, mut wrong) = (0, 0);
    for view in View::NAMED.into_iter().filter(|_| only.is_empty()) {
        let c = clean(view, sets, seed);
        cells += c.cells;
        wrong += c.false_faults;
        println!(
            "| {} | {} | {} | {} | {} | {} ({:.2} %) | {:.0} % |",
            view.name(),
            c.sets,
            c.found,
            c.nothing_said,
            c.cells,
            c.false_faults,
            percent(c.false_faults, c.cells),
            percent(c.clear, c.cells),
        );
    }
    println!(
        "\nFalse faults in all: {wrong} of {cells} cells ({:.2} %)\n",
        percent(wrong, cells)
    );
    println!("| clear fault | from | sets | found | with the right foot |");
    println!("|---|---|---|---|---|");
    let (mut all, mut found) = (0, 0);
    for what in SITUATIONS.iter().filter(|s| s.name.contains(&only)) {
        for view in what.views {
            let t = situation(what, *view, sets.div_ceil(2), seed + 10_000);
            all += t.sets;
            found += t.right;
            println!(
                "| {} | {} | {} | {} ({:.0} %) | {} |",
                what.name,
                view.name(),
                t.sets,
                t.right,
                percent(t.right, t.sets),
                t.foot
            );
            if why {
                t.others.iter().for_each(|o| println!("    {o}"));
            }
        }
    }
    println!("\n| rendered clip | finding | foot | cue |\n|---|---|---|---|");
    for name in clips::NAMES
        .iter()
        .filter(|_| only.is_empty() || only == "clips")
    {
        let film = clips::load(name, true)?;
        let report = underfoot::analyze(&film.recording, &Default::default())
            .map_err(|e| format!("{name}: {e}"))?;
        let (finding, cue) = (&report.finding, &report.cue);
        println!(
            "| {name} | {:?}: {} | {} | {} |",
            finding.kind,
            finding.sentence,
            finding.side.unwrap_or("-"),
            cue.text
        );
        if why {
            println!("    {}", numbers(&film, &report));
            report.notes.iter().for_each(|n| println!("    {}", n.text));
            println!(
                "    {:?} {:?} {:?}",
                cue.why, cue.film_next, finding.resting_shape
            );
        }
    }
    println!(
        "\nFound in all: {found} of {all} ({:.1} %)",
        percent(found, all)
    );
    Ok(())
}
