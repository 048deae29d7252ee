//! `reps`: counts repetitions over many simulated sets.

use underfoot_sim::sets::{Tally, count, film, trace};

pub fn main(args: &[String]) -> Result<(), String> {
    let (sets, seed, only) = parse(args).map_err(|e| e.to_string())?;
    if only {
        return show(seed);
    }
    // Two threads: every second seed each.
    let half = |part: u64| {
        let mut tally = Tally::default();
        for n in (seed..seed + sets).filter(|n| n % 2 == part) {
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
    if tally.wrong.is_empty() && tally.sets as u64 == sets {
        Ok(())
    } else {
        Err(format!("{} sets miscounted", tally.wrong.len()))
    }
}

fn parse(args: &[String]) -> Result<(u64, u64, bool), lexopt::Error> {
    use lexopt::prelude::*;
    let (mut sets, mut seed, mut show) = (2000, 1, false);
    let mut parser = lexopt::Parser::from_args(args);
    while let Some(arg) = parser.next()? {
        match arg {
            Long("sets") => sets = parser.value()?.parse()?,
            Long("seed") => seed = parser.value()?.parse()?,
            Long("show") => show = true,
            _ => return Err(arg.unexpected()),
        }
    }
    Ok((sets, seed, show))
}

fn show(seed: u64) -> Result<(), String> {
    let (plan, take) = film(seed);
    println!("{}\n{plan:?}", plan.words());
    for (t_ms, line) in trace(&take) {
        println!("{t_ms:8.0} {line}");
    }
    let counted = count(&take);
    for t in &take.reps {
        println!(
            "truth {:.0} {:.0?} {:.0}",
            t.start_ms, t.bottom_ms, t.end_ms
        );
    }
    for (r, at) in &counted.reps {
        println!(
            "count {:.0} [{:.0}, {:.0}] {:.0} depth {:?} shallow {} complete {} final {at:.0}",
            r.start_ms, r.bottom_ms, r.bottom_end_ms, r.end_ms, r.depth, r.shallow, r.complete
        );
    }
    Ok(())
}
