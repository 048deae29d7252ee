//! Makes simulated recordings with their truth. `underfoot-sim` alone lists the commands.

mod check;
mod drawn_feet;
mod estimator;
mod findings;
mod make;
mod others_cmd;
mod pictures;
mod reports;
mod reps;

use std::process::ExitCode;

const USAGE: &str = "\
underfoot-sim make --out DIR [--seed N] [--count N] [--view front|oblique|wide|side|rear|rear-oblique|any]
                   [--layout NAME] [--reps N] [--fault heel|knee-in|knee-out|roll-in|roll-out|shift|forward]...
                   [--noise FACTOR] [--fps N] [--unknown-height] [--feet-only]
                   writes NAME.json (the recording) and NAME.truth.json
underfoot-sim validate [--seed N] [--sets N] [--only WORDS] [--brief [--traits]] [--outliers] [--jobs N] [--out FILE]
                   the error figures; --only picks conditions by name, --brief prints them short
underfoot-sim validate --clips FOLDER [--keypoints] [--only WORDS] [--values FILE] [--jobs N] [--out FILE]
                   the same for the rendered clips of a folder (NAME.webm, NAME.truth.json.gz, NAME.pose.json.gz): bias,
                   mean error, errors over their standard errors and what is unseen, by check, view and what carried
                   it; --keypoints leaves the pictures out, --values writes every value and curve, one clip a line
underfoot-sim profile FOLDER [--only WORDS] [--jobs N]
                   a pose estimator's profile measured on the rendered people of a folder, for src/measures/profile.rs
underfoot-sim reps [--seed N] [--sets N] [--only CONDITION] [--faults] [--phone stand|floor|shelf] [--show]
                   counts repetitions over whole sets, or over those of them with one condition, as the
                   table names it; --faults lets the lifters do what is wrong; --phone puts the phone elsewhere than
                   between knee and hip; --show prints one set in detail
underfoot-sim reports [--seed N] [--sets N] [--out FILE] [--against FILE]
                   the reports of simulated sets, real squats and rendered clips, a line each; --against says how
                   they differ from those that were written with --out before a change
underfoot-sim findings [--seed N] [--sets N] [--only WORDS] [--why]
                   clean sets and clear faults by view: what is found; --why says what else was said
underfoot-sim others [--each N] [--seed N] [--only WORDS] [--clips FOLDER] [--which] [--aspects]
                   recordings of things that are no squats, and as many of squats: how often refused, misjudged or
                   rightly judged; --clips adds a folder of rendered clips, --which names the misjudged, --aspects
                   prints what the core reads off each repetition
underfoot-sim pictures FOLDER [--only WORDS] [--cases]
                   the rendered clips (NAME.webm in FOLDER) with their pictures through the whole core, as given and
                   degraded by ffmpeg; --cases prints every value
underfoot-sim drawn [--sets N] [--seed N] [--only VIEW] [--worn WEAR] [--floor FLOOR] [--cases]
                   drawn feet from all round through the whole core, as a phone films them; --worn and
                   --floor pick shoes and floors by name";

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let command = args.next().unwrap_or_default();
    let rest: Vec<String> = args.collect();
    let done = match command.as_str() {
        "make" => make::main(&rest),
        "reports" => reports::main(&rest),
        "reps" => reps::main(&rest),
        "validate" => check::main(&rest),
        "profile" => estimator::main(&rest),
        "drawn" => drawn_feet::main(&rest),
        "pictures" => pictures::main(&rest),
        "findings" => findings::main(&rest),
        "others" => others_cmd::main(&rest),
        "" | "help" | "--help" => {
            println!("{USAGE}");
            Ok(())
        }
        other => Err(format!("no command `{other}`\n{USAGE}")),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("error: {e}");
            ExitCode::from(2)
        }
    }
}
