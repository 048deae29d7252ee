//! The rendered clips, value by value.

use crate::clips;
use crate::truth::CHANNELS;
use std::fmt::Write;
use underfoot::measures::Channel;

/// One row for each clip and repetition: true value, then what was said.
///
/// # Errors
/// A data file that cannot be read.
pub fn table() -> Result<String, String> {
    let mut out = String::from(
        "| clip | rep | heel left | heel right | knee left | knee right | roll left | roll right | forward | load left |\n|---|---|---|---|---|---|---|---|---|---|\n",
    );
    for name in clips::NAMES {
        let film = clips::load(name, true)?;
        let report = underfoot::analyze(&film.recording, &underfoot::Options::default())
            .map_err(|e| format!("{name}: {e:?}"))?;
        for (i, truth) in film.truth.reps.iter().enumerate() {
            let said = report
                .reps
                .iter()
                .find(|r| (truth.start_ms..=truth.end_ms).contains(&r.bottom_ms));
            let _ = write!(out, "| {name} | {} |", i + 1);
            for (c, channel) in (0..CHANNELS).zip(Channel::ALL) {
                let value = truth.extremes[c].map_or(f64::NAN, |e| e.value);
                let mark = said.map(|r| r.checks.get(channel));
                let text = match mark.and_then(|m| m.value.zip(m.sd).map(|v| (v, m.verdict))) {
                    Some(((v, sd), verdict)) => {
                        let verdict = format!("{verdict:?}").to_lowercase();
                        format!("{v:.1} ± {sd:.1} {verdict}")
                    }
                    None => "unseen".into(),
                };
                let _ = write!(out, " {value:.1}: {text} |");
            }
            out.push('\n');
        }
    }
    Ok(out)
}
