//! A drawn film through a session, frame by frame.

use super::jpeg::compressed;
use super::studio::Studio;
use crate::film::Film;
use crate::rng::Draw;
use glam::DVec2;
use underfoot::keypoints::{Footwear, Side};
use underfoot::picture::{FootMotion, GreyView, Lost, Picture};
use underfoot::report::Report;
use underfoot::session::{Options, Session};

/// What happens to the pictures between the lens and the page.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// JPEG's table of quality 50 times this.
    pub coarse: f64,
    /// The camera shakes, px each way.
    pub shake: f64,
    /// Part of the light that goes away and comes back.
    pub dims: f64,
    /// One frame in so many is lost, at random; 0 loses none.
    pub one_lost_of: u32,
}

impl Way {
    /// JPEG at quality 50 or so, 2 px, a third of the light, a tenth of the frames.
    pub const PHONE: Self = Self {
        coarse: 1.0,
        shake: 2.0,
        dims: 1.0 / 3.0,
        one_lost_of: 10,
    };
}

/// What the pictures of both feet said in one frame, left first; `None` where no crop came.
pub type Followed = [Option<Result<FootMotion, Lost>>; 2];

/// What a session made of a film.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The report at the end.
    pub report: Report,
    /// Time of every frame, ms, and what the pictures of both feet said in it.
    pub frames: Vec<(f64, Followed)>,
}

/// Draws a film's pictures and takes it through a session. `worn` is what the recording tells.
///
/// # Errors
/// A frame that the session refuses.
pub fn take(
    studio: &Studio<'_>,
    film: &Film,
    way: &Way,
    worn: Option<Footwear>,
    draw: &mut Draw,
) -> Result<Taken, String> {
    let mut setup = film.recording.setup.clone();
    setup.footwear = worn;
    let mut session = Session::new(setup, Options::default());
    let crops = studio.crops();
    let mut frames = Vec::new();
    for (n, frame) in film.recording.frames.iter().enumerate() {
        let standing = frame.t_ms < 500.0;
        let lost =
            way.one_lost_of > 0 && draw.uniform(0.0, f64::from(way.one_lost_of)) < 1.0 && !standing;
        if lost {
            continue;
        }
        let t = n as f64;
        let shake = way.shake * DVec2::new((1.9 * t).sin(), (1.3 * t).cos());
        let light = 1.0 - 0.5 * way.dims * (1.0 - (0.4 * t).cos());
        let pictures = crops.map(|crop| {
            let crop = crop?;
            let grey = studio.draw(&crop, frame.t_ms / 1e3, shake);
            let lit: Vec<f64> = grey.iter().map(|v| v * light).collect();
            Some((
                crop,
                compressed(&lit, crop.size.0, way.coarse, n as u64 + 1),
            ))
        });
        let views = [0, 1].map(|i| {
            let (crop, data) = pictures[i].as_ref()?;
            let (w, h) = crop.size;
            GreyView::new(data, w, h, w, crop.origin, crop.scale).ok()
        });
        let people: Vec<Vec<[f64; 3]>> = frame
            .people
            .iter()
            .map(|p| {
                let moved = |&[x, y, s]: &[f64; 3]| [x + shake.x, y + shake.y, s];
                p.iter().map(moved).collect()
            })
            .collect();
        session
            .push_with(frame.t_ms, &people, Some(&Picture::Feet(views)))
            .map_err(|e| e.to_string())?;
        let feet = session.feet();
        frames.push((frame.t_ms, Side::BOTH.map(|s| feet.last(s))));
    }
    Ok(Taken {
        report: session.report(),
        frames,
    })
}
