//! Fault lines and sets over time.

use wasm_bindgen::prelude::*;

use super::node::Js;
use super::report;
use crate::record::{compare as compare_sets, read_history};
use crate::thresholds::Thresholds;

/// The default fault lines with their sources, as a plain object by check.
#[wasm_bindgen]
pub fn default_thresholds() -> Result<JsValue, JsValue> {
    report::plain(&Thresholds::default())
}

/// The last of `reports` against those before it: a list of changes. The last one's lines say
/// which way is better.
#[wasm_bindgen]
pub fn compare(reports: JsValue) -> Result<JsValue, JsValue> {
    let sets = read_history(&Js(reports))?;
    let (earlier, last) = sets.split_at(sets.len() - 1);
    let lines = last.first().and_then(|set| set.lines.clone());
    report::plain(&compare_sets(earlier, last, &lines.unwrap_or_default()))
}
