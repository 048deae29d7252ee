//! Errors of many clips as a table: by check, view and what carried the value.

use super::score::Value;
use std::collections::BTreeMap;
use std::fmt::Write;
use underfoot::measures::Check;
use underfoot::report::Verdict;

/// Errors of values of one kind.
#[derive(Clone, Debug, Default)]
pub struct Errors {
    /// Error and standard error, by clip and side: the values of a set err together.
    pub sets: BTreeMap<(String, usize), Vec<[f64; 2]>>,
    /// Largest absolute error.
    pub worst: f64,
}

impl Errors {
    /// Adds one value.
    pub fn add(&mut self, value: &Value) {
        let Some([said, sd]) = value.said else { return };
        let error = said - value.truth;
        self.worst = self.worst.max(error.abs());
        let set = (value.clip.clone(), value.side);
        self.sets.entry(set).or_default().push([error, sd]);
    }

    fn all(&self) -> impl Iterator<Item = &[f64; 2]> {
        self.sets.values().flatten()
    }

    /// How many values.
    pub fn count(&self) -> usize {
        self.all().count()
    }

    fn mean(&self, f: impl Fn(&[f64; 2]) -> f64) -> f64 {
        self.all().map(f).sum::<f64>() / self.count().max(1) as f64
    }

    /// Mean error.
    pub fn bias(&self) -> f64 {
        self.mean(|e| e[0])
    }

    /// Mean absolute error.
    pub fn error(&self) -> f64 {
        self.mean(|e| e[0].abs())
    }

    /// Mean standard error.
    pub fn sd(&self) -> f64 {
        self.mean(|e| e[1])
    }

    /// Root mean square of errors over their standard errors: honest is 1.
    pub fn ratio(&self) -> f64 {
        self.mean(|e| (e[0] / e[1]).powi(2)).sqrt()
    }

    /// Root mean square of what a set's repetitions share of their error, and of what each has for itself.
    pub fn parts(&self) -> [f64; 2] {
        let (mut shared, mut own, mut sets, mut free) = (0.0, 0.0, 0.0, 0.0);
        for set in self.sets.values().filter(|s| s.len() > 1) {
            let n = set.len() as f64;
            let mean = set.iter().map(|e| e[0]).sum::<f64>() / n;
            let rest: f64 = set.iter().map(|e| (e[0] - mean).powi(2)).sum();
            shared += mean * mean - rest / (n * (n - 1.0));
            own += rest;
            sets += 1.0;
            free += n - 1.0;
        }
        [shared / f64::max(sets, 1.0), own / f64::max(free, 1.0)].map(|v| v.max(0.0).sqrt())
    }
}

/// Values of one check from one view.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// By what carried them: keypoints; the picture, alone or in part.
    pub by: [Errors; 2],
    /// How many were unseen, and why.
    pub unseen: BTreeMap<String, usize>,
}

/// By check and view; the view `all` holds every one but close-ups.
pub fn rows(values: &[Value]) -> BTreeMap<(usize, String), Row> {
    let mut rows: BTreeMap<(usize, String), Row> = BTreeMap::new();
    for value in values {
        let check = Check::from_name(value.check).map_or(0, |c| c as usize);
        let close = value.view.starts_with("close");
        let all = (!close).then(|| "all".to_string());
        for view in [Some(value.view.clone()), all].into_iter().flatten() {
            let row = rows.entry((check, view)).or_default();
            if value.said.is_none() {
                *row.unseen.entry(value.evidence.clone()).or_default() += 1;
            } else {
                row.by[usize::from(value.evidence != "keypoints")].add(value);
            }
        }
    }
    rows
}

/// The table as Markdown.
pub fn text(values: &[Value]) -> String {
    let mut out = String::from(
        "| check | view | carried by | values | bias | mean abs. error | worst | sd told | errors / sd (rms) | shared by a set | each repetition's own | unseen |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n",
    );
    for ((check, view), row) in rows(values) {
        let unseen: usize = row.unseen.values().sum();
        let all = unseen + row.by[0].count() + row.by[1].count();
        let why: Vec<String> = row.unseen.iter().map(|(w, n)| format!("{w} {n}")).collect();
        let name = Check::ALL[check].name();
        for (errors, by) in row.by.iter().zip(["keypoints", "picture"]) {
            if errors.count() == 0 {
                continue;
            }
            let [shared, own] = errors.parts();
            let _ = writeln!(
                out,
                "| {name} | {view} | {by} | {} | {:+.2} | {:.2} | {:.1} | {:.2} | {:.2} | {shared:.2} | {own:.2} | |",
                errors.count(),
                errors.bias(),
                errors.error(),
                errors.worst,
                errors.sd(),
                errors.ratio(),
            );
        }
        if unseen > 0 {
            let _ = writeln!(
                out,
                "| {name} | {view} | unseen | | | | | | | | | {unseen} of {all}: {} |",
                why.join(", ")
            );
        }
    }
    out
}

/// Cells of which a verdict is wrong: a fault told clear, or a clean one told a fault.
pub fn wrong(values: &[Value], line: impl Fn(Check) -> [f64; 2]) -> Vec<String> {
    let wrong =
        values.iter().filter_map(|v| {
            let check = Check::from_name(v.check)?;
            let [low, high] = line(check);
            let beyond = v.ends[0] < low || v.ends[1] > high;
            let bad = match v.verdict {
                Verdict::Clear => beyond,
                Verdict::Fault => !beyond,
                _ => false,
            };
            let [value, sd] = v.said?;
            let side = ["left", "right", ""][v.side];
            bad.then(|| {
            format!(
                "{} {} rep {} {} {side}: true {:.1} to {:.1}, told {value:.1} ± {sd:.1} ({}) {:?}",
                v.clip, v.view, v.rep + 1, v.check, v.ends[0], v.ends[1], v.evidence, v.verdict
            )
        })
        });
    wrong.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(clip: &str, rep: usize, truth: f64, said: Option<[f64; 2]>) -> Value {
        Value {
            check: "knee_in_deg",
            side: 0,
            rep,
            truth,
            ends: [truth, truth],
            said,
            verdict: Verdict::Clear,
            evidence: "keypoints".into(),
            view: "front".into(),
            clip: clip.into(),
        }
    }

    /// Two sets of three: errors 2 + (-1, 0, 1) and -2 + (-1, 0, 1), each with a standard error of 2. The
    /// variance of a set's mean is 4 less the third of 1 that the repetitions' own error leaves in it.
    #[test]
    fn errors_part_into_what_a_set_shares_and_what_is_each_repetitions_own() {
        let mut errors = Errors::default();
        for (clip, by) in [("a", 2.0), ("b", -2.0)] {
            for rep in 0..3 {
                let error = by + rep as f64 - 1.0;
                errors.add(&value(clip, rep, 5.0, Some([5.0 + error, 2.0])));
            }
        }
        assert_eq!(errors.count(), 6);
        assert!(errors.bias().abs() < 1e-12 && (errors.worst - 3.0).abs() < 1e-12);
        assert!((errors.error() - 2.0).abs() < 1e-12);
        assert!((errors.ratio() - (28.0f64 / 6.0).sqrt() / 2.0).abs() < 1e-12);
        let [shared, own] = errors.parts();
        assert!((shared - (4.0f64 - 1.0 / 3.0).sqrt()).abs() < 1e-12 && (own - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_cell_told_clear_beyond_the_line_is_listed_and_an_unseen_one_is_not() {
        let list = [
            value("a", 0, 9.0, Some([5.0, 1.0])),
            value("a", 1, 9.0, None),
            value("a", 2, 7.0, Some([5.0, 1.0])),
        ];
        let found = wrong(&list, |_| [-8.0, 8.0]);
        assert!(
            found.len() == 1 && found[0].starts_with("a front rep 1"),
            "{found:?}"
        );
        assert!(text(&list).contains("| unseen | | | | | | | | | 1 of 3"));
    }
}
