//! `footing-fuzz <reader|all> <seconds> [seed]`. Each reader is fuzzed for that long; with `all`, as many at a time as
//! there are cores, each in a process of its own, since memory is counted for the whole process.

use std::io::{Error, Result};
use std::process::{Child, Command, ExitCode, Stdio};
use std::thread::available_parallelism;

use footing_counting::Counting;
use footing_fuzz::run::{Tally, fuzz};
use footing_fuzz::target::Target;

#[global_allocator]
static ALLOCATOR: Counting = Counting;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some((targets, seconds, seed)) = parse(&arguments) else {
        let names = Target::ALL.map(Target::name).join("|");
        eprintln!("usage: footing-fuzz <{names}|all> <seconds> [seed]");
        return ExitCode::from(2);
    };
    let good = match targets[..] {
        [target] => alone(target, seconds, seed),
        _ => all(&targets, seconds, seed),
    };
    match good {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("footing-fuzz: {error}");
            ExitCode::FAILURE
        }
    }
}

fn alone(target: Target, seconds: f64, seed: u64) -> Result<bool> {
    // A panic is counted where it is caught; its message is printed once there.
    std::panic::set_hook(Box::new(|_| {}));
    let Tally { passed, failed } = fuzz(target, seconds, seed)?;
    println!("{passed} passed, {failed} failed");
    Ok(failed == 0 && passed > 0)
}

fn all(targets: &[Target], seconds: f64, seed: u64) -> Result<bool> {
    let this = std::env::current_exe()?;
    let start = |target: &Target| {
        Command::new(&this)
            .args([target.name(), &seconds.to_string(), &seed.to_string()])
            .stdout(Stdio::piped())
            .spawn()
    };
    let mut good = 0;
    let at_a_time = available_parallelism().map_or(1, usize::from);
    for some in targets.chunks(at_a_time) {
        let running: Vec<Child> = some.iter().map(start).collect::<Result<_>>()?;
        for (child, target) in running.into_iter().zip(some) {
            let done = child.wait_with_output()?;
            let said = String::from_utf8(done.stdout).map_err(Error::other)?;
            // All but the tally's line, which would be taken for the whole's.
            for line in said.lines().filter(|line| !line.ends_with(" failed")) {
                println!("{line}");
            }
            if done.status.success() {
                good += 1;
            } else {
                println!("{}: {}", target.name(), done.status);
            }
        }
    }
    println!("{good} passed, {} failed", targets.len() - good);
    Ok(good == targets.len())
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
