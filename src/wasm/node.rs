//! JavaScript values as the reader's tree.

use crate::keypoints::Node;
use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};

/// A JavaScript value. Typed arrays count as lists of numbers.
pub(super) struct Js(pub JsValue);

impl Js {
    fn present(value: JsValue) -> Option<Self> {
        (!value.is_null() && !value.is_undefined()).then_some(Self(value))
    }

    fn is_list(&self) -> bool {
        Array::is_array(&self.0) || js_sys::ArrayBuffer::is_view(&self.0)
    }
}

impl Node for Js {
    fn get(&self, key: &str) -> Option<Self> {
        if !self.is_object() {
            return None;
        }
        // A getter that throws counts as absent.
        Reflect::get(&self.0, &JsValue::from_str(key))
            .ok()
            .and_then(Self::present)
    }

    fn keys(&self) -> Vec<String> {
        match self.0.dyn_ref::<Object>() {
            Some(object) if self.is_object() => Object::keys(object)
                .iter()
                .filter_map(|k| k.as_string())
                .collect(),
            _ => Vec::new(),
        }
    }

    fn list_len(&self) -> Option<usize> {
        if !self.is_list() {
            return None;
        }
        let length = Reflect::get(&self.0, &JsValue::from_str("length"))
            .ok()?
            .as_f64()?;
        Some(length as usize)
    }

    fn at(&self, i: usize) -> Option<Self> {
        Reflect::get_u32(&self.0, u32::try_from(i).ok()?)
            .ok()
            .and_then(|v| {
                if v.is_undefined() {
                    None
                } else {
                    Some(Self(v))
                }
            })
    }

    fn number(&self) -> Option<f64> {
        self.0.as_f64()
    }

    fn text(&self) -> Option<String> {
        self.0.as_string()
    }

    fn boolean(&self) -> Option<bool> {
        self.0.as_bool()
    }

    fn is_null(&self) -> bool {
        self.0.is_null() || self.0.is_undefined()
    }

    fn is_object(&self) -> bool {
        self.0.is_object() && !self.is_list() && !self.0.is_function()
    }
}
