//! wasm-bindgen and its test runner, in the version that Cargo.lock names.
//!
//! `bindgen IN.wasm OUT_DIR NAME` writes the glue, the module and its parts; `runner ...` is what cargo calls
//! for tests compiled to `wasm32-unknown-unknown`.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use walrus::Module;
use wasm_bindgen_cli_support::Bindgen;

mod parts;
mod quiet;
mod split;

fn main() -> Result<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    match args.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["bindgen", input, out, name] => bindgen(Path::new(input), Path::new(out), name),
        ["runner", ..] => {
            wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(args.clone())
        }
        _ => bail!("usage: xtask-wasm bindgen IN.wasm OUT_DIR NAME | runner TEST.wasm [ARGS]"),
    }
}

fn bindgen(input: &Path, out: &Path, name: &str) -> Result<()> {
    let mut module = Module::from_file(input)?;
    quiet::panics(&mut module);
    Bindgen::new()
        .input_module(name, module)
        .web(true)?
        // The package's index.js names the module's place, so that its other entry, which carries
        // the module as text, makes no bundler emit the file as well.
        .omit_default_module_path(true)
        // Parts are told by the names of their functions; splitting takes the names away.
        .demangle(false)
        .typescript(true)
        .out_name(name)
        .generate(out)?;
    let whole = out.join(format!("{name}_bg.wasm"));
    let bytes = fs::read(&whole).with_context(|| whole.display().to_string())?;
    let (module, made) = split::split(&bytes, &parts::PARTS)?;
    fs::write(&whole, module)?;
    for (part, bytes) in parts::PARTS.iter().zip(made) {
        fs::write(out.join(format!("{name}_{}.wasm", part.name)), bytes)?;
    }
    Ok(())
}
