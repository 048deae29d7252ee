//! What several joints agree on.

use super::signal::Reading;

/// Weight of what the last frames make expected.
const EXPECTED: f64 = 0.3;
/// A joint that says something else by this much weighs half.
const ASTRAY: f64 = 0.05;

/// What shoulders and head say has less noise than the hips, but is bent more, by how the trunk leans:
/// where both hips are seen, this share of the drop is theirs alone. One hip is outweighed: it is
/// taken as it is.
const OWN: f64 = 0.6;

impl Reading {
    /// The drop that bends as little as the hips' does; `None` where they are not seen.
    #[inline(never)]
    pub fn own(&self) -> Option<f64> {
        let hips = self.hips?;
        let own = |(drop, _)| drop + OWN * (hips - drop);
        Some(self.drop.filter(|_| self.pair).map_or(hips, own))
    }
}

/// What one joint says, as a drop of the hips.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Said {
    pub drop: f64,
    pub weight: f64,
    /// Seen in this frame rather than expected.
    pub joint: bool,
}

/// The drop that the first `n` of `list` agree on. What the last frames make `expect`ed takes the
/// place after them, and part in choosing the middle only.
pub(super) fn agree(list: &mut [Said], n: usize, expect: Option<f64>) -> Option<f64> {
    if n == 0 {
        return None;
    }
    let mut n = n;
    if let (Some(drop), Some(slot)) = (expect, list.get_mut(n)) {
        let weight = EXPECTED;
        *slot = Said {
            drop,
            weight,
            joint: false,
        };
        n += 1;
    }
    let list = list.get_mut(..n)?;
    crate::order::short_list(list, |a, b| a.drop < b.drop);
    let half = list.iter().map(|s| s.weight).sum::<f64>() / 2.0;
    let mut below = 0.0;
    let mut middle = 0.0;
    for said in list.iter() {
        below += said.weight;
        middle = said.drop;
        if below >= half {
            break;
        }
    }
    for _ in 0..2 {
        let (mut sum, mut weights) = (0.0, 0.0);
        for said in list.iter().filter(|s| s.joint) {
            let w = said.weight / (1.0 + ((said.drop - middle) / ASTRAY).powi(2));
            sum += w * said.drop;
            weights += w;
        }
        if weights > 0.0 {
            middle = sum / weights;
        }
    }
    middle.is_finite().then_some(middle)
}
