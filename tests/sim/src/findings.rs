//! `findings`: what the core finds in whole sets, as a table.

use underfoot_sim::View;
use underfoot_sim::coach::{SITUATIONS, clean, situation};

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut sets, mut seed, mut why) = (50, 1, false);
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        let number = |p: &mut lexopt::Parser| p.value().and_then(|v| v.parse::<u64>());
        match arg {
            Long("sets") => sets = number(&mut parser).map_err(fail)? as usize,
            Long("seed") => seed = number(&mut parser).map_err(fail)?,
            Long("why") => why = true,
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    println!(
        "| clean sets from | sets | with a finding | nothing said | cells | false faults | clear |"
    );
    println!("|---|---|---|---|---|---|---|");
    let percent = |n: usize, of: usize| 100.0 * n as f64 / of.max(1) as f64;
    let (mut cells, mut wrong) = (0, 0);
    for view in View::NAMED {
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
    for what in SITUATIONS {
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
    println!(
        "\nFound in all: {found} of {all} ({:.1} %)",
        percent(found, all)
    );
    Ok(())
}
