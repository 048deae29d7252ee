//! Grey crops on their way from the host into the next frame.

use crate::picture::{GreyView, Picture};
use glam::DVec2;

/// One crop, in memory that is used again for every frame.
#[derive(Clone, Debug, Default)]
pub(super) struct Crop {
    data: Vec<u8>,
    width: usize,
    height: usize,
    stride: usize,
    origin: DVec2,
    scale: f64,
}

impl Crop {
    /// Takes a crop whose upper left corner lies at `corner`, px of the recording's picture;
    /// `size` is its width, height and bytes a row.
    ///
    /// # Errors
    /// What of it can't be right.
    pub fn take(
        &mut self,
        corner: [f64; 2],
        size: [f64; 3],
        scale: f64,
        data: &[u8],
    ) -> Result<(), String> {
        self.clear();
        // A cast from a float saturates; the view refuses what is out of range.
        let [width, height, stride] = size.map(|v| v as usize);
        // The corner is the outer edge of the first pixel; a view counts from its centre.
        let origin = DVec2::from(corner) + 0.5 * (scale - 1.0);
        GreyView::new(data, width, height, stride, origin, scale).map_err(|e| e.to_string())?;
        self.data.extend_from_slice(data);
        (self.width, self.height, self.stride) = (width, height, stride);
        (self.origin, self.scale) = (origin, scale);
        Ok(())
    }

    /// The crop is used up.
    pub fn clear(&mut self) {
        self.data.clear();
    }

    /// What the two crops, left and right, show; `None` when neither has come.
    pub fn picture(crops: &[Self; 2]) -> Option<Picture<'_>> {
        let views = crops.each_ref().map(Self::view);
        views
            .iter()
            .any(Option::is_some)
            .then_some(Picture::Feet(views))
    }

    /// The view of it; `None` when it has not come.
    pub fn view(&self) -> Option<GreyView<'_>> {
        let (w, h, s) = (self.width, self.height, self.stride);
        GreyView::new(&self.data, w, h, s, self.origin, self.scale).ok()
    }
}
