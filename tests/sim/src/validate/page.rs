//! The validation page.

use super::{Measured, Options};

/// Everything as Markdown.
pub fn page(_options: &Options, list: &[Measured]) -> String {
    list.iter().map(super::table::brief).collect()
}
