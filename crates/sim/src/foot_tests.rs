//! The foot model against itself.

use super::*;

fn foot(pivot: Pivot, axis: RollAxis) -> Foot {
    Foot::random(&mut Draw::new(1), 0.26, 0.07, 0.2, pivot, axis)
}

#[test]
fn heel_rises_by_what_was_asked_and_ball_stays() {
    for pivot in [Pivot::Ball, Pivot::ToeTip] {
        let foot = foot(pivot, RollAxis::Edge);
        let rest = foot.place(&FootState::default(), 1.0);
        let up = foot.place(
            &FootState {
                heel_mm: 30.0,
                ..FootState::default()
            },
            1.0,
        );
        assert!((up.heel.y - rest.heel.y - 0.030).abs() < 1e-9);
        if pivot == Pivot::Ball {
            assert_eq!(up.big_toe, rest.big_toe);
        }
        let d = up.heel.distance(up.ankle) - rest.heel.distance(rest.ankle);
        assert!(d.abs() < 1e-9);
    }
}

#[test]
fn back_undoes_place() {
    for (pivot, axis) in [
        (Pivot::Ball, RollAxis::Edge),
        (Pivot::ToeTip, RollAxis::Midline),
    ] {
        let foot = foot(pivot, axis);
        for side in [1.0, -1.0] {
            let state = FootState {
                at: DVec2::new(0.2, -0.1),
                bearing: 17.0,
                raised: 0.03,
                heel_mm: 25.0,
                roll: -6.0,
            };
            let placed = foot.place(&state, side);
            for (at, rest) in [
                (placed.heel, foot.heel),
                (placed.ankle, foot.ankle),
                (placed.tip, foot.tip),
                (placed.small_toe, foot.small_toe),
            ] {
                let back = foot.backward(&state, side).rest(at).unwrap();
                assert!(back.distance(rest) < 1e-9, "{back} {rest}");
            }
        }
    }
}

#[test]
fn rolling_in_keeps_the_medial_edge_and_lifts_the_lateral_one() {
    let foot = foot(Pivot::Ball, RollAxis::Edge);
    for side in [1.0, -1.0] {
        let rest = foot.place(&FootState::default(), side);
        let at = |roll| {
            foot.place(
                &FootState {
                    roll,
                    ..FootState::default()
                },
                side,
            )
        };
        let (inward, outward) = (at(10.0), at(-10.0));
        assert!(inward.small_toe.y - rest.small_toe.y > 0.01);
        assert!((inward.big_toe.y - rest.big_toe.y).abs() < 0.004);
        assert!(outward.big_toe.y - rest.big_toe.y > 0.008);
        assert!((inward.ankle - rest.ankle).dot(rest.medial) > 0.005);
        assert!((outward.ankle - rest.ankle).dot(rest.medial) < -0.005);
    }
}
