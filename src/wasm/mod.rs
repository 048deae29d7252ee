//! The only place with web types: what the npm package's facade calls.
//!
//! Everything here is raw material for the facade in pkg-template: it checks that the module is
//! loaded, flattens points, builds the live state and turns errors into `UnderfootError`.

mod analyze;
mod compare;
mod error;
mod grey;
mod node;
mod options;
mod report;
mod session;

use wasm_bindgen::prelude::*;

/// Two-level segregated fit: a third of the library allocator's code.
#[global_allocator]
static MEMORY: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

/// The package's version, the crate's own.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").into()
}
