//! `drawn`: drawn feet from all round through the whole core, as a table.

use underfoot_sim::drawn::{Figures, Floor, HEAD, Set, VIEWS, Way, Wear, run};

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut sets, mut seed, mut only, mut cases) = (2, 1, String::new(), false);
    let (mut worn, mut ground) = (String::new(), String::new());
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        let number = |p: &mut lexopt::Parser| p.value().and_then(|v| v.parse::<u64>());
        match arg {
            Long("sets") => sets = number(&mut parser).map_err(fail)?,
            Long("seed") => seed = number(&mut parser).map_err(fail)?,
            Long("only") => only = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("worn") => worn = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("floor") => ground = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("cases") => cases = true,
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    // Floors take turns.
    let floors = Vec::from_iter(Floor::ALL.into_iter().filter(|f| name(f).contains(&ground)));
    if floors.is_empty() {
        return Err(format!("no floor `{ground}`"));
    }
    println!("{HEAD}");
    for view in VIEWS.into_iter().filter(|v| v.name().contains(&only)) {
        for wear in Wear::ALL.into_iter().filter(|w| name(w).contains(&worn)) {
            let mut figures = Figures::default();
            for n in 0..sets {
                let floor = floors[(seed + n) as usize % floors.len()];
                let set = Set {
                    view,
                    wear,
                    floor,
                    seed: seed + n,
                };
                run(&set, &Way::PHONE, &mut figures, &mut |line| {
                    if cases {
                        println!("  {line}");
                    }
                })?;
            }
            println!("{}", figures.line(view, &name(&wear)));
        }
    }
    Ok(())
}

fn name(of: &dyn std::fmt::Debug) -> String {
    format!("{of:?}").to_lowercase()
}
