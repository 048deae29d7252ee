//! Core errors become JavaScript errors with a `code`.

use crate::Error;
use wasm_bindgen::JsValue;

/// An `Error` whose message is `field: reason` and whose `code` is the core's.
pub(super) fn js_error(error: &Error) -> JsValue {
    let out = js_sys::Error::new(&error.to_string());
    // A fresh Error takes any property.
    let _ = js_sys::Reflect::set(&out, &"code".into(), &error.code().as_str().into());
    out.into()
}
