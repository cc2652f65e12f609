//! `cargo xtask <chore>`: every chore of this house has a name.
//!
//! Nothing here is part of Footing itself: no crate depends on this one, and this one depends on
//! none of ours. Each chore is a module; each prints what it does before it does it.

use std::process::ExitCode;

use anyhow::{Result, bail};

mod house;
mod install;
mod site;
mod toolchain;
mod wasm;

const USAGE: &str = "\
cargo xtask <chore>

  build                 the page, ready for any static host, in target/site

Environment:
  FOOTING_WASM_WAY      rustup | debian: force a way to the wasm target (default: the first that works)
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
