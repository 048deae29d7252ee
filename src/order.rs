//! Sorting and bounding by numbers. Each of these is compiled once or is small: the standard library's sort
//! takes five kilobytes for every type and comparison that it is used with, and pages download
//! this code.

use crate::gather::Gather;

/// `value`, or the bound that it is beyond; not a number stays so. The library's `clamp` panics when
/// the bounds are the wrong way round, and brings the formatting of floats along to say so.
pub(crate) fn within<T: PartialOrd>(value: T, low: T, high: T) -> T {
    if value < low {
        low
    } else if value > high {
        high
    } else {
        value
    }
}

/// Ascending; NaN comes last (first when negative).
#[inline(never)]
pub(crate) fn ascending(values: &mut [f64]) {
    shell(values, |a, b| a.total_cmp(b).is_gt());
}

/// Ascending, each once.
#[inline(never)]
pub(crate) fn each_once(numbers: &mut Vec<usize>) {
    shell(numbers, |a, b| a > b);
    numbers.dedup();
}

/// Shell's sort with Knuth's steps (The Art of Computer Programming, volume 3, 5.2.1): a twentieth
/// of the library's code, and as quick up to some thousand values. Equal ones change places.
pub(crate) fn shell<T: Copy>(list: &mut [T], after: impl Fn(&T, &T) -> bool) {
    let mut step = 1;
    while step < list.len() / 3 {
        step = 3 * step + 1;
    }
    while step > 0 {
        for end in step..list.len() {
            let mut at = end;
            while at >= step && after(&list[at - step], &list[at]) {
                list.swap(at, at - step);
                at -= step;
            }
        }
        step /= 3;
    }
}

/// Largest key first; equal ones keep their order.
pub(crate) fn largest_first<T: Clone>(list: &mut Vec<T>, key: impl Fn(&T) -> f64) {
    // Negated, so that one sort serves: of equal keys the earlier place comes first.
    let mut keys: Vec<(f64, usize)> = list.iter().map(key).map(|k| -k).zip(0..).gather();
    by_key_then_place(&mut keys);
    let sorted: Vec<T> = keys
        .iter()
        .filter_map(|&(_, i)| list.get(i).cloned())
        .gather();
    *list = sorted;
}

#[inline(never)]
fn by_key_then_place(keys: &mut [(f64, usize)]) {
    shell(keys, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).is_gt());
}

/// Puts a short list in order; equal ones keep theirs. The time grows with the square of the
/// length.
pub(crate) fn short_list<T>(list: &mut [T], before: impl Fn(&T, &T) -> bool) {
    for end in 1..list.len() {
        let mut at = end;
        while at > 0 && before(&list[at], &list[at - 1]) {
            list.swap(at, at - 1);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the standard library's stable sort.
    #[test]
    fn the_same_order_as_a_stable_sort() {
        let mut state = 1_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 28)
        };
        for n in [0, 1, 2, 7, 100, 1000] {
            let list: Vec<(f64, usize)> = (0..n).map(|i| (next(), i)).collect();
            let mut expected = list.clone();
            expected.sort_by(|a, b| b.0.total_cmp(&a.0));
            let mut found = list.clone();
            largest_first(&mut found, |x| x.0);
            assert_eq!(found, expected);
            let mut found = list.clone();
            short_list(&mut found, |a, b| a.0 > b.0);
            assert_eq!(found, expected);
            let mut numbers: Vec<f64> = list.iter().map(|x| x.0).collect();
            ascending(&mut numbers);
            assert!(numbers.is_sorted());
            let mut places: Vec<usize> = list.iter().map(|x| x.0 as usize).collect();
            let expected: std::collections::BTreeSet<usize> = places.iter().copied().collect();
            each_once(&mut places);
            assert!(places.iter().eq(&expected));
        }
    }
}
