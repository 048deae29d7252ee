//! A whole recording at once.

use crate::keypoints::Recording;
use crate::picture::Picture;
use crate::report::Report;
use crate::session::{Options, Session};
use crate::{Error, ErrorCode};

/// Reads a whole recording; the same as pushing its frames into a [`Session`].
///
/// # Errors
/// A frame whose time goes back or whose points do not fit the layout.
pub fn analyze(recording: &Recording, options: &Options) -> Result<Report, Error> {
    if recording.frames.is_empty() {
        return Err(Error::new(
            ErrorCode::Empty,
            "frames",
            "the recording holds no frame",
        ));
    }
    let mut session = Session::new(recording.setup.clone(), options.clone());
    for (i, frame) in recording.frames.iter().enumerate() {
        let feet = frame.feet.map(Picture::Tracked);
        session
            .push_with(frame.t_ms, &frame.people, feet.as_ref())
            .map_err(|e| Error::new(e.code(), format!("frames[{i}].{}", e.field()), e.reason()))?;
    }
    Ok(session.report())
}
