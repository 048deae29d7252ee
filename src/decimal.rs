//! Numbers as text, for messages and sentences. The standard library's exact formatting of floats
//! takes fifteen kilobytes of the module that pages download; three decimals need none of it.

/// Beyond this a thousandth is no longer exact.
const MOST: f64 = 8e12;

/// `value` rounded to at most `digits` decimals (3 at most), without trailing zeros: `0.8`, `33.3`,
/// `-5`.
pub(crate) fn decimal(value: f64, digits: u32) -> String {
    if value.is_nan() {
        return "not a number".to_owned();
    }
    if value.abs() >= MOST {
        let sign = if value < 0.0 { "below -" } else { "above " };
        return format!("{sign}8000000000000");
    }
    let scale = 10_u64.pow(digits.min(3));
    let size = (value.abs() * scale as f64).round() as u64;
    let (whole, mut part) = (size / scale, size % scale);
    let mut width = digits.min(3) as usize;
    while part != 0 && part % 10 == 0 {
        part /= 10;
        width -= 1;
    }
    let sign = if value < 0.0 && size != 0 { "-" } else { "" };
    if part == 0 {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{part:0width$}")
    }
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn like_the_standard_library_but_without_zeros() {
        for i in -2000..2000 {
            let value = f64::from(i) / 16.0 + 0.0001;
            for digits in 0..=3_u32 {
                let full = format!("{value:.*}", digits as usize);
                let expected = if full.contains('.') {
                    full.trim_end_matches('0').trim_end_matches('.').to_owned()
                } else {
                    full
                };
                let expected = if expected == "-0" {
                    "0".to_owned()
                } else {
                    expected
                };
                assert_eq!(decimal(value, digits), expected);
            }
        }
        assert_eq!(decimal(f64::NAN, 1), "not a number");
        assert_eq!(decimal(f64::NEG_INFINITY, 1), "below -8000000000000");
        assert_eq!(decimal(1e300, 3), "above 8000000000000");
        assert_eq!(decimal(1_764_000_000_000.5, 3), "1764000000000.5");
    }
}
