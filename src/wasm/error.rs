//! The core's error as a JavaScript `Error` with `code`, `field` and `reason`.

use js_sys::Reflect;
use wasm_bindgen::JsValue;

use crate::Error;

impl From<Error> for JsValue {
    fn from(error: Error) -> Self {
        let out = js_sys::Error::new(&error.to_string());
        let parts = [
            ("code", error.code().as_str()),
            ("field", error.field()),
            ("reason", error.reason()),
        ];
        for (key, value) in parts {
            // Setting a property of a fresh Error cannot fail.
            let _ = Reflect::set(&out, &key.into(), &value.into());
        }
        out.into()
    }
}
