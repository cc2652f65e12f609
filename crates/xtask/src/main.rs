//! `cargo xtask <chore>`: every chore of this house has a name.
//!
//! Nothing here is part of Footing itself: no crate depends on this one, and this one depends on
//! none of ours. Each chore is a module; each prints what it does before it does it.

use std::process::ExitCode;

use anyhow::{Result, bail};

mod bench;
mod checks;
mod counts;
mod house;
mod install;
mod samples;
mod serve;
mod site;
mod tidy;
mod toolchain;
mod wasm;

const USAGE: &str = "\
cargo xtask <chore>

  build                 the page, ready for any static host, in target/site
  serve [--port P]      build, then serve it on 127.0.0.1 (default port 8717; 0 for any free one)
  test [--only STEP]    everything that can be wrong, or one step of it
  samples [--check]     write the invented recordings anew, or see that they are what is committed
  bench                 how fast, in one table
  tidy                  rules of the house that no compiler checks

Environment:
  FOOTING_WASM_WAY      rustup | debian: force a way to the wasm target (default: the first that works)
  FOOTING_CHROMIUM      the browser to check the page in (default: the `chromium` on the path)
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("xtask: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &[String]) -> Result<()> {
    let Some((chore, rest)) = arguments.split_first() else {
        bail!("which chore?\n\n{USAGE}");
    };
    let house = house::House::find()?;
    match chore.as_str() {
        "build" => {
            no_more(chore, rest)?;
            site::build(&house)?;
            Ok(())
        }
        "serve" => {
            let port = match option(rest, "--port")? {
                Some(text) => text.parse().map_err(|_| {
                    anyhow::anyhow!("--port {text}: expected a number from 0 to 65535")
                })?,
                None => serve::PORT,
            };
            serve::serve(&house, port)
        }
        "test" => checks::test(&house, option(rest, "--only")?),
        "samples" => match rest {
            [] => samples::write(&house),
            [flag] if flag == "--check" => {
                let files = samples::check(&house)?;
                house::say(format!("samples: {files} files as committed"));
                Ok(())
            }
            [extra, ..] => bail!("`samples` takes no `{extra}`\n\n{USAGE}"),
        },
        "bench" => {
            no_more(chore, rest)?;
            bench::bench(&house)
        }
        "tidy" => {
            no_more(chore, rest)?;
            tidy::tidy(&house)?;
            Ok(())
        }
        "help" | "--help" | "-h" => {
            print!("{USAGE}");
            Ok(())
        }
        other => bail!("no chore is named `{other}`\n\n{USAGE}"),
    }
}

fn no_more(chore: &str, rest: &[String]) -> Result<()> {
    match rest.first() {
        Some(extra) => bail!("`{chore}` takes no `{extra}`\n\n{USAGE}"),
        None => Ok(()),
    }
}

/// The value of a chore's only option, if it was given.
fn option<'a>(rest: &'a [String], name: &str) -> Result<Option<&'a str>> {
    match rest {
        [] => Ok(None),
        [given, value] if given == name => Ok(Some(value)),
        [given] if given == name => bail!("{name} needs a value\n\n{USAGE}"),
        _ => bail!(
            "`{}`: expected {name} with a value, or nothing\n\n{USAGE}",
            rest.join(" ")
        ),
    }
}
