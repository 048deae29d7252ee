//! A JavaScript value, for the core's reader.

use crate::gather::Gather;
use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};

use crate::keypoints::Node;

/// A list is an array or a typed array; an object is anything else that has members.
pub(super) struct Js(pub JsValue);

fn present(value: JsValue) -> Option<Js> {
    (!value.is_undefined() && !value.is_null()).then_some(Js(value))
}

impl Js {
    fn is_list(&self) -> bool {
        Array::is_array(&self.0) || js_sys::ArrayBuffer::is_view(&self.0)
    }
}

impl Node for Js {
    fn get(&self, key: &str) -> Option<Self> {
        if !self.is_object() {
            return None;
        }
        // A getter that throws counts as an absent member.
        Reflect::get(&self.0, &JsValue::from_str(key))
            .ok()
            .and_then(present)
    }

    fn keys(&self) -> Vec<String> {
        match self.0.dyn_ref::<Object>() {
            Some(object) if self.is_object() => {
                let keys = Object::keys(object);
                keys.iter().filter_map(|k| k.as_string()).gather()
            }
            _ => Vec::new(),
        }
    }

    fn list_len(&self) -> Option<usize> {
        if let Some(list) = self.0.dyn_ref::<Array>() {
            return Some(list.length() as usize);
        }
        if !self.is_list() {
            return None;
        }
        let length = Reflect::get(&self.0, &JsValue::from_str("length")).ok()?;
        // A DataView is a view without length, and no list.
        length.as_f64().map(|n| n as usize)
    }

    fn at(&self, i: usize) -> Option<Self> {
        let i = u32::try_from(i).ok()?;
        if let Some(list) = self.0.dyn_ref::<Array>() {
            return (i < list.length()).then(|| Js(list.get(i)));
        }
        let value = Reflect::get_u32(&self.0, i).ok()?;
        (!value.is_undefined()).then_some(Js(value))
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
        self.0.is_object() && !self.is_list()
    }
}
