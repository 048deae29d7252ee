//! One set in progress.

use glam::DVec2;
use wasm_bindgen::prelude::*;

use super::grey::Crop;
use super::node::Js;
use super::options::{self, RawOptions};
use super::report;
use crate::Error;
use crate::keypoints::{Person, Side, read_setup};
use crate::measures::Channel;
use crate::session::Session;

/// What the facade's `Session` owns. It must be freed.
#[wasm_bindgen]
pub struct RawSession {
    session: Session,
    /// The frame's points, kept so that frames cost no allocation.
    people: Vec<Person>,
    /// The next frame's crops around the feet, left and right.
    crops: [Crop; 2],
}

#[wasm_bindgen]
impl RawSession {
    /// A session for frames of this set-up (a recording without its frames).
    #[wasm_bindgen(constructor)]
    pub fn new(setup: JsValue, options: &RawOptions) -> Result<RawSession, JsValue> {
        let setup = read_setup(&Js(setup))?;
        let session = Session::new(setup, options::read(options)?);
        Ok(Self {
            session,
            people: Vec::new(),
            crops: Default::default(),
        })
    }

    /// Points of one person's list.
    #[wasm_bindgen(getter)]
    pub fn count(&self) -> usize {
        self.session.setup.layout.count()
    }

    /// Takes a frame: x px, y px, score of every point of every person, flat. A coordinate that is
    /// not finite means unseen. Gives the live state in one number, because every call costs: bits
    /// 0 to 2 where in the lift (0 searching, 1 standing, 2 down, 3 bottom, 4 up), bit 3 whether
    /// values can be measured, bit 4 whether this frame made a repetition final, and from bit 5 on
    /// the repetitions finished so far.
    pub fn push(&mut self, t_ms: f64, points: &[f64]) -> Result<u32, JsValue> {
        let size = self.count() * 3;
        if !points.len().is_multiple_of(size) {
            let reason = format!("has {} numbers, a person has {size}", points.len());
            return Err(Error::bad("points", reason).into());
        }
        self.people.resize(points.len() / size, Person::new());
        for (person, flat) in self.people.iter_mut().zip(points.chunks_exact(size)) {
            person.clear();
            person.extend_from_slice(flat.as_chunks::<3>().0);
        }
        let picture = Crop::picture(&self.crops);
        let taken = self.session.push_with(t_ms, &self.people, picture.as_ref());
        self.crops.iter_mut().for_each(Crop::clear);
        let live = taken?;
        let flags = u32::from(live.standing_known) << 3 | u32::from(live.finished.is_some()) << 4;
        Ok(live.phase as u32 | flags | (live.reps as u32) << 5)
    }

    /// A crop around a foot for the next frame: its upper left corner in the picture, px, its size,
    /// bytes a row, px of the picture that one of its pixels spans, and its luma.
    #[allow(clippy::too_many_arguments)] // one call a crop is cheaper than an object
    pub fn grey(
        &mut self,
        right: bool,
        x: f64,
        y: f64,
        width: f64,
        height: f64,
        stride: f64,
        scale: f64,
        data: &[u8],
    ) -> Result<(), JsValue> {
        let crop = &mut self.crops[usize::from(right)];
        crop.take([x, y], [width, height, stride], scale, data)
            .map_err(|e| JsValue::from(Error::bad("grey", e)))
    }

    /// What the last frame showed of a foot: heel, big-toe base and little-toe base, then the corners
    /// of the outline, x and y each, px; NaN where not seen, empty when the foot was not followed.
    pub fn foot(&self, right: bool) -> Vec<f64> {
        let side = Side::BOTH[usize::from(right)];
        let feet = self.session.feet();
        let Some(Ok(motion)) = feet.last(side) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for contact in motion.contacts_px {
            out.extend_from_slice(contact.unwrap_or(DVec2::NAN).as_ref());
        }
        for corner in feet.outline(side) {
            out.extend_from_slice(corner.as_ref());
        }
        out
    }

    /// Why a foot was not followed in the last frame; nothing when it was, or when none was learnt.
    pub fn lost(&self, right: bool) -> Option<String> {
        let side = Side::BOTH[usize::from(right)];
        let lost = self.session.feet().last(side)?.err()?;
        Some(lost.name().to_owned())
    }

    /// What the pictures of the feet said of the last frame; empty when none came. Ten numbers a
    /// foot, left first: lift, its error, roll, its error, and x y of heel point, big-toe base and
    /// little-toe base; NaN where there is none.
    pub fn tracked(&self) -> Vec<f64> {
        let Some(feet) = self.session.tracked() else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for foot in feet {
            let foot = foot.unwrap_or_default();
            let [heel, big, small] = foot.contacts_px;
            for pair in [foot.heel_lift_mm, foot.foot_roll_deg, heel, big, small] {
                out.extend_from_slice(&pair.unwrap_or([f64::NAN; 2]));
            }
        }
        out
    }

    /// Every check in the last frame: value and standard error of heel lift, knee in and foot roll,
    /// each left and right, then forward and load left; NaN where unseen.
    pub fn values(&self) -> Vec<f64> {
        let mut out = Vec::with_capacity(2 * Channel::COUNT);
        for seen in self.session.values() {
            out.extend_from_slice(&seen.map_or([f64::NAN; 2], |e| [e.value, e.sd]));
        }
        out
    }

    /// The result of repetition `number` (from 1), as a plain object; null when there is none.
    pub fn rep(&self, number: usize) -> Result<JsValue, JsValue> {
        report::plain(&self.session.rep(number))
    }

    /// What can be seen from here; null until standing is known.
    pub fn seen(&self) -> Result<JsValue, JsValue> {
        report::plain(&self.session.seen())
    }

    /// The report over everything pushed so far, as a plain object.
    pub fn report(&self, options: &RawOptions) -> Result<JsValue, JsValue> {
        let series = options::read(options)?.series;
        report::plain(&self.session.report_with(series))
    }

    /// Forgets every frame; set-up and options stay.
    pub fn reset(&mut self) {
        self.session.reset();
    }
}
