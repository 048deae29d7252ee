//! One set in progress.

use crate::gather::Gather;
use glam::DVec2;
use wasm_bindgen::prelude::*;

use super::grey::Crop;
use super::node::Js;
use super::options::{self, RawOptions};
use super::report;
use crate::Error;
use crate::keypoints::{Person, Side, TrackedFoot, read_setup};
use crate::live::Live;
use crate::measures::Estimate;
use crate::session::Session;

/// What the facade's `Session` owns. It must be freed.
#[wasm_bindgen]
pub struct RawSession {
    session: Session,
    live: Live,
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
            live: session.live(),
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
    /// not finite means unseen.
    pub fn push(&mut self, t_ms: f64, points: &[f64]) -> Result<(), JsValue> {
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
        self.live = taken?;
        Ok(())
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
        let contacts = motion.contacts_px.map(|p| p.unwrap_or(DVec2::NAN));
        let points = contacts.into_iter().chain(feet.outline(side));
        points.flat_map(|p| [p.x, p.y]).gather()
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
        let pair = |p: Option<[f64; 2]>| p.unwrap_or([f64::NAN; 2]);
        let foot = |foot: &Option<TrackedFoot>| {
            let foot = foot.unwrap_or_default();
            let [heel, big, small] = foot.contacts_px;
            [foot.heel_lift_mm, foot.foot_roll_deg, heel, big, small].map(pair)
        };
        feet.iter().flat_map(foot).flatten().gather()
    }

    /// Every check in the last frame: value and standard error of heel lift, knee in and foot roll,
    /// each left and right, then forward and load left; NaN where unseen.
    pub fn values(&self) -> Vec<f64> {
        let pair = |e: Option<Estimate>| e.map_or([f64::NAN; 2], |e| [e.value, e.sd]);
        let values = self.session.values();
        values.into_iter().flat_map(pair).gather()
    }

    /// Where in the lift: 0 searching, 1 standing, 2 down, 3 bottom, 4 up.
    #[wasm_bindgen(getter)]
    pub fn phase(&self) -> u8 {
        self.live.phase as u8
    }

    /// Repetitions finished so far.
    #[wasm_bindgen(getter)]
    pub fn reps(&self) -> usize {
        self.live.reps
    }

    /// Whether values can be measured.
    #[wasm_bindgen(getter)]
    pub fn standing_known(&self) -> bool {
        self.live.standing_known
    }

    /// The repetition that the last frame made final, from 1; 0 when none.
    #[wasm_bindgen(getter)]
    pub fn finished(&self) -> usize {
        self.live.finished.unwrap_or(0)
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
        self.live = self.session.live();
    }
}
