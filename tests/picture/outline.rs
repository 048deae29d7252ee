//! The outline that is drawn on a followed foot lies where the foot is seen.
//!
//! Invented scene, drawn by tests/picture/support/feet.rs, which says exactly which pixels show the foot; the
//! measure is that of object detection, area of both over area of either (e.g. the PASCAL VOC challenge:
//! above 0.5 counts as found).

use crate::feet::{Moment, Room, STILL, compressed};
use crate::rendered::{clip, number};
use glam::DVec2;
use underfoot::keypoints::{Footwear, Side};
use underfoot::picture::{FeetPictures, GreyView, Picture};
use underfoot::pose::Pose;

/// Least part that outline and foot share of what either covers.
const SHARED: f64 = 0.68;

/// Whether a point is inside of a polygon (crossings of a ray to the right).
fn inside(polygon: &[DVec2], p: DVec2) -> bool {
    let ends = polygon.iter().zip(polygon.iter().cycle().skip(1));
    let crossed = ends.filter(|&(&a, &b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

/// What outline and foot share of what either covers; `foot` tells which pixels show it, row by row.
fn shared(outline: &[DVec2], view: &GreyView<'_>, foot: impl Fn(usize, DVec2) -> bool) -> f64 {
    let (mut both, mut either) = (0.0, 0.0f64);
    for k in 0..view.width() * view.height() {
        let place = DVec2::new((k % view.width()) as f64, (k / view.width()) as f64);
        let at = view.origin() + place;
        let (foot, drawn) = (foot(k, at), inside(outline, at));
        both += f64::from(u8::from(foot && drawn));
        either += f64::from(u8::from(foot || drawn));
    }
    both / either.max(1.0)
}

#[test]
fn the_outline_lies_on_the_foot() {
    // Some standing fit, of the room's camera and body.
    let some = clip("dev-side-clean");
    for azimuth in [30.0, 60.0, 90.0, 145.0] {
        // An estimator puts a foot a centimetre or two elsewhere.
        for off in [DVec2::ZERO, DVec2::new(6.0, 3.0), DVec2::new(-6.0, -3.0)] {
            let room = Room::new(azimuth);
            let mut fit = some.fit.clone();
            (fit.camera, fit.body) = (room.fitted(), room.body);
            fit.camera.centre += off;
            let mut feet = FeetPictures::new(&some.setup);
            let see = |feet: &mut FeetPictures, at: &Moment, n: u64| {
                let data = compressed(&room.draw(at), room.size.0, 1.0, n);
                let picture = Picture::Feet([Some(room.view(&data)), None]);
                feet.see(&Pose::empty(60.0 * n as f64), &picture, true);
            };
            (1..7).for_each(|n| see(&mut feet, &STILL, n));
            feet.anchor(&fit, None, 0.0, 360.0);
            for (n, pitch) in [(7, 0.0), (8, 0.06), (9, 0.12)] {
                let at = Moment { pitch, ..STILL };
                see(&mut feet, &at, n);
                let outline = feet.outline(Side::Left);
                let mask = room.mask(&at);
                let blank = vec![0; room.size.0 * room.size.1];
                let shared = shared(&outline, &room.view(&blank), |k, _| mask[k]);
                println!("from {azimuth}, off by {off}, pitch {pitch}: {shared:.2}");
                assert!(shared > SHARED, "from {azimuth}, off by {off}: {shared:.2}");
            }
        }
    }
}

/// A clip's foot in standing, the recording's px.
struct Traced {
    clip: &'static str,
    /// The shoe's edge as a person traced it on the picture at eleven times its size, to a px or two.
    edge: &'static [[f64; 2]],
    /// Where the renderer has the floor below heel and bases of big and little toe.
    contacts: [[f64; 2]; 3],
    /// The foot's length.
    long: f64,
    /// Least part that outline and shoe share of what either covers. A sole as dark as the floor beside
    /// it is taken for floor.
    shared: f64,
    /// Furthest that a contact point may be from where it is, in foot lengths.
    off: f64,
}

const TRACED: [Traced; 3] = [
    Traced {
        clip: "dev-side-clean",
        edge: &[
            [227.0, 716.0],
            [229.0, 713.0],
            [240.0, 708.0],
            [251.0, 705.0],
            [258.0, 700.0],
            [268.0, 698.0],
            [272.0, 692.0],
            [279.0, 687.0],
            [281.0, 684.0],
            [306.0, 683.0],
            [309.0, 690.0],
            [312.0, 702.0],
            [312.0, 714.0],
            [314.0, 716.0],
            [314.0, 724.0],
            [300.0, 727.0],
            [285.0, 730.0],
            [275.0, 731.0],
            [255.0, 731.0],
            [230.0, 728.0],
            [228.0, 721.0],
        ],
        contacts: [[313.3, 724.1], [248.0, 727.3], [258.1, 732.3]],
        long: 88.0,
        shared: 0.65,
        off: 0.15,
    },
    Traced {
        clip: "dev-side-heel-lift",
        edge: &[
            [229.0, 695.0],
            [233.0, 692.0],
            [244.0, 691.0],
            [253.0, 687.0],
            [260.0, 683.0],
            [266.0, 679.0],
            [272.0, 672.0],
            [278.0, 663.0],
            [301.0, 662.0],
            [302.0, 675.0],
            [304.0, 695.0],
            [305.0, 700.0],
            [305.0, 707.0],
            [290.0, 709.0],
            [270.0, 711.0],
            [250.0, 711.0],
            [235.0, 709.0],
            [229.0, 704.0],
        ],
        contacts: [[302.6, 707.8], [247.5, 709.0], [258.6, 713.2]],
        long: 75.0,
        shared: 0.55,
        off: 0.2,
    },
    Traced {
        clip: "dev-front-knees-in",
        edge: &[
            [313.0, 683.0],
            [334.0, 683.0],
            [334.0, 693.0],
            [339.0, 700.0],
            [345.0, 711.0],
            [351.0, 720.0],
            [357.0, 729.0],
            [356.0, 735.0],
            [347.0, 739.0],
            [335.0, 740.0],
            [326.0, 737.0],
            [319.0, 731.0],
            [316.0, 724.0],
            [316.0, 715.0],
            [318.0, 709.0],
            [316.0, 700.0],
            [314.0, 690.0],
        ],
        contacts: [[318.9, 722.8], [332.6, 737.6], [348.6, 733.9]],
        long: 71.0,
        shared: 0.65,
        off: 0.12,
    },
];

#[test]
fn outline_and_contact_points_lie_on_the_foot() {
    for traced in TRACED {
        let clip = clip(traced.clip);
        let mut feet = FeetPictures::new(&clip.setup);
        let standing = number(&clip.about["standing"]) as usize;
        let see = |feet: &mut FeetPictures, i: usize| {
            let mut views = [None; 2];
            views[clip.side.index()] = Some(clip.view(&clip.frames[i % standing]));
            feet.see(&Pose::empty(66.0 * i as f64), &Picture::Feet(views), true);
        };
        (0..standing).for_each(|i| see(&mut feet, i));
        feet.anchor(&clip.fit, Some(Footwear::Flat), 0.0, 1000.0);
        see(&mut feet, standing);
        let outline = feet.outline(clip.side);
        let edge: Vec<DVec2> = traced.edge.iter().map(|&p| p.into()).collect();
        let shared = shared(&outline, &clip.view(&clip.frames[0]), |_, p| {
            inside(&edge, p)
        });
        let contacts = feet.last(clip.side).unwrap().unwrap().contacts_px;
        let off = [0, 1, 2]
            .map(|i| contacts[i].unwrap().distance(traced.contacts[i].into()) / traced.long);
        println!(
            "{}: shares {shared:.2}, contact points off by {off:.2?} foot lengths",
            traced.clip
        );
        assert!(shared > traced.shared, "{}: {shared:.2}", traced.clip);
        assert!(
            off.iter().all(|&v| v < traced.off),
            "{}: {off:.2?}",
            traced.clip
        );
    }
}
