//! Filters of sample lists: the level of the deepest, zero-phase smoothing.

use crate::gather::Gather;

/// The deepest is what is exceeded for so long, ms.
/// tuned: `reps`
const DEEP_MS: f64 = 250.0;

/// The index whose value is exceeded for [`DEEP_MS`] in all.
pub(super) fn deepest(t_ms: &[f64], values: &[f64]) -> Option<usize> {
    let finite = values.iter().zip(0_u32..).filter(|(v, _)| v.is_finite());
    let mut list = finite.map(|(&v, i)| (v, f64::from(i))).gather();
    crate::order::shell(&mut list, |a, b| a.0 > b.0);
    let mut sum = 0.0;
    let mut index = None;
    for &(_, i) in list.iter().rev() {
        let i = i as usize;
        index = Some(i);
        sum += t_ms.get(i + 1).map_or(0.0, |t| t - t_ms[i]).min(100.0);
        if sum >= DEEP_MS {
            break;
        }
    }
    index
}

/// Mean with weights that fall exponentially to both sides; NaN is unknown, and so is what lies
/// four time constants from anything known.
pub(super) fn smooth_zero_phase(t_ms: &[f64], x: &[f64], tau: f64) -> Vec<f64> {
    let n = x.len().min(t_ms.len());
    let mut sums = vec![(0.0, 0.0); n];
    let pass = |order: &mut dyn Iterator<Item = usize>, sums: &mut [(f64, f64)], own: bool| {
        let (mut sum, mut weight, mut last) = (0.0, 0.0, None);
        for i in order {
            let t = t_ms[i];
            let keep = last.map_or(0.0, |l: f64| libm::exp(-(t - l).abs() / tau));
            last = Some(t);
            (sum, weight) = (sum * keep, weight * keep);
            if !own {
                sums[i] = (sums[i].0 + sum, sums[i].1 + weight);
            }
            if x[i].is_finite() {
                (sum, weight) = (sum + x[i], weight + 1.0);
            }
            if own {
                sums[i] = (sum, weight);
            }
        }
    };
    pass(&mut (0..n), &mut sums, true);
    pass(&mut (0..n).rev(), &mut sums, false);
    let mean = |&(s, w): &(f64, f64)| if w > 0.02 { s / w } else { f64::NAN };
    sums.iter().map(mean).collect()
}
