//! `pictures`: the rendered clips with their pictures, as given and degraded, as a table.

use std::path::PathBuf;
use underfoot_sim::degraded::{HEAD, WAYS, row};

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut folder, mut only, mut cases) = (None, String::new(), false);
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        match arg {
            Long("only") => only = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("cases") => cases = true,
            Value(path) => folder = Some(PathBuf::from(path)),
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    let folder = folder.ok_or("name the folder with the clips (NAME.webm)")?;
    for told in [true, false] {
        let how = if told { "told" } else { "not told" };
        println!("Footwear {how}:\n\n{HEAD}");
        for way in WAYS.iter().filter(|w| w.name.contains(&only)) {
            let mut say = |line: String| {
                if cases {
                    println!("  {line}");
                }
            };
            println!("{}", row(way, &folder, told, &mut say)?.line(way.name));
        }
        println!();
    }
    Ok(())
}
