//! From the 23 named joints to an estimator's whole list.

use underfoot::keypoints::{Joint, Layout, Person};

/// The list in the layout's order. Points that the layout has beside the named ones (face,
/// fingers, neck) are put at the nearest named joint or between two; they carry no measure.
pub fn spread(seen: &[[f64; 3]; Joint::COUNT], layout: &Layout) -> Person {
    let mut out: Person = (0..layout.count())
        .map(|i| {
            let (a, b) = near(layout.name(), i);
            let (p, q) = (seen[a.index()], seen[b.index()]);
            [(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0, p[2].min(q[2])]
        })
        .collect();
    for joint in Joint::ALL {
        if let Some(slot) = layout.index_of(joint).and_then(|i| out.get_mut(i)) {
            *slot = seen[joint.index()];
        }
    }
    for point in &mut out {
        if !(point[0].is_finite() && point[1].is_finite()) {
            *point = [0.0, 0.0, 0.0];
        }
    }
    out
}

fn near(layout: &str, i: usize) -> (Joint, Joint) {
    use Joint::*;
    let one = |j| (j, j);
    match (layout, i) {
        ("blazepose-33", 1 | 3) => one(LeftEye),
        ("blazepose-33", 4 | 6) => one(RightEye),
        ("blazepose-33", 17 | 19 | 21) => one(LeftWrist),
        ("blazepose-33", 18 | 20 | 22) => one(RightWrist),
        ("halpe-26", 18) | ("body-25", 1) => (LeftShoulder, RightShoulder),
        ("halpe-26", 19) | ("body-25", 8) => (LeftHip, RightHip),
        ("coco-wholebody-133", 91..=111) => one(LeftWrist),
        ("coco-wholebody-133", 112..=132) => one(RightWrist),
        _ => one(Nose),
    }
}
