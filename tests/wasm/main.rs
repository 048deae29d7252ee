//! The core on this machine and in a browser's engine.

#[path = "../support/tree.rs"]
mod tree;

mod recordings;

#[cfg(target_arch = "wasm32")]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);
