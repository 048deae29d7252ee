//! `reps`: counts repetitions over many simulated sets.

use underfoot_sim::sets::{Beside, Phone, Plan, Take, Tally, count, film_with, planned, trace};

pub fn main(args: &[String]) -> Result<(), String> {
    let Asked {
        sets,
        seed,
        show: one,
        only,
        beside,
    } = parse(args).map_err(|e| e.to_string())?;
    let film = |seed| film_with(seed, beside);
    if one {
        show(film(seed));
        return Ok(());
    }
    let wanted = |n: &u64| only.is_empty() || planned(*n).conditions().contains(&only);
    let seeds: Vec<u64> = (seed..seed + sets).filter(wanted).collect();
    // Two threads: every second set each.
    let half = |part: usize| {
        let mut tally = Tally::default();
        for &n in seeds.iter().skip(part).step_by(2) {
            let (plan, take) = film(n);
            tally.add(n, &plan, &take, &count(&take));
        }
        tally
    };
    let tally = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let mut tally = half(0);
        tally.merge(other.join().unwrap_or_default());
        tally
    });
    println!(
        "seed {seed}: {} sets, {} repetitions, {} sets miscounted",
        tally.sets,
        tally.found.len(),
        tally.wrong.len()
    );
    tally.print();
    if tally.wrong.is_empty() && tally.sets == seeds.len() {
        Ok(())
    } else {
        Err(format!("{} sets miscounted", tally.wrong.len()))
    }
}

/// What the command line asks for.
struct Asked {
    sets: u64,
    seed: u64,
    show: bool,
    beside: Beside,
    /// One of a plan's conditions; empty for all sets.
    only: String,
}

fn parse(args: &[String]) -> Result<Asked, lexopt::Error> {
    use lexopt::prelude::*;
    let mut asked = Asked {
        sets: 2000,
        seed: 1,
        show: false,
        beside: Beside::default(),
        only: String::new(),
    };
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("sets") => asked.sets = parser.value()?.parse()?,
            Long("seed") => asked.seed = parser.value()?.parse()?,
            Long("faults") => asked.beside.faults = true,
            Long("phone") => asked.beside.phone = phone(&parser.value()?.string()?)?,
            Long("show") => asked.show = true,
            Long("only") => asked.only = parser.value()?.string()?,
            _ => return Err(arg.unexpected()),
        }
    }
    Ok(asked)
}

fn phone(name: &str) -> Result<Phone, String> {
    match name {
        "stand" => Ok(Phone::Stand),
        "floor" => Ok(Phone::Floor),
        "shelf" => Ok(Phone::Shelf),
        _ => Err(format!("no place for a phone: {name}")),
    }
}

fn show((plan, take): (Plan, Take)) {
    println!("{}\n{plan:?}", plan.words());
    for frame in trace(&take) {
        println!("{:8.0} {}", frame.t_ms, frame.line);
    }
    let counted = count(&take);
    for t in &take.reps {
        println!(
            "truth {:.0} {:.0?} {:.0}",
            t.start_ms, t.bottom_ms, t.end_ms
        );
    }
    for told in &counted.reps {
        let (r, at) = (told.rep, told.at_ms);
        println!(
            "count {:.0} [{:.0}, {:.0}] {:.0} depth {:?} shallow {} complete {} final {at:.0}",
            r.start_ms, r.bottom_ms, r.bottom_end_ms, r.end_ms, r.depth, r.shallow, r.complete
        );
    }
}
