//! The tables of the validation page.

use super::Measured;
use super::conditions::Source;
use super::limits::{self, Limit};
use super::tally::{Spread, lateness};
use super::verdicts::{counts, share};
use crate::camera::View;
use std::fmt::Write;
use underfoot::measures::Check;

pub(super) fn section(out: &mut String, title: &str, rows: &[&Measured], limited: bool) {
    if rows.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n## {title}\n");
    out.push_str("| check | condition |");
    if limited {
        out.push_str(" must / goal |");
    }
    out.push_str(" mean abs. error | bias | 95 % | sd | within 2 sd | r | unseen |");
    if limited {
        out.push_str(" |");
    }
    let columns = if limited { 11 } else { 9 };
    let _ = writeln!(out, "\n|{}", "---|".repeat(columns));
    for check in Check::ALL {
        for m in rows {
            let s = m.tally.check(check);
            if s.count() == 0 {
                continue;
            }
            let name = if limited {
                m.condition.view.name().to_string()
            } else {
                m.condition.name()
            };
            let _ = write!(out, "| {} | {name} |", check.name());
            let limit = limits::of(&m.condition, check);
            if limited {
                let _ = write!(out, " {} |", limit.text());
            }
            figures(out, s, limit, limited);
        }
    }
}

fn figures(out: &mut String, s: &Spread, limit: Limit, limited: bool) {
    if s.seen.is_empty() {
        let _ = write!(out, " | | | | | | 100 % |");
    } else {
        let _ = write!(
            out,
            " {:.2} ± {:.2} | {:+.2} | {:.1} | {:.2} | {:.0} % | {:.2} | {:.0} % |",
            s.error(),
            s.error_sd(),
            s.bias(),
            s.worst(),
            s.sd(),
            100.0 * s.coverage(),
            s.correlation(),
            100.0 * s.unseen_share()
        );
    }
    if limited {
        let error = if s.seen.is_empty() {
            f64::INFINITY
        } else {
            s.error()
        };
        let _ = write!(out, " {} |", limit.met(error, s.unseen_share()));
    }
    out.push('\n');
}

/// What the standing fit gives.
pub(super) fn setting(out: &mut String, rows: &[&Measured]) {
    out.push_str(
        "\n## Camera and stance from quiet standing\n\nMean absolute error (share within 2 sd). The bearing must hold 3, goal 1.5 degrees.\n\n| condition | bearing, degrees | | toe-out, degrees | stance, mm | stature, mm |\n|---|---|---|---|---|---|\n",
    );
    let text = |s: &Spread| {
        if s.seen.is_empty() {
            "-".to_string()
        } else {
            format!("{:.1} ({:.0} %)", s.error(), 100.0 * s.coverage())
        }
    };
    for m in rows {
        let t = &m.tally;
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} |",
            m.condition.name(),
            text(&t.azimuth),
            limits::AZIMUTH.met(t.azimuth.error(), 0.0),
            text(&t.toe_out),
            text(&t.stance),
            text(&t.height)
        );
    }
}

pub(super) fn repetitions(out: &mut String, list: &[Measured]) {
    out.push_str(
        "\n## Repetitions\n\nTimes: median (95 %) of the absolute error, ms; the start and end of a real repetition are where its authors cut it.\n\n| condition | there | found | not there | start | bottom | end |\n|---|---|---|---|---|---|---|\n",
    );
    for m in list {
        let t = &m.tally;
        let [a, b, c] = [0, 1, 2].map(|i| lateness(&t.timing[i]));
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {:.0} ({:.0}) | {:.0} ({:.0}) | {:.0} ({:.0}) |",
            m.condition.name(),
            t.reps[0],
            t.reps[1],
            t.reps[2],
            a[0],
            a[1],
            b[0],
            b[1],
            c[0],
            c[1]
        );
    }
}

pub(super) fn verdicts(out: &mut String, list: &[Measured]) {
    out.push_str(
        "\n## Verdicts against the default lines\n\n`false faults`: called a fault though the true value is inside the lines. `clearly beyond`: true value past a line by half its distance from the ordinary one.\n\n| check | condition | false faults | clearly beyond: found | overlooked (called clear) | unseen |\n|---|---|---|---|---|---|\n",
    );
    let shown = |m: &&Measured| {
        let c = &m.condition;
        c.known
            && !c.feet_only
            && c.noise == 1.0
            && c.source == Source::Simulated
            && (c.layout == "halpe-26" || c.view == View::Any)
    };
    for check in Check::ALL {
        for m in list.iter().filter(shown) {
            let n = counts(check, m.tally.check(check));
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} |",
                check.name(),
                m.condition.name(),
                share(n.false_faults, n.inside),
                share(n.found, n.beyond),
                share(n.overlooked, n.beyond),
                share(n.unseen, n.beyond)
            );
        }
    }
}
