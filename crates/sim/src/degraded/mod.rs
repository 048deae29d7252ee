//! The rendered clips with their pictures through the whole core, as given and after what a phone,
//! a messenger and a hand do to a clip.

mod row;
mod way;

pub use row::{Errors, Row};
pub use way::{WAYS, Way};

use crate::clips;
use crate::film::Film;
use crate::rng::Draw;
use glam::DVec2;
use std::path::Path;
use underfoot::picture::{GreyView, Picture};
use underfoot::report::Report;
use underfoot::session::{Options, Session};

/// Head of the table that [`Row`] prints a line of.
pub const HEAD: &str = "\
| clips | heel, mean abs. error, mm | worst | unseen | roll, mean abs. error, degrees | worst | unseen | roll within 2 errors | false heel faults | false roll faults |
|---|---|---|---|---|---|---|---|---|---|";

/// One row: all six clips this way. `told` whether the lifter's footwear is told. With `cases` every
/// single value goes there, a line each.
///
/// # Errors
/// A clip that isn't in `folder`, or can't be read.
pub fn row(
    way: &Way,
    folder: &Path,
    told: bool,
    cases: &mut dyn FnMut(String),
) -> Result<Row, String> {
    let mut row = Row::default();
    for name in clips::NAMES {
        let mut film = clips::load(name, true)?;
        if !told {
            film.recording.setup.footwear = None;
        }
        let report = read(way, &film, &folder.join(format!("{name}.webm")))
            .map_err(|e| format!("{name}: {e}"))?;
        row.add(name, &film.truth, &report, cases);
    }
    Ok(row)
}

fn read(way: &Way, film: &Film, clip: &Path) -> Result<Report, String> {
    if !clip.is_file() {
        return Err(format!("{} is not there", clip.display()));
    }
    let recording = &film.recording;
    let image = recording.setup.image;
    let (width, height) = (image.width as usize, image.height as usize);
    let mut pictures = way.pictures(clip, (width, height))?;
    let mut session = Session::new(recording.setup.clone(), Options::default());
    let mut draw = Draw::new(4);
    let mut seen = 0;
    for (n, frame) in recording.frames.iter().enumerate() {
        let Some(data) = pictures.next() else { break };
        seen += 1;
        if way.one_lost_of > 0 && draw.uniform(0.0, f64::from(way.one_lost_of)) < 1.0 {
            continue;
        }
        let [dx, dy] = way.shaken(n);
        let people: Vec<Vec<[f64; 3]>> = frame
            .people
            .iter()
            .map(|p| p.iter().map(|&[x, y, s]| [x + dx, y + dy, s]).collect())
            .collect();
        let view = GreyView::new(data, width, height, width, DVec2::ZERO, 1.0)
            .map_err(|e| format!("frames[{n}]: {e}"))?;
        session
            .push_with(frame.t_ms, &people, Some(&Picture::Whole(view)))
            .map_err(|e| format!("frames[{n}]: {e}"))?;
    }
    // A clip that ffmpeg couldn't read would give a table of keypoints alone.
    if seen + 5 < recording.frames.len() {
        return Err(format!(
            "{seen} pictures, {} frames",
            recording.frames.len()
        ));
    }
    Ok(session.report())
}
