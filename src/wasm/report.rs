//! Reports as plain JavaScript objects.

use serde::Serialize;
use serde_wasm_bindgen::Serializer;
use wasm_bindgen::JsValue;

/// Structs and maps as objects, what is missing as null.
pub(super) fn plain<T: Serialize + ?Sized>(value: &T) -> Result<JsValue, JsValue> {
    let serializer = Serializer::new()
        .serialize_missing_as_null(true)
        .serialize_maps_as_objects(true);
    value.serialize(&serializer).map_err(JsValue::from)
}
