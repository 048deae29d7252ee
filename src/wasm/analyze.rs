//! A whole recording at once.

use wasm_bindgen::prelude::*;

use super::node::Js;
use super::options::{self, RawOptions};
use super::stream;
use crate::keypoints::read_recording;

/// Reads a recording in the contract's form and gives its report as bytes (see stream.rs).
#[wasm_bindgen]
pub fn analyze(recording: JsValue, options: &RawOptions) -> Result<Vec<u8>, JsValue> {
    let options = options::read(options)?;
    let recording = read_recording(&Js(recording))?;
    Ok(stream::bytes(&crate::analyze(&recording, &options)?))
}
