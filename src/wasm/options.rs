//! Options as the facade hands them over, read member by member.

use wasm_bindgen::prelude::*;

use crate::session::Options;
use crate::{Error, ErrorCode};

#[wasm_bindgen]
extern "C" {
    /// `{ series?: boolean, hurts?: boolean }`
    #[wasm_bindgen(typescript_type = "RawOptions")]
    pub type RawOptions;

    #[wasm_bindgen(method, getter)]
    fn series(this: &RawOptions) -> JsValue;

    #[wasm_bindgen(method, getter)]
    fn hurts(this: &RawOptions) -> JsValue;
}

/// The core's options; absent members keep their defaults.
pub(super) fn read(raw: &RawOptions) -> Result<Options, Error> {
    Ok(Options {
        series: flag(&raw.series(), "series")?,
        hurts: flag(&raw.hurts(), "hurts")?,
    })
}

fn flag(value: &JsValue, name: &str) -> Result<bool, Error> {
    if value.is_undefined() || value.is_null() {
        return Ok(false);
    }
    value
        .as_bool()
        .ok_or_else(|| Error::new(ErrorCode::BadOption, name, "must be true or false"))
}
