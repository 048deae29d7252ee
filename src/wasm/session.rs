//! One set in progress.

use glam::DVec2;
use wasm_bindgen::prelude::*;

use super::grey::Crop;
use super::node::Js;
use super::options::{self, RawOptions};
use super::report;
use crate::Error;
use crate::keypoints::{Person, Side, marks_of, read_setup};
use crate::measures::Channel;
use crate::picture::Picture;
use crate::session::Session;

/// Numbers in a piece of the frames kept.
const PIECE: usize = 4096;
/// Numbers that the pictures of the feet say.
const TRACKED: usize = 34;

/// What the facade's `Session` owns. It must be freed.
#[wasm_bindgen]
pub struct RawSession {
    session: Session,
    /// The frame's points as the host writes them, and by person: kept so that frames cost no
    /// allocation.
    points: Vec<f64>,
    people: Vec<Person>,
    /// Every frame taken, see [`RawSession::kept`].
    kept: Vec<Vec<f64>>,
    /// Why the last frame was refused.
    fault: Option<Error>,
    /// What [`RawSession::values`] gives.
    values: [[f64; 2]; Channel::COUNT],
    /// The next frame's crops around the feet, left and right.
    crops: [Crop; 2],
    /// The next frame's whole picture, and those that the next marks are made in.
    whole: Crop,
    stills: Vec<Crop>,
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
            points: Vec::new(),
            people: Vec::new(),
            kept: Vec::new(),
            fault: None,
            values: [[f64::NAN; 2]; Channel::COUNT],
            crops: Default::default(),
            whole: Crop::default(),
            stills: Vec::new(),
        })
    }

    /// Points of one person's list.
    #[wasm_bindgen(getter)]
    pub fn count(&self) -> usize {
        self.session.setup.layout.count()
    }

    /// The pose estimator that the points come from, of which the set-up said nothing.
    pub fn estimator(&mut self, name: String) {
        self.session.name_estimator(name);
    }

    /// Where in the module's memory the host writes the next frame's points, with room for so many
    /// people: x px, y px, score of every point of every person, one number after the other. One that is
    /// not a number means unseen. What was written stays when room is made for more.
    pub fn room(&mut self, people: usize) -> *const f64 {
        let size = people * self.count() * 3;
        if self.points.len() < size {
            self.points.resize(size, f64::NAN);
        }
        self.points.as_ptr()
    }

    /// Takes the frame that was written, of so many people. Gives the live state in one number,
    /// because every call costs: bits 0 to 2 where in the lift (0 searching, 1 standing, 2 down,
    /// 3 bottom, 4 up), bit 3 whether values can be measured, bit 4 whether this frame made a
    /// repetition final, and from bit 5 on the repetitions finished so far. -1 when the frame was
    /// refused.
    pub fn push(&mut self, t_ms: f64, people: usize) -> i32 {
        let size = self.count() * 3;
        self.room(people);
        self.people.resize(people, Person::new());
        for (person, flat) in self.people.iter_mut().zip(self.points.chunks_exact(size)) {
            person.clear();
            person.extend_from_slice(flat.as_chunks::<3>().0);
        }
        let whole = self.whole.view().map(Picture::Whole);
        let picture = whole.or_else(|| Crop::picture(&self.crops));
        let marked = self.session.legs().is_some();
        let people = if marked { 0 } else { people };
        let people_seen = self.people.get(..people).unwrap_or_default();
        let taken = self.session.push_with(t_ms, people_seen, picture.as_ref());
        self.crops.iter_mut().for_each(Crop::clear);
        self.whole.clear();
        match taken {
            Ok(live) => {
                let followed = if marked { self.followed() } else { Vec::new() };
                let numbers = if marked {
                    followed.len()
                } else {
                    people * size
                };
                if self.points.len() < numbers {
                    self.points.resize(numbers, f64::NAN);
                }
                for (to, from) in self.points.iter_mut().zip(followed) {
                    *to = from;
                }
                self.keep(t_ms, numbers);
                let flags = i32::from(live.standing_known) << 3;
                let done = i32::from(live.finished.is_some()) << 4;
                live.phase as i32 | flags | done | (live.reps as i32) << 5
            }
            Err(fault) => {
                self.fault = Some(fault);
                -1
            }
        }
    }

    /// Why the last frame was refused.
    pub fn fault(&mut self) -> JsValue {
        self.fault.take().map_or(JsValue::NULL, JsValue::from)
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

    /// The whole picture of the next frame, in place of points; or, `still`, one that the next marks are made in,
    /// the marked one first. As [`RawSession::grey`].
    #[allow(clippy::too_many_arguments)] // one call a picture is cheaper than an object
    pub fn picture(
        &mut self,
        still: bool,
        x: f64,
        y: f64,
        width: f64,
        height: f64,
        stride: f64,
        scale: f64,
        data: &[u8],
    ) -> Result<(), JsValue> {
        let mut crop = std::mem::take(&mut self.whole);
        let taken = crop.take([x, y], [width, height, stride], scale, data);
        if still {
            self.stills.push(crop);
        } else {
            self.whole = crop;
        }
        taken.map_err(|e| JsValue::from(Error::bad("grey", e)))
    }

    /// Follows feet and shins from these marks on, in the stills that came before.
    pub fn mark(&mut self, marks: JsValue) -> Result<(), JsValue> {
        let stills = std::mem::take(&mut self.stills);
        let marks = marks_of(&Js(marks), self.session.setup.image)?;
        let mut views = Vec::new();
        for still in &stills {
            views.extend(still.view());
        }
        Ok(self.session.mark(&marks, &views)?)
    }

    /// The points that the last picture showed: x px, y px, score of knee, ankle, heel, big toe and small toe of the left leg,
    /// then of the right; NaN where lost, empty without marks.
    pub fn followed(&self) -> Vec<f64> {
        let last = self.session.legs().and_then(|legs| legs.last());
        last.map_or(Vec::new(), |seen| seen.person().concat())
    }

    /// What the last frame showed of a foot: heel, big-toe base and little-toe base, then the corners
    /// of the outline, x and y each, px; NaN where not seen, empty when the foot was not followed.
    pub fn foot(&self, right: bool) -> Vec<f64> {
        let side = Side::BOTH[usize::from(right)];
        let (contacts, outline) = if let Some(legs) = self.session.legs() {
            let Some(foot) = legs.last().and_then(|last| last.feet[side.index()]) else {
                return Vec::new();
            };
            let contacts = foot.contacts_px.map(|p| p.map(DVec2::from));
            (contacts, legs.outline(side))
        } else {
            let feet = self.session.feet();
            let Some(Ok(motion)) = feet.last(side) else {
                return Vec::new();
            };
            (motion.contacts_px, feet.outline(side))
        };
        let mut out = Vec::new();
        for contact in contacts {
            out.extend_from_slice(contact.unwrap_or(DVec2::NAN).as_ref());
        }
        for corner in outline {
            out.extend_from_slice(corner.as_ref());
        }
        out
    }

    /// Why a foot was not followed in the last frame; nothing when it was, or when none was learnt.
    pub fn lost(&self, right: bool) -> Option<String> {
        let side = Side::BOTH[usize::from(right)];
        if let Some(last) = self.session.legs().and_then(|legs| legs.last()) {
            return last.feet[side.index()]
                .is_none()
                .then(|| "covered".to_owned());
        }
        let lost = self.session.feet().last(side)?.err()?;
        Some(lost.name().to_owned())
    }

    /// Where in the module's memory a piece of the frames taken so far is, [`RawSession::kept_length`]
    /// numbers, one frame after the other: its time, ms; how many numbers its points are, and these,
    /// as the host wrote them; how many numbers the pictures of the feet said, and these. The last
    /// are thirteen a foot, left first: lift, its error, roll, its error, x y of heel point, big-toe base
    /// and little-toe base, and how far it was set elsewhere; NaN where there is none.
    pub fn kept(&self, piece: usize) -> *const f64 {
        self.kept.get(piece).map_or(std::ptr::null(), Vec::as_ptr)
    }

    /// How many numbers a piece of the frames is; 0 after the last.
    pub fn kept_length(&self, piece: usize) -> usize {
        self.kept.get(piece).map_or(0, Vec::len)
    }

    /// Every check in the last frame: where in the module's memory value and standard error of heel
    /// lift, knee in and foot roll are, each left and right, then of forward and load left; NaN where
    /// unseen.
    pub fn values(&mut self) -> *const f64 {
        for (out, seen) in self.values.iter_mut().zip(self.session.values()) {
            *out = seen.map_or([f64::NAN; 2], |e| [e.value, e.sd]);
        }
        self.values.as_ptr().cast()
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

    /// Reads the sets that are over, for the report later.
    pub fn settle(&mut self) {
        self.session.settle();
    }

    /// Forgets every frame; set-up and options stay.
    pub fn reset(&mut self) {
        self.session.reset();
        self.kept.clear();
    }
}

impl RawSession {
    /// Keeps the frame that was taken, of so many numbers. What is kept is never moved: that would
    /// cost as much as keeping it.
    fn keep(&mut self, t_ms: f64, numbers: usize) {
        let points = self.points.get(..numbers).unwrap_or_default();
        let needed = numbers + 3 + TRACKED;
        let full = |piece: &Vec<f64>| piece.capacity() - piece.len() < needed;
        if self.kept.last().is_none_or(full) {
            self.kept.push(Vec::with_capacity(PIECE.max(needed)));
        }
        let Some(piece) = self.kept.last_mut() else {
            return;
        };
        piece.extend_from_slice(&[t_ms, numbers as f64]);
        piece.extend_from_slice(points);
        let Some(feet) = self.session.tracked() else {
            piece.push(0.0);
            return;
        };
        piece.push(TRACKED as f64);
        for foot in feet {
            let foot = foot.unwrap_or_default();
            let [heel, big, small] = foot.contacts_px;
            for pair in [foot.heel_lift_mm, foot.foot_roll_deg, heel, big, small] {
                piece.extend_from_slice(&pair.unwrap_or([f64::NAN; 2]));
            }
            piece.extend_from_slice(&foot.set_by.unwrap_or([f64::NAN; 3]));
            for end in foot.shin_px.unwrap_or([[f64::NAN; 2]; 2]) {
                piece.extend_from_slice(&end);
            }
        }
    }
}
