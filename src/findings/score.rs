//! How far beyond its line a value is, 0 to 100.

use crate::thresholds::Band;

/// 0 at the ordinary value, 50 on the line, 80 at twice and 90 at three times the distance from
/// the ordinary value to the line: with r the distance as a multiple of that to the line,
/// `100 r^2 / (1 + r^2)`. Never falls when the value moves away from the ordinary one. On the side
/// where the band has no line the score is 0.
pub fn score(value: f64, band: &Band) -> f64 {
    let r = ratio(value, band);
    100.0 * r * r / (1.0 + r * r)
}

/// Distance from the ordinary value as a multiple of the distance to the line; 0 or more.
pub fn ratio(value: f64, band: &Band) -> f64 {
    let departure = value - band.centre();
    let line = if departure < 0.0 { band.low } else { band.high };
    line.map_or(0.0, |line| departure.abs() / band.reach(line))
}

#[cfg(test)]
mod tests {
    use super::score;
    use crate::measures::Check;
    use crate::thresholds::{Lines, Thresholds};

    #[test]
    fn has_its_documented_points() {
        let t = Thresholds::default();
        let knee = t.of(Check::KneeIn);
        for (value, expected) in [
            (0.0, 0.0),
            (8.0, 50.0),
            (16.0, 80.0),
            (-8.0, 50.0),
            (-16.0, 80.0),
        ] {
            assert!((score(value, knee) - expected).abs() < 1e-9, "{value}");
        }
        assert_eq!(score(-8.0, t.of(Check::HeelLift)), 0.0);
        assert!((score(39.0, t.of(Check::HeelLift)) - 90.0).abs() < 1e-9);
    }

    #[test]
    fn is_monotone_on_both_sides_of_any_band() {
        let moved = Thresholds::default()
            .with(
                "knee_in_deg",
                Lines {
                    low: Some(6.0),
                    high: Some(9.0),
                },
            )
            .expect("valid");
        for t in [Thresholds::default(), moved] {
            for check in Check::ALL {
                let band = t.of(check);
                let centre = band.centre();
                for up in [1.0, -1.0] {
                    let scores: Vec<f64> = (0..400)
                        .map(|i| score(centre + up * f64::from(i) * 0.5, band))
                        .collect();
                    assert!(scores.windows(2).all(|w| w[0] <= w[1]), "{check:?}");
                    assert!(scores.iter().all(|s| (0.0..=100.0).contains(s)));
                }
            }
        }
    }
}
