//! Options as the facade hands them over, read member by member.

use wasm_bindgen::prelude::*;

use super::node::Js;
use crate::session::Options;
use crate::thresholds::{self, Thresholds};
use crate::{Error, ErrorCode};

#[wasm_bindgen]
extern "C" {
    /// `{ series?, hurts?, thresholds?, look_again_days? }`
    #[wasm_bindgen(typescript_type = "RawOptions")]
    pub type RawOptions;

    #[wasm_bindgen(method, getter)]
    fn series(this: &RawOptions) -> JsValue;

    #[wasm_bindgen(method, getter)]
    fn hurts(this: &RawOptions) -> JsValue;

    #[wasm_bindgen(method, getter)]
    fn thresholds(this: &RawOptions) -> JsValue;

    #[wasm_bindgen(method, getter)]
    fn look_again_days(this: &RawOptions) -> JsValue;
}

/// The core's options; absent members keep their defaults.
pub(super) fn read(raw: &RawOptions) -> Result<Options, Error> {
    Ok(Options {
        series: flag(&raw.series(), "series")?,
        hurts: flag(&raw.hurts(), "hurts")?,
        thresholds: lines(raw.thresholds())?,
        look_again_days: days(&raw.look_again_days())?,
    })
}

fn lines(value: JsValue) -> Result<Thresholds, Error> {
    if value.is_undefined() || value.is_null() {
        return Ok(Thresholds::default());
    }
    thresholds::read(&Js(value))
}

fn days(value: &JsValue) -> Result<Option<u32>, Error> {
    if value.is_undefined() || value.is_null() {
        return Ok(None);
    }
    match value.as_f64() {
        Some(days) if days.fract() == 0.0 && (1.0..=90.0).contains(&days) => Ok(Some(days as u32)),
        _ => Err(Error::new(
            ErrorCode::BadOption,
            "look_again_days",
            "must be a whole number from 1 to 90",
        )),
    }
}

fn flag(value: &JsValue, name: &str) -> Result<bool, Error> {
    if value.is_undefined() || value.is_null() {
        return Ok(false);
    }
    value
        .as_bool()
        .ok_or_else(|| Error::new(ErrorCode::BadOption, name, "must be true or false"))
}
