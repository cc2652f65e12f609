//! `footing-fuzz <c3d|table|rig|wiring|storage|link|all> <seconds> [seed]`; with `all`, the time is shared.

use std::process::ExitCode;

use footing_fuzz::counting::Counting;
use footing_fuzz::run::{Tally, fuzz};
use footing_fuzz::target::Target;

#[global_allocator]
static ALLOCATOR: Counting = Counting;

const USAGE: &str = "usage: footing-fuzz <c3d|table|rig|wiring|storage|link|all> <seconds> [seed]";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some((targets, seconds, seed)) = parse(&arguments) else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };
    // A panic is counted where it is caught; its message is printed once there.
    std::panic::set_hook(Box::new(|_| {}));
    let mut total = Tally::default();
    let share = seconds / targets.len() as f64;
    for target in targets {
        match fuzz(target, share, seed) {
            Ok(tally) => {
                total.passed += tally.passed;
                total.failed += tally.failed;
            }
            Err(error) => {
                eprintln!("{}: {error}", target.name());
                return ExitCode::FAILURE;
            }
        }
    }
    println!("{} passed, {} failed", total.passed, total.failed);
    if total.failed == 0 && total.passed > 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn parse(arguments: &[String]) -> Option<(Vec<Target>, f64, u64)> {
    let (name, seconds, seed) = match arguments {
        [name, seconds] => (name, seconds, "1"),
        [name, seconds, seed] => (name, seconds, seed.as_str()),
        _ => return None,
    };
    let targets = if name == "all" {
        Target::ALL.to_vec()
    } else {
        vec![Target::from_name(name)?]
    };
    let seconds: f64 = seconds.parse().ok()?;
    let sensible = (0.0..1e6).contains(&seconds);
    Some((targets, sensible.then_some(seconds)?, seed.parse().ok()?))
}
