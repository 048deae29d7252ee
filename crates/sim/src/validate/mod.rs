//! The measured error figures: what the core says against what is true.
//!
//! Recordings go through the whole core ([`underfoot::analyze()`]), so a lost repetition or a
//! standing period that was not found counts against it.

mod against;
mod clip_table;
mod conditions;
mod limits;
mod page;
mod sections;
mod table;
mod tally;
mod verdicts;

pub use against::Compared;
pub use conditions::{Condition, Source, all as conditions};
pub use limits::{Limit, of as limit};
pub use tally::{Spread, Tally};

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What to run.
#[derive(Clone, Debug)]
pub struct Options {
    /// Seed of everything drawn.
    pub seed: u64,
    /// Simulated sets for each row of a table.
    pub sets: usize,
    /// Threads.
    pub jobs: usize,
    /// Only conditions whose name contains this.
    pub only: Option<String>,
    /// Print every value that is off by more than 2.5 of its standard errors.
    pub outliers: bool,
    /// In the brief form, split the figures by what they may depend on.
    pub traits: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            seed: 20_261,
            sets: 60,
            jobs: 2,
            only: None,
            outliers: false,
            traits: false,
        }
    }
}

/// A condition with what was measured under it.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Under what.
    pub condition: Condition,
    /// What came out.
    pub tally: Tally,
}

/// Runs everything asked for, in order.
///
/// # Errors
/// A data file that cannot be read.
pub fn measure(options: &Options) -> Result<Vec<Measured>, String> {
    let wanted = |c: &Condition| options.only.as_ref().is_none_or(|o| c.name().contains(o));
    measure_where(options, wanted)
}

/// Runs the conditions that `wanted` picks, in order.
///
/// # Errors
/// A data file that cannot be read.
pub fn measure_where(
    options: &Options,
    wanted: impl Fn(&Condition) -> bool,
) -> Result<Vec<Measured>, String> {
    let conditions: Vec<Condition> = conditions::all().into_iter().filter(wanted).collect();
    let mut out = Vec::new();
    for condition in conditions {
        let count = condition.count(options.sets);
        let next = AtomicUsize::new(0);
        let done: Mutex<Vec<(usize, Result<Compared, String>)>> = Mutex::new(Vec::new());
        std::thread::scope(|scope| {
            for _ in 0..options.jobs.max(1) {
                scope.spawn(|| {
                    loop {
                        let i = next.fetch_add(1, Ordering::Relaxed);
                        if i >= count {
                            break;
                        }
                        let one = condition
                            .film(options.seed, i)
                            .map(|film| Compared::new(&film));
                        done.lock()
                            .unwrap_or_else(|e| e.into_inner())
                            .push((i, one));
                    }
                });
            }
        });
        let mut list = done.into_inner().unwrap_or_else(|e| e.into_inner());
        list.sort_by_key(|(i, _)| *i);
        let mut tally = Tally::default();
        for (i, one) in list {
            let one = one?;
            if options.outliers {
                one.print_outliers(&condition.name(), i);
            }
            tally.add(&one);
        }
        out.push(Measured { condition, tally });
    }
    Ok(out)
}

/// Runs everything and writes it up as a page.
///
/// # Errors
/// As [`measure`].
pub fn run(options: &Options) -> Result<String, String> {
    let measured = measure(options)?;
    let clips = clip_table::table()?;
    Ok(page::page(options, &measured, &clips))
}

/// Runs everything and prints one compact block for each condition: the loop for whoever works
/// on the measures.
///
/// # Errors
/// As [`measure`].
pub fn brief(options: &Options) -> Result<String, String> {
    let text = |m: &Measured| {
        let mut text = table::brief(m);
        if options.traits {
            text.push_str(&table::traits(m));
        }
        text
    };
    Ok(measure(options)?.iter().map(text).collect())
}
