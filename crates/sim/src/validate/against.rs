//! One recording: the report's values beside the true ones.

use crate::film::Film;
use crate::truth::{CHANNELS, NAMES};
use underfoot::measures::Channel;
use underfoot::report::{RepResult, Verdict};

/// One value beside the truth.
#[derive(Clone, Copy, Debug)]
pub struct Pair {
    /// What is true.
    pub truth: f64,
    /// What the core said: value and standard error; `None` when unseen.
    pub said: Option<[f64; 2]>,
    /// Its verdict.
    pub verdict: Verdict,
}

/// What one recording gave.
#[derive(Clone, Debug, Default)]
pub struct Compared {
    /// By channel, one for each true repetition that was found.
    pub pairs: [Vec<(usize, Pair)>; CHANNELS],
    /// Repetitions that are there, that were found, and that were found but are not there.
    pub reps: [usize; 3],
    /// Start, bottom and end against the truth, ms.
    pub timing: [Vec<f64>; 3],
    /// Camera's bearing: error and standard error, degrees.
    pub azimuth: Option<[f64; 2]>,
    /// Each foot's toe-out: error and standard error, degrees.
    pub toe_out: Vec<[f64; 2]>,
    /// Stature: error and standard error, m.
    pub height: Option<[f64; 2]>,
    /// Stance width: error and standard error, mm.
    pub stance: Option<[f64; 2]>,
    /// What the errors may depend on.
    pub traits: Vec<String>,
    /// Why there is no report.
    pub refused: Option<String>,
}

impl Compared {
    /// Analyses a film and puts the report beside the truth.
    pub fn new(film: &Film) -> Self {
        let mut out = Self::default();
        let truth = &film.truth;
        out.traits.clone_from(&film.traits);
        out.reps[0] = truth.reps.len();
        let report = match underfoot::analyze(&film.recording, &underfoot::Options::default()) {
            Ok(report) => report,
            Err(e) => {
                out.refused = Some(format!("{e:?}"));
                return out;
            }
        };
        if let Some(view) = &report.view {
            let off = view.azimuth_deg - truth.azimuth_deg;
            let off = (off + 180.0).rem_euclid(360.0) - 180.0;
            out.azimuth = Some([off, view.azimuth_sd_deg]);
        }
        if let Some(s) = &report.standing {
            out.toe_out = vec![
                [
                    s.toe_out_deg.left - truth.toe_out_deg[0],
                    s.toe_out_deg_sd.left,
                ],
                [
                    s.toe_out_deg.right - truth.toe_out_deg[1],
                    s.toe_out_deg_sd.right,
                ],
            ];
            out.height = truth.height_m.map(|h| [s.height_m - h, s.height_m_sd]);
            out.stance = Some([
                s.stance_width_mm - truth.stance_width_mm,
                s.stance_width_mm_sd,
            ]);
        }
        let mut taken = vec![false; report.reps.len()];
        for (index, rep) in truth.reps.iter().enumerate() {
            let within = |r: &RepResult| (rep.start_ms..=rep.end_ms).contains(&r.bottom_ms);
            let found = report
                .reps
                .iter()
                .zip(&taken)
                .position(|(r, t)| !t && within(r));
            let Some(found) = found else { continue };
            taken[found] = true;
            let said = &report.reps[found];
            out.reps[1] += 1;
            out.timing[0].push(said.start_ms - rep.start_ms);
            let bottom = said.bottom_ms.clamp(rep.bottom_ms, rep.bottom_end_ms);
            out.timing[1].push(said.bottom_ms - bottom);
            out.timing[2].push(said.end_ms - rep.end_ms);
            for (c, channel) in Channel::ALL.into_iter().enumerate() {
                let (Some(e), mark) = (rep.extremes[c], said.checks.get(channel)) else {
                    continue;
                };
                let pair = Pair {
                    truth: e.value,
                    said: mark.value.zip(mark.sd).map(|(v, sd)| [v, sd]),
                    verdict: mark.verdict,
                };
                out.pairs[c].push((index, pair));
            }
        }
        out.reps[2] = taken.iter().filter(|t| !**t).count();
        out
    }

    /// Prints what is off by more than 2.5 of its standard errors.
    pub fn print_outliers(&self, condition: &str, case: usize) {
        for (c, pairs) in self.pairs.iter().enumerate() {
            for (rep, p) in pairs {
                if let Some([value, sd]) = p.said
                    && (value - p.truth).abs() > 2.5 * sd
                {
                    println!(
                        "{condition} case {case} rep {} {}: true {:.2}, said {value:.2} (sd {sd:.2})",
                        rep + 1,
                        NAMES[c],
                        p.truth
                    );
                }
            }
        }
        if self.reps[1] != self.reps[0] || self.reps[2] > 0 {
            println!("{condition} case {case}: repetitions {:?}", self.reps);
        }
        if let Some([off, sd]) = self.azimuth.filter(|[off, sd]| off.abs() > 2.5 * sd) {
            println!("{condition} case {case}: azimuth off by {off:.1} (sd {sd:.1})");
        }
    }
}
