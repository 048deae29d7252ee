//! The pictures at the top of the README, made from the page's own example.

use anyhow::Result;

use crate::serve::Running;
use crate::{browser, bundle, paths, run, setup};

/// `cargo xtask picture`: xtask/readme/light.png and dark.png.
pub fn main() -> Result<()> {
    setup::page()?;
    setup::page_tests()?;
    let server = Running::start(0, bundle::assemble()?)?;
    let script = paths::root().join("tests/page/picture.mjs");
    let node = run::program("node", [script]).env("UNDERFOOT_URL", server.url());
    node.env("CHROMIUM", browser::need()?.chromium).done()
}
