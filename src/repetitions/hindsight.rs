//! Which lifts were none, once the whole set is known.
//!
//! Of feet and shins alone, shifting about looks like a small squat. A lifter's repetitions take
//! about the same time whatever their depth, and shifting about does not take theirs.

/// Lifts kept for hindsight; a set has fewer.
const KEPT: usize = 512;
/// A lift of less than this share of the usual drop is none ...
const NOTHING: f64 = 0.12;
/// ... and one of less than this share when it takes another time than the usual ones do, as a
/// factor (tempos of one lifter's set vary by some 10 %, SD; common practice, no source).
const SMALL: f64 = 0.5;
const TEMPO: std::ops::Range<f64> = 0.64..1.5;
/// The deepest counts as usual when it is so many times as deep as the next, and the others differ
/// by more than this factor; else it is an error.
const ALONE: f64 = 5.0;
const ALIKE: f64 = 2.0;
/// Lifts of this share of the usual drop tell the usual time.
const FULL: f64 = 0.6;

/// One lift read from the knees.
#[derive(Clone, Copy, Debug)]
struct Seen {
    start_ms: f64,
    ms: f64,
    depth: f64,
}

/// The lifts that were counted from the knees alone.
#[derive(Clone, Debug, Default)]
pub(super) struct Hindsight(Vec<Seen>);

impl Hindsight {
    /// A lift was counted.
    pub fn add(&mut self, start_ms: f64, end_ms: f64, depth: f64) {
        if self.0.len() < KEPT {
            let ms = end_ms - start_ms;
            self.0.push(Seen {
                start_ms,
                ms,
                depth,
            });
        }
    }

    /// The last `n` were none.
    pub fn withdraw(&mut self, n: usize) {
        self.0.truncate(self.0.len().saturating_sub(n));
    }

    /// The lift that began then was none.
    pub fn none(&self, start_ms: f64) -> bool {
        let Some(lift) = self.0.iter().find(|l| l.start_ms == start_ms) else {
            return false;
        };
        let mut depths: Vec<f64> = self.0.iter().map(|l| l.depth).collect();
        crate::order::ascending(&mut depths);
        let usual = match *depths.as_slice() {
            // Repetitions are alike; what shifting about looks like is not.
            [least, _, .., second, first] if first < ALONE * second || second < ALIKE * least => {
                second
            }
            [second, first] if first < ALONE * second => second,
            [.., first] => first,
            [] => return false,
        };
        let full = self.0.iter().filter(|l| l.depth >= FULL * usual);
        let mut times: Vec<f64> = full.map(|l| l.ms).collect();
        crate::order::ascending(&mut times);
        let time = times.get(times.len() / 2).copied().unwrap_or(lift.ms);
        lift.depth < NOTHING * usual
            || lift.depth < SMALL * usual && !TEMPO.contains(&(lift.ms / time))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_quarter_squats_and_drops_shifting_about() {
        let mut seen = Hindsight::default();
        seen.add(0.0, 900.0, 0.15);
        for (start, depth) in [(5e3, 0.8), (1e4, 0.2), (1.5e4, 0.7)] {
            seen.add(start, start + 3e3, depth);
        }
        let none = [0.0, 5e3, 1e4, 1.5e4].map(|t| seen.none(t));
        assert_eq!(none, [true, false, false, false]);
    }

    #[test]
    fn keeps_a_lone_repetition() {
        let mut seen = Hindsight::default();
        seen.add(0.0, 900.0, 0.1);
        assert!(!seen.none(0.0));
    }
}
