//! Figures as text.

use super::Measured;
use super::tally::{Spread, lateness};
use underfoot::measures::Check;

/// The checks again, split by what the errors may depend on.
pub fn traits(m: &Measured) -> String {
    let mut out = format!("{}\n", m.condition.name());
    for check in Check::ALL {
        for (name, split) in &m.tally.by_trait {
            let s = &split[check as usize];
            if !s.seen.is_empty() {
                out.push_str(&format!(
                    "    {:14} {name:20} MAE {:5.2} bias {:+5.2} within 2 sd {:3.0} % of {}\n",
                    check.name(),
                    s.error(),
                    s.bias(),
                    100.0 * s.coverage(),
                    s.seen.len()
                ));
            }
        }
    }
    out
}

/// One compact block.
pub fn brief(m: &Measured) -> String {
    let t = &m.tally;
    let mut out = format!(
        "{:44} sets {} reps {:?} refused {} | azimuth {} | toe-out {} | height mm {} | stance mm {}\n",
        m.condition.name(),
        t.sets,
        t.reps,
        t.refused,
        short(&t.azimuth),
        short(&t.toe_out),
        short(&t.height),
        short(&t.stance)
    );
    let [a, b, c] = [0, 1, 2].map(|i| lateness(&t.timing[i]));
    out.push_str(&format!(
        "    start/bottom/end ms median (95 %): {:.0} ({:.0}) {:.0} ({:.0}) {:.0} ({:.0})\n",
        a[0], a[1], b[0], b[1], c[0], c[1]
    ));
    for check in Check::ALL {
        let s = t.check(check);
        if s.count() == 0 {
            continue;
        }
        out.push_str(&format!("    {:14}", check.name()));
        if s.seen.is_empty() {
            out.push_str(" unseen\n");
            continue;
        }
        out.push_str(&format!(
            " MAE {:5.2} bias {:+5.2} p95 {:5.1} sd {:5.2} errors/sd {:.2} within 2 sd {:3.0} % r {:.2} unseen {:3.0} % of {} true {:+.1} ({:.1})\n",
            s.error(),
            s.bias(),
            s.worst(),
            s.sd(),
            s.ratio(),
            100.0 * s.coverage(),
            s.correlation(),
            100.0 * s.unseen_share(),
            s.count(),
            s.truth()[0],
            s.truth()[1]
        ));
    }
    out
}

fn short(s: &Spread) -> String {
    if s.seen.is_empty() {
        return "-".into();
    }
    format!("{:.1} ({:.0} %)", s.error(), 100.0 * s.coverage())
}
