//! The repetitions of a set read together.

use super::channel::Evidence;
use super::excursion::Way;
use super::peaks::Peak;
use crate::gather::Gather;

/// Reads a channel's repetitions of a finished set together: where their values differ by no more
/// than noise does, they are drawn toward their mean (James & Stein 1961, positive part, toward
/// the mean as in Efron & Morris 1975). One that stands out widens the spread and stays. Those
/// that a picture carried are read apart from those that keypoints carried.
pub fn settle(set: &mut [&mut Peak]) {
    for way in Way::BOTH {
        for pictured in [true, false] {
            let kind = |p: &Peak| (p.evidence != Evidence::Keypoints) == pictured;
            let values: Vec<(f64, f64)> = set
                .iter()
                .filter(|p| kind(p))
                .filter_map(|p| p.ways[way as usize])
                .map(|e| (e.value, e.own_sd.powi(2)))
                .gather();
            let Some((mean, kept)) = shrinkage(&values) else {
                continue;
            };
            let n = values.len() as f64;
            for peak in set.iter_mut().filter(|p| kind(p)) {
                let Some(e) = peak.ways[way as usize].as_mut() else {
                    continue;
                };
                let own = e.own_sd.powi(2);
                // The mean's error is one for all of them.
                let (alone, together) = (own * kept, own * (1.0 - kept) / n);
                *e = e.moved((1.0 - kept) * (mean - e.value));
                e.own_sd = alone.sqrt();
                e.sd = (e.sd * e.sd - own + alone + together).max(1e-12).sqrt();
                for support in &mut e.supports {
                    let shared = support.shared_sd.powi(2) + together;
                    support.shared_sd = shared.sqrt();
                }
            }
        }
    }
}

/// Mean of values (value, variance of its own error), and the share of each one's distance from
/// it that is kept.
fn shrinkage(values: &[(f64, f64)]) -> Option<(f64, f64)> {
    let n = values.len() as f64;
    if values.len() < 3 {
        return None;
    }
    let mean = values.iter().map(|v| v.0).sum::<f64>() / n;
    let noise = values.iter().map(|v| v.1).sum::<f64>() / n;
    let spread = values.iter().map(|v| (v.0 - mean).powi(2)).sum::<f64>() / (n - 1.0);
    Some((mean, (1.0 - noise / spread.max(1e-12)).clamp(0.15, 1.0)))
}
