//! Robust fusion: the drop that several joints agree on.

/// Weight of the prediction from the last frames.
/// tuned: `reps`
const EXPECTED: f64 = 0.3;
/// Cauchy scale: an outlier this far off weighs half.
/// tuned: `reps`
const ASTRAY: f64 = 0.05;

/// One joint's estimate of the hips' drop.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Vote {
    pub drop: f64,
    pub weight: f64,
    /// Seen in this frame rather than expected.
    pub joint: bool,
}

/// The drop that the first `n` of `list` agree on. What the last frames make `expect`ed takes the
/// place after them, and part in choosing the middle only.
pub(super) fn robust_fusion(list: &mut [Vote], n: usize, expect: Option<f64>) -> Option<f64> {
    if n == 0 {
        return None;
    }
    let mut n = n;
    if let (Some(drop), Some(slot)) = (expect, list.get_mut(n)) {
        let weight = EXPECTED;
        *slot = Vote {
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
    let mut centre = 0.0;
    for said in list.iter() {
        below += said.weight;
        centre = said.drop;
        if below >= half {
            break;
        }
    }
    for _ in 0..2 {
        let (mut sum, mut weights) = (0.0, 0.0);
        for said in list.iter().filter(|s| s.joint) {
            let w = said.weight / (1.0 + ((said.drop - centre) / ASTRAY).powi(2));
            sum += w * said.drop;
            weights += w;
        }
        if weights > 0.0 {
            centre = sum / weights;
        }
    }
    centre.is_finite().then_some(centre)
}
