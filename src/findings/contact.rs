//! Contact states of heel and toe bases from their heights. Geometry, not pressure: a point that
//! has not risen is called planted whatever it carries.

use super::verdict::{SURE, normal_cdf};
use crate::angle::sin;
use crate::measures::{Check, Estimate, FootHeights};
use crate::report::{Contact, Contacts};
use crate::thresholds::Thresholds;

/// Breadth between the bases of the big and the little toe, mm: 0.28 of a foot of 260 mm.
const BREADTH_MM: f64 = 73.0;
/// Least height that counts as lifted, mm, whatever the lines are (common practice, no source).
const LEAST_MM: f64 = 3.0;

/// The state of one point at a height above standing, mm, against the height that counts as off
/// the floor.
///
/// - lifted: above `line_mm` with at least 90 %;
/// - unseen: so uncertain that even at its standing height it could not be told from lifted;
/// - light: risen by more than half of `line_mm`, and not surely lifted;
/// - planted: otherwise.
pub fn contact(height: Option<Estimate>, line_mm: f64) -> Contact {
    let Some(Estimate { value, sd }) = height else {
        return Contact::Unseen;
    };
    if !value.is_finite() || !sd.is_finite() || sd < 0.0 {
        return Contact::Unseen;
    }
    let sd = sd.max(1e-9);
    if normal_cdf((value - line_mm) / sd) >= SURE {
        Contact::Lifted
    } else if normal_cdf(line_mm / sd) < SURE {
        Contact::Unseen
    } else if value > line_mm / 2.0 {
        Contact::Light
    } else {
        Contact::Planted
    }
}

/// The states of one foot over time. The heel counts as lifted beyond its check's line, a toe
/// base where a foot rolled to its check's line would lift it.
pub fn contacts(heights: &FootHeights, thresholds: &Thresholds) -> Contacts {
    let line = |v: Option<f64>| v.unwrap_or(f64::INFINITY).max(LEAST_MM);
    let heel_mm = line(thresholds.of(Check::HeelLift).high);
    let roll = thresholds.of(Check::FootRoll);
    let rise = |degrees: Option<f64>| line(degrees.map(|d| sin(d.abs().to_radians()) * BREADTH_MM));
    let (big_mm, small_mm) = (rise(roll.low), rise(roll.high));
    let mut out = Contacts::default();
    for heel in &heights.heel {
        out.heel.push(contact(*heel, heel_mm));
    }
    let toes = heights.big_toe.len().max(heights.small_toe.len());
    for i in 0..toes {
        let at = |list: &[Option<Estimate>]| list.get(i).copied().flatten();
        let (big, small) = on_the_floor(at(&heights.big_toe), at(&heights.small_toe));
        out.big_toe.push(contact(big, big_mm));
        out.small_toe.push(contact(small, small_mm));
    }
    out
}

/// A foot cannot sink into the floor: when one toe base seems to, the other is that much higher.
fn on_the_floor(
    big: Option<Estimate>,
    small: Option<Estimate>,
) -> (Option<Estimate>, Option<Estimate>) {
    let (Some(b), Some(s)) = (big, small) else {
        return (big, small);
    };
    let under = b.value.min(s.value).min(0.0);
    // Both come from the same roll, so their errors add up rather than cancel.
    let lift = |e: Estimate, other: Estimate| {
        Some(Estimate {
            value: e.value - under,
            sd: if e.value > other.value {
                e.sd + other.sd
            } else {
                e.sd
            },
        })
    };
    (lift(b, s), lift(s, b))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(value: f64, sd: f64) -> Option<Estimate> {
        Some(Estimate { value, sd })
    }

    #[test]
    fn heel_states() {
        for (height, expected) in [
            (at(0.0, 3.0), Contact::Planted),
            (at(5.0, 3.0), Contact::Planted),
            (at(9.0, 3.0), Contact::Light),
            (at(15.0, 3.0), Contact::Light),
            (at(20.0, 3.0), Contact::Lifted),
            (at(0.0, 12.0), Contact::Unseen),
            (at(60.0, 20.0), Contact::Lifted),
            (at(f64::NAN, 1.0), Contact::Unseen),
            (None, Contact::Unseen),
        ] {
            assert_eq!(contact(height, 13.0), expected, "{height:?}");
        }
    }

    #[test]
    fn a_foot_rolled_out_lifts_its_big_toe_base_only() {
        // 12 degrees about the long axis, arms 26 and 47 mm.
        let heights = FootHeights {
            heel: vec![at(0.0, 2.0)],
            big_toe: vec![at(5.4, 1.0)],
            small_toe: vec![at(-9.8, 1.5)],
        };
        let states = contacts(&heights, &Thresholds::default());
        assert_eq!(states.heel, [Contact::Planted]);
        assert_eq!(states.big_toe, [Contact::Lifted]);
        assert_eq!(states.small_toe, [Contact::Planted]);
    }
}
