//! `profile`: a pose estimator's profile measured on rendered people.

use std::path::PathBuf;
use underfoot_sim::rendered;

pub fn main(args: &[String]) -> Result<(), String> {
    let (mut folder, mut only, mut jobs, mut offsets) = (None, String::new(), 2, false);
    let mut parser = lexopt::Parser::from_args(args);
    let fail = |e: lexopt::Error| e.to_string();
    while let Some(arg) = parser.next().map_err(fail)? {
        use lexopt::prelude::*;
        match arg {
            Long("only") => only = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("jobs") => jobs = parser.value().and_then(|v| v.parse()).map_err(fail)?,
            Long("offsets") => offsets = true,
            Value(path) => folder = Some(PathBuf::from(path)),
            _ => return Err(arg.unexpected().to_string()),
        }
    }
    let folder = folder.ok_or("name the folder with the clips")?;
    if offsets {
        let legs = rendered::over(&folder, &only, jobs, rendered::offsets::legs)?;
        print!(
            "{}",
            rendered::offsets::table(&legs.into_iter().flatten().collect::<Vec<_>>())
        );
        return Ok(());
    }
    let people = rendered::over(&folder, &only, jobs, rendered::profile::person)?;
    print!("{}", rendered::profile::text(&people));
    Ok(())
}
