//! A recording read together with its clip: the feet are followed in the picture.

use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::Path;

use glam::DVec2;
use underfoot::keypoints::{Marks, Recording};
use underfoot::picture::{GreyError, GreyView, Picture};
use underfoot::report::Report;
use underfoot::session::{Options, Session};

use crate::y4m::Clip;

/// The report of a recording whose i-th frame is the clip's i-th picture. Frames beyond the
/// clip's end are read from their keypoints alone.
pub fn analyze(
    recording: &Recording,
    clip_path: &Path,
    options: &Options,
) -> Result<Report, String> {
    let (mut clip, mut session) = (
        open(clip_path)?,
        Session::new(recording.setup.clone(), options.clone()),
    );
    let image = recording.setup.image;
    let (width, height) = (clip.width, clip.height);
    // The clip may be larger or smaller than the picture that the points refer to.
    let scale = image.width / width as f64;
    let origin = DVec2::splat(0.5 * scale - 0.5);
    fn view(data: &[u8], [w, h]: [usize; 2], at: (DVec2, f64)) -> Result<GreyView<'_>, GreyError> {
        GreyView::new(data, w, h, w, at.0, at.1)
    }
    let (size, at) = ([width, height], (origin, scale));
    if let Some(marks) = &recording.setup.marks {
        let pictures = about_marks(recording, marks, open(clip_path)?)?;
        let views: Result<Vec<_>, _> = pictures.iter().map(|data| view(data, size, at)).collect();
        let views = views.map_err(|e| format!("marks: {e}"))?;
        let marked = session.mark(marks, &views);
        marked.map_err(|e| e.to_string())?;
    }
    for (i, frame) in recording.frames.iter().enumerate() {
        let luma = clip.next()?;
        let view = luma
            .map(|data| view(data, size, at))
            .transpose()
            .map_err(|e| format!("frames[{i}]: {e}"))?;
        let picture = view.map(Picture::Whole);
        session
            .push_with(frame.t_ms, &frame.people, picture.as_ref())
            .map_err(|e| format!("frames[{i}].{e}"))?;
    }
    Ok(session.report())
}

fn open(clip: &Path) -> Result<Clip<BufReader<File>>, String> {
    let file = File::open(clip).map_err(|e| format!("{}: cannot be read: {e}", clip.display()))?;
    Clip::open(BufReader::new(file))
}

/// Pictures within this time of the marked one show the same standing, ms; and so many are kept, this far apart.
const SAME_MS: f64 = 300.0;
const KEPT: usize = 9;
const APART_MS: f64 = 60.0;

/// The marked picture, and others of the same standing.
fn about_marks(
    recording: &Recording,
    marks: &Marks,
    mut clip: Clip<impl BufRead>,
) -> Result<Vec<Vec<u8>>, String> {
    let from = |t_ms: f64| (t_ms - marks.t_ms).abs();
    let times = recording.frames.iter().map(|f| f.t_ms);
    let nearest = times.clone().map(from).fold(f64::INFINITY, f64::min);
    if nearest > SAME_MS {
        return Err("marks.t_ms: no frame is near that time".into());
    }
    let (mut marked, mut others) = (Vec::new(), Vec::new());
    let mut last = f64::NEG_INFINITY;
    for t_ms in times {
        let Some(data) = clip.next()? else { break };
        if marked.is_empty() && from(t_ms) <= nearest {
            marked.push(data.to_vec());
        } else if from(t_ms) <= SAME_MS && t_ms - last >= APART_MS && others.len() + 1 < KEPT {
            last = t_ms;
            others.push(data.to_vec());
        }
    }
    marked.append(&mut others);
    Ok(marked)
}
