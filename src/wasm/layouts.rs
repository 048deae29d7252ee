//! The layouts that have names, as data.

use js_sys::{Array, Object, Reflect};
use wasm_bindgen::prelude::*;

use crate::keypoints::{Joint, Layout};

/// `{ name: { count, joints: { joint name: index } } }`, in a form that a recording's `layout`
/// takes.
#[wasm_bindgen]
pub fn layouts() -> Result<JsValue, JsValue> {
    let out = Object::new();
    for layout in Layout::NAMES.iter().filter_map(|name| Layout::named(name)) {
        let joints = Object::new();
        for joint in Joint::ALL {
            if let Some(i) = layout.index_of(joint) {
                Reflect::set(&joints, &joint.name().into(), &(i as f64).into())?;
            }
        }
        let entry = Object::new();
        Reflect::set(&entry, &"count".into(), &(layout.count() as f64).into())?;
        Reflect::set(&entry, &"joints".into(), &joints)?;
        Reflect::set(&out, &layout.name().into(), &entry)?;
    }
    Ok(out.into())
}

/// The names of all joints, in the core's order.
#[wasm_bindgen]
pub fn joints() -> Array {
    Joint::ALL
        .iter()
        .map(|j| JsValue::from_str(j.name()))
        .collect()
}
