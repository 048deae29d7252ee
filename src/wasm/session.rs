//! The session class behind the facade's `Session`.

use super::error::js_error;
use super::node::Js;
use super::plain;
use crate::keypoints::{Node, Person, read_setup};
use crate::session::{LivePhase, Options, Session};
use crate::{Error, report};
use wasm_bindgen::prelude::*;

/// Options in the package's form: `{ series, hurts }`.
pub(super) fn read_options(node: &Js) -> Result<Options, Error> {
    let flag = |key: &str| match node.get(key) {
        None => Ok(false),
        Some(v) => v
            .boolean()
            .ok_or_else(|| Error::bad(key, "must be true or false")),
    };
    Ok(Options {
        series: flag("series")?,
        hurts: flag("hurts")?,
    })
}

/// One set in progress.
#[wasm_bindgen]
pub struct RawSession {
    inner: Session,
    count: usize,
    people: Vec<Person>,
}

#[wasm_bindgen]
impl RawSession {
    /// A session for a set-up in the recording's form (without frames).
    #[wasm_bindgen(constructor)]
    pub fn new(setup: JsValue, options: JsValue) -> Result<RawSession, JsValue> {
        let setup = read_setup(&Js(setup)).map_err(|e| js_error(&e))?;
        let options = read_options(&Js(options)).map_err(|e| js_error(&e))?;
        let count = setup.layout.count();
        Ok(Self {
            inner: Session::new(setup, options),
            count,
            people: Vec::new(),
        })
    }

    /// Takes one frame: x, y, score of every point of every person, flat.
    pub fn push(&mut self, t_ms: f64, points: &[f32]) -> Result<(), JsValue> {
        let size = self.count * 3;
        if points.len() % size != 0 {
            let reason = format!(
                "holds {} numbers, the layout needs {size} a person",
                points.len()
            );
            return Err(js_error(&Error::bad("points", reason)));
        }
        self.people.resize(points.len() / size, Person::new());
        for (person, flat) in self.people.iter_mut().zip(points.chunks_exact(size)) {
            person.clear();
            person.extend(
                flat.chunks_exact(3)
                    .map(|p| [p[0], p[1], p[2]].map(f64::from)),
            );
        }
        self.inner
            .push(t_ms, &self.people)
            .map_err(|e| js_error(&e))?;
        Ok(())
    }

    /// Points in one person's list.
    #[wasm_bindgen(getter)]
    pub fn count(&self) -> usize {
        self.count
    }

    /// Index into searching, standing, down, bottom, up.
    #[wasm_bindgen(getter)]
    pub fn phase(&self) -> u8 {
        match self.inner.live().phase {
            LivePhase::Searching => 0,
            LivePhase::Standing => 1,
            LivePhase::Down => 2,
            LivePhase::Bottom => 3,
            LivePhase::Up => 4,
        }
    }

    /// Repetitions finished.
    #[wasm_bindgen(getter)]
    pub fn reps(&self) -> usize {
        self.inner.live().reps
    }

    /// Whether standing has been fitted.
    #[wasm_bindgen(getter, js_name = standingKnown)]
    pub fn standing_known(&self) -> bool {
        self.inner.live().standing_known
    }

    /// The repetition that became final with the last frame, from 1; 0 for none.
    #[wasm_bindgen(getter)]
    pub fn finished(&self) -> usize {
        self.inner.live().finished.unwrap_or(0)
    }

    /// What can be seen from here, once standing is known: `{ azimuth_deg, sd: {check: sides} }`.
    pub fn seen(&self) -> Result<JsValue, JsValue> {
        plain(&self.inner.seen())
    }

    /// The report so far.
    pub fn report(&self, series: bool) -> Result<JsValue, JsValue> {
        let report: report::Report = self.inner.report_with(series);
        plain(&report)
    }

    /// Forgets every frame.
    pub fn reset(&mut self) {
        self.inner.reset();
    }
}
