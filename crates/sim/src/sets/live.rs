//! What a lifter sees change on the page: repetitions that are final late, taken back, or told at the
//! end only.

use super::count::Counted;
use super::film::{Lifted, Take};
use super::plan::{Crop, Plan};

/// A repetition is final so soon after standing up, ms: what was asked for.
pub const FINAL_MS: f64 = 500.0;
/// Frames this far apart may be why, ms.
const GAP_MS: f64 = 150.0;

/// Why a repetition was final late.
pub fn cause(truth: &Lifted, told: &super::Told, take: &Take) -> &'static str {
    let due = truth.end_ms + FINAL_MS;
    if told.first_ms <= due {
        return "taken back and told again";
    }
    if told.at_end {
        return "told at the end only";
    }
    let seen = take
        .recording
        .frames
        .iter()
        .filter(|f| !f.people.is_empty());
    let before = seen.map(|f| f.t_ms).take_while(|&t| t < told.at_ms).last();
    if before.is_some_and(|t| t < due && told.at_ms - t > GAP_MS) {
        "no frames just then"
    } else {
        "standing seen late"
    }
}

/// What changed, by what it was and how, with the sets.
#[derive(Clone, Debug, Default)]
pub struct Changes(Vec<(String, Vec<u64>)>);

impl Changes {
    /// Notes one.
    pub fn note(&mut self, words: String, seed: u64) {
        match self.0.iter_mut().find(|(w, _)| *w == words) {
            Some((_, seeds)) => seeds.push(seed),
            None => self.0.push((words, vec![seed])),
        }
    }

    /// Adds what changed on the page over one take.
    pub fn add(&mut self, seed: u64, plan: &Plan, take: &Take, counted: &Counted) {
        let whose = if plan.crop == Crop::Shins {
            "feet and shins"
        } else {
            "body"
        };
        for change in &counted.changes {
            let middle = (change.rep.bottom_ms + change.rep.bottom_end_ms) / 2.0;
            let was = take.acts.iter().rfind(|(_, from_ms)| *from_ms <= middle);
            let was = was.map_or("nothing", |(name, _)| name);
            self.note(format!("{whose}: {was}, {}", change.how), seed);
        }
    }

    /// Adds another list.
    pub fn merge(&mut self, other: Self) {
        for (words, seeds) in other.0 {
            for seed in seeds {
                self.note(words.clone(), seed);
            }
        }
    }

    /// How many in all.
    pub fn count(&self) -> usize {
        self.0.iter().map(|(_, seeds)| seeds.len()).sum()
    }

    /// Writes them out, the most frequent first, with the first few sets.
    pub fn print(&self) {
        let mut list = self.0.clone();
        list.sort_by_key(|(words, seeds)| (std::cmp::Reverse(seeds.len()), words.clone()));
        for (words, mut seeds) in list {
            let n = seeds.len();
            seeds.sort_unstable();
            seeds.truncate(8);
            println!("  {n:5} {words}; sets {seeds:?}");
        }
    }
}
