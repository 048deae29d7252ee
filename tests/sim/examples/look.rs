use glam::*;
use underfoot_sim::drawn::*;
use underfoot_sim::*;
fn main() {
    let mut k = 0;
    for view in VIEWS {
        for wear in Wear::ALL {
            let mut draw = rng::Draw::new(3 + k);
            k += 1;
            let l = Lifter::random(&mut draw);
            let spec = SetSpec::default();
            let scene = spec.scene(l, &mut draw);
            let camera = Camera::random(&mut draw, view);
            let room = Room {
                floor: Floor::ALL[(k % 4) as usize],
                wear,
                light: DVec3::new(0.3, 1.0, 0.4).normalize(),
                helper: None,
            };
            let s = Studio {
                scene: &scene,
                camera,
                room,
            };
            let c = s.crops()[0].unwrap();
            let t0 = std::time::Instant::now();
            let d = s.draw(&c, 0.0, DVec2::ZERO);
            println!("{view:?} {wear:?} {:?} {:?}", c, t0.elapsed());
            let mut o = format!("P5 {} {} 255\n", c.size.0, c.size.1).into_bytes();
            o.extend(d.iter().map(|v| *v as u8));
            std::fs::write(
                format!("/tmp/wt/out-picture/look-{}-{:?}.pgm", view.name(), wear),
                o,
            )
            .unwrap();
        }
    }
}
