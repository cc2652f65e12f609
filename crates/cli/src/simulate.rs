//! `footing simulate`.

use std::fmt::Display;
use std::fs;
use std::io::{self, Write};

use footing_app::formats::Problem;

use crate::args::SimulateArgs;
use crate::files;

/// Writes a scenario's files and prints their paths, one a line.
///
/// # Errors
/// When `out` cannot be written.
pub fn run(
    args: &SimulateArgs,
    out: &mut impl Write,
    refuse: &mut impl FnMut(&dyn Display),
) -> io::Result<()> {
    let folder = files::path_text(&args.out);
    let Some(scenario) = footing_simulate::scenario(&args.scenario, args.seed) else {
        refuse(&Problem::new(
            &args.scenario,
            "is not a scenario",
            format!("one of {}", footing_simulate::scenario_names().join(", ")),
            "one of these",
        ));
        return Ok(());
    };
    if let Err(error) = fs::create_dir_all(&args.out) {
        refuse(&unwritten(&folder, &error));
        return Ok(());
    }
    for file in scenario {
        let path = args.out.join(&file.name);
        match fs::write(&path, &file.bytes) {
            Ok(()) => writeln!(out, "{}", path.display())?,
            Err(error) => refuse(&unwritten(&files::path_text(&path), &error)),
        }
    }
    Ok(())
}

fn unwritten(path: &str, error: &io::Error) -> Problem {
    Problem::new(
        path,
        format!("cannot be written ({error})"),
        "a folder that can be written to",
        "another --out",
    )
}
