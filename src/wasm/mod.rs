//! The binding layer: the only place with web types. Raw classes for the package's facade
//! (pkg-template/index.js), which checks misuse and speaks plain sentences.

mod error;
mod node;
mod session;

use crate::keypoints::{Layout, read_recording};
use error::js_error;
use node::Js;
use serde::Serialize;
use wasm_bindgen::prelude::*;

/// The package's version.
#[wasm_bindgen(js_name = rawVersion)]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").into()
}

/// Reads a whole recording in the contract's form and gives the report as a plain object.
#[wasm_bindgen(js_name = rawAnalyze)]
pub fn analyze(recording: JsValue, options: JsValue) -> Result<JsValue, JsValue> {
    let recording = read_recording(&Js(recording)).map_err(|e| js_error(&e))?;
    let options = session::read_options(&Js(options)).map_err(|e| js_error(&e))?;
    let report = crate::analyze(&recording, &options).map_err(|e| js_error(&e))?;
    plain(&report)
}

/// Points in one person's list, or 0 for a name that is no layout's.
#[wasm_bindgen(js_name = rawLayoutCount)]
pub fn layout_count(name: &str) -> usize {
    Layout::named(name).map_or(0, |l| l.count())
}

/// Index of a joint in a named layout, or -1.
#[wasm_bindgen(js_name = rawLayoutIndex)]
pub fn layout_index(name: &str, joint: &str) -> i32 {
    let joint = crate::keypoints::Joint::from_name(joint);
    let index = Layout::named(name)
        .zip(joint)
        .and_then(|(l, j)| l.index_of(j));
    index.map_or(-1, |i| i as i32)
}

/// A plain object: null where nothing was seen, lists and records, no Map.
fn plain<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    let form = serde_wasm_bindgen::Serializer::new()
        .serialize_missing_as_null(true)
        .serialize_maps_as_objects(true);
    value.serialize(&form).map_err(JsValue::from)
}
