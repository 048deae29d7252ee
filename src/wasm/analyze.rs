//! A whole recording at once.

use wasm_bindgen::prelude::*;

use super::node::Js;
use super::options::{self, RawOptions};
use super::report;
use crate::keypoints::read_recording;

/// Reads a recording in the contract's form and gives its report as a plain object.
#[wasm_bindgen]
pub fn analyze(recording: JsValue, options: &RawOptions) -> Result<JsValue, JsValue> {
    let options = options::read(options)?;
    let recording = read_recording(&Js(recording))?;
    report::plain(&crate::analyze(&recording, &options)?)
}
