//! A recording read together with its clip: the feet are followed in the picture.

use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use glam::DVec2;
use underfoot::keypoints::Recording;
use underfoot::picture::{GreyView, Picture};
use underfoot::report::Report;
use underfoot::session::{Options, Session};

use crate::y4m::Clip;

/// The report of a recording whose i-th frame is the clip's i-th picture. Frames beyond the
/// clip's end are read from their keypoints alone.
pub fn analyze(recording: &Recording, clip: &Path, options: &Options) -> Result<Report, String> {
    let file = File::open(clip).map_err(|e| format!("{}: cannot be read: {e}", clip.display()))?;
    let mut clip = Clip::open(BufReader::new(file))?;
    let image = recording.setup.image;
    let (width, height) = (clip.width, clip.height);
    // The clip may be larger or smaller than the picture that the points refer to.
    let scale = image.width / width as f64;
    let origin = DVec2::splat(0.5 * scale - 0.5);
    let mut session = Session::new(recording.setup.clone(), options.clone());
    for (i, frame) in recording.frames.iter().enumerate() {
        let luma = clip.next()?;
        let view = luma
            .map(|data| GreyView::new(data, width, height, width, origin, scale))
            .transpose()
            .map_err(|e| format!("frames[{i}]: {e}"))?;
        let picture = view.map(Picture::Whole);
        session
            .push_with(frame.t_ms, &frame.people, picture.as_ref())
            .map_err(|e| format!("frames[{i}].{e}"))?;
    }
    Ok(session.report())
}
