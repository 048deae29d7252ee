//! The crops around one foot: cut from whole pictures, flipped back, and kept of standing.

use super::grey::GreyView;
use crate::gather::Gather;
use glam::DVec2;
use std::collections::VecDeque;

/// Crops of standing kept to learn a foot from, this far apart and so many.
const APART_MS: f64 = 60.0;
const KEPT: usize = 14;
/// Room around a foot's points, in lengths of the foot as it is seen, and at least so many px.
const ROOM: f64 = 0.6;
const LEAST_PX: f64 = 24.0;
/// Longest side of a crop that is cut from a whole picture, px; and of one that is not read coarser.
const LONGEST: f64 = 2000.0;
const FINEST: usize = 256;

/// A crop of standing, owned.
#[derive(Clone, Debug, Default)]
struct Kept {
    t_ms: f64,
    data: Vec<u8>,
    width: usize,
    height: usize,
    origin: DVec2,
    scale: f64,
}

impl Kept {
    fn take(&mut self, t_ms: f64, view: &GreyView<'_>) {
        self.t_ms = t_ms;
        (self.width, self.height) = (view.width(), view.height());
        (self.origin, self.scale) = (view.origin(), view.scale());
        self.data.clear();
        for y in 0..view.height() {
            self.data.extend_from_slice(view.row(y));
        }
    }

    fn view(&self) -> Option<GreyView<'_>> {
        let (w, h) = (self.width, self.height);
        GreyView::new(&self.data, w, h, w, self.origin, self.scale).ok()
    }
}

/// What is kept of one foot's crops.
#[derive(Clone, Debug, Default)]
pub(super) struct Crops {
    kept: VecDeque<Kept>,
    /// Where the crop lies in whole pictures: low and high corner, px.
    region: Option<(DVec2, DVec2)>,
}

impl Crops {
    /// Whether none has come.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// Those from between two times.
    pub fn between(&self, from_ms: f64, to_ms: f64) -> Vec<GreyView<'_>> {
        self.kept
            .iter()
            .filter(|k| (from_ms..=to_ms).contains(&k.t_ms))
            .filter_map(Kept::view)
            .gather()
    }

    /// Keeps a frame's crop, unless the last one is too young.
    pub fn keep(&mut self, t_ms: f64, view: &GreyView<'_>) {
        let kept = &mut self.kept;
        if kept.back().is_some_and(|k| t_ms - k.t_ms < APART_MS) {
            return;
        }
        // The oldest one's memory is used again.
        let mut next = if kept.len() >= KEPT {
            kept.pop_front()
        } else {
            None
        }
        .unwrap_or_default();
        next.take(t_ms, view);
        kept.push_back(next);
    }

    /// The part of a whole picture around the foot's points, px of that picture; it stays where it is
    /// while they are inside.
    pub fn cut<'a>(
        &mut self,
        seen: &[Option<DVec2>; 4],
        whole: &GreyView<'a>,
    ) -> Option<GreyView<'a>> {
        if seen.iter().flatten().count() >= 3 {
            let points = || seen.iter().flatten().copied();
            let low = points().fold(DVec2::INFINITY, DVec2::min);
            let high = points().fold(DVec2::NEG_INFINITY, DVec2::max);
            let out = self
                .region
                .is_none_or(|(a, b)| low.cmplt(a).any() || high.cmpgt(b).any());
            if out {
                let room = (ROOM * (high - low).max_element()).max(LEAST_PX);
                self.region = Some((low - room, high + room));
            }
        }
        let (low, high) = self.region?;
        let from = ((low - whole.origin()) / whole.scale()).floor();
        let size = ((high - low) / whole.scale())
            .ceil()
            .min(DVec2::splat(LONGEST));
        whole.part(from.x, from.y, size.x, size.y)
    }
}

/// A crop of a picture `width` px wide that came flipped left-right, flipped back into `memory`.
pub(super) fn turned<'a>(
    view: &GreyView<'_>,
    width: f64,
    memory: &'a mut Vec<u8>,
) -> Option<GreyView<'a>> {
    memory.clear();
    for y in 0..view.height() {
        memory.extend(view.row(y).iter().rev());
    }
    let (w, h) = (view.width(), view.height());
    let right = view.origin().x + (w - 1) as f64 * view.scale();
    let origin = DVec2::new(width - right, view.origin().y);
    GreyView::new(memory, w, h, w, origin, view.scale()).ok()
}

/// A crop that is longer than need be, read coarser into `memory`: means of squares of pixels.
pub(super) fn coarser<'a>(view: GreyView<'a>, memory: &'a mut Vec<u8>) -> Option<GreyView<'a>> {
    let by = view.width().max(view.height()).div_ceil(FINEST);
    if by < 2 {
        return Some(view);
    }
    let (w, h) = (view.width() / by, view.height() / by);
    memory.clear();
    for y in 0..h {
        for x in 0..w {
            let rows = (y * by..(y + 1) * by).map(|y| view.row(y));
            let square = rows.flat_map(|row| row.iter().skip(x * by).take(by));
            let sum: usize = square.map(|&v| usize::from(v)).sum();
            memory.push(((sum + by * by / 2) / (by * by)).min(255) as u8);
        }
    }
    let middle = DVec2::splat(0.5 * (by - 1) as f64 * view.scale());
    let scale = view.scale() * by as f64;
    GreyView::new(memory, w, h, w, view.origin() + middle, scale).ok()
}
