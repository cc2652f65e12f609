//! `cargo xtask test`: everything that can be wrong, looked at in one go.
//!
//! Each step runs to its end whatever the others did; the last line counts what held and what did
//! not. A step that finds nothing to run has failed: a missing folder is not a passing check.

use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, anyhow, bail};

use crate::counts::{self, Counts};
use crate::house::{self, House, run, say, shown};
use crate::{install, samples, serve, site, tidy};

/// How long the fuzzing step looks for new faults in each reader.
const FUZZ_SECONDS: &str = "60";

struct Step {
    name: &'static str,
    what: &'static str,
    run: fn(&House) -> Result<Counts>,
}

/// The quick ones first.
const STEPS: [Step; 10] = [
    Step {
        name: "format",
        what: "rustfmt would change nothing",
        run: format,
    },
    Step {
        name: "tidy",
        what: "rules of the house",
        run: |house| Ok(held(tidy::tidy(house)?)),
    },
    Step {
        name: "clippy",
        what: "no lint speaks up",
        run: clippy,
    },
    Step {
        name: "rust",
        what: "unit, property, truth and doc tests",
        run: rust,
    },
    Step {
        name: "samples",
        what: "the committed samples are what the simulator writes",
        run: |house| Ok(held(samples::check(house)?)),
    },
    Step {
        name: "wasm",
        what: "the page builds and is small enough",
        run: |house| {
            built(house)?;
            Ok(held(1))
        },
    },
    Step {
        name: "types",
        what: "tsc finds no type error in the page's modules",
        run: types,
    },
    Step {
        name: "reference",
        what: "against independent implementations",
        run: reference,
    },
    Step {
        name: "page",
        what: "the page in a real browser",
        run: page,
    },
    Step {
        name: "fuzz",
        what: "kept and new hostile inputs",
        run: fuzz,
    },
];

/// The names of all steps.
pub fn names() -> String {
    STEPS.map(|step| step.name).join(", ")
}

/// Runs all steps, or one.
pub fn test(house: &House, only: Option<&str>) -> Result<()> {
    let chosen: Vec<&Step> = STEPS
        .iter()
        .filter(|step| only.is_none_or(|name| name == step.name))
        .collect();
    if chosen.is_empty() {
        bail!(
            "no step is named `{}`; the steps are {}",
            only.unwrap_or_default(),
            names()
        );
    }
    let mut rows = Vec::new();
    let mut total = Counts::default();
    for step in &chosen {
        say(format!("{}: {}", step.name, step.what));
        let start = Instant::now();
        let (counts, error) = match (step.run)(house).and_then(complete) {
            Ok(counts) => (counts, None),
            Err(error) => {
                // What the runner counted as failed is in the error's text already; the step
                // itself is one failure, so that a runner that never started counts too.
                let counts = error
                    .downcast_ref::<Failed>()
                    .map_or(Counts::default(), |failed| failed.0);
                (
                    Counts {
                        failed: counts.failed.max(1),
                        ..counts
                    },
                    Some(format!("{error:#}")),
                )
            }
        };
        if let Some(error) = &error {
            eprintln!("✗ {}: {error}", step.name);
        }
        total.passed += counts.passed;
        total.failed += counts.failed;
        rows.push((step.name, counts, start.elapsed()));
    }
    println!("\n{}", table(&rows));
    println!("{} passed, {} failed", total.passed, total.failed);
    std::io::stdout().flush().ok();
    if total.failed > 0 {
        // The last line is said already.
        std::process::exit(1);
    }
    Ok(())
}

fn table(rows: &[(&str, Counts, Duration)]) -> String {
    let mut text = format!(
        "{:<10} {:>7} {:>7} {:>8}",
        "step", "passed", "failed", "seconds"
    );
    for (name, counts, time) in rows {
        text.push_str(&format!(
            "\n{name:<10} {:>7} {:>7} {:>8.1}",
            counts.passed,
            counts.failed,
            time.as_secs_f64()
        ));
    }
    text
}

/// A runner that ended badly, with what it counted.
#[derive(Debug)]
struct Failed(Counts, String);

impl std::fmt::Display for Failed {
    fn fmt(&self, formatter: &mut std::fmt::Formatter) -> std::fmt::Result {
        formatter.write_str(&self.1)
    }
}

impl std::error::Error for Failed {}

fn held(passed: usize) -> Counts {
    Counts {
        passed,
        ..Counts::default()
    }
}

/// A runner that is content although it skipped something, or ran nothing, has not checked.
fn complete(counts: Counts) -> Result<Counts> {
    let problem = if counts.failed > 0 {
        format!("{} failed", counts.failed)
    } else if counts.skipped > 0 {
        format!(
            "{} skipped: a check that does not run is no check",
            counts.skipped
        )
    } else if counts.passed == 0 {
        "nothing ran".to_owned()
    } else {
        return Ok(counts);
    };
    Err(Failed(counts, problem).into())
}

/// Runs a runner, shows what it prints as it prints it, and counts.
fn counted(command: &mut Command, count: fn(&str) -> Counts) -> Result<Counts> {
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .with_context(|| format!("cannot start {}", shown(command)))?;
    let mut text = String::new();
    if let Some(stdout) = child.stdout.take() {
        for line in BufReader::new(stdout).split(b'\n') {
            let line = line?;
            let line = String::from_utf8_lossy(&line);
            println!("{line}");
            text.push_str(&line);
            text.push('\n');
        }
    }
    let status = child.wait()?;
    let counts = complete(count(&text))?;
    if !status.success() {
        let problem = format!("{} ended with {status}", shown(command));
        return Err(Failed(counts, problem).into());
    }
    Ok(counts)
}

/// A folder that a step looks into.
fn folder(house: &House, name: &str) -> Result<PathBuf> {
    let folder = house.path(name);
    if !folder.is_dir() {
        bail!("{name} is missing");
    }
    Ok(folder)
}

fn format(house: &House) -> Result<Counts> {
    run(house::cargo()
        .current_dir(&house.root)
        .args(["fmt", "--all", "--check"]))?;
    Ok(held(1))
}

fn clippy(house: &House) -> Result<Counts> {
    run(house::cargo()
        .current_dir(&house.root)
        .args(["clippy", "--quiet", "--workspace", "--all-targets"])
        .args(["--", "-D", "warnings"]))?;
    Ok(held(1))
}

fn rust(house: &House) -> Result<Counts> {
    counted(
        house::cargo()
            .current_dir(&house.root)
            .args(["test", "--workspace", "--no-fail-fast"]),
        counts::cargo,
    )
}

/// The page, built once in a run: an older one in the same place proves nothing of this source.
fn built(house: &House) -> Result<PathBuf> {
    static BUILT: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    let built = BUILT.get_or_init(|| site::build(house).map_err(|error| format!("{error:#}")));
    built
        .clone()
        .map_err(|error| anyhow!("the page does not build: {error}"))
}

/// Checks the copies in the site, where the modules of `pkg/` lie beside them.
fn types(house: &House) -> Result<Counts> {
    let checks = folder(house, "tests/page")?;
    let site = built(house)?;
    install::npm(&checks)?;
    let config = house.target.join("tsc/tsconfig.json");
    let below = |name: &str| site.join(name).display().to_string();
    let text = serde_json::json!({
        "extends": checks.join("tsconfig.json"),
        "include": [below("**/*.js"), below("**/*.mjs")],
        "exclude": [below("pkg"), below("samples")],
    });
    house::write(&config, text.to_string())?;
    say("tsc: the files it names are copies of those in www/");
    run(Command::new(checks.join("node_modules/.bin/tsc"))
        .current_dir(&site)
        .arg("--project")
        .arg(&config))?;
    Ok(held(1))
}

fn reference(house: &House) -> Result<Counts> {
    let checks = folder(house, "tests/reference")?;
    let python = install::python(house, &checks.join("requirements.txt"))?;
    let footing = samples::footing(house)?;
    counted(
        Command::new(python)
            .current_dir(&house.root)
            .args(["-m", "pytest", "tests/reference", "-p", "no:cacheprovider"])
            .env("PYTHONDONTWRITEBYTECODE", "1")
            .env("FOOTING", footing),
        counts::pytest,
    )
}

fn page(house: &House) -> Result<Counts> {
    let checks = folder(house, "tests/page")?;
    let site = built(house)?;
    install::npm(&checks)?;
    let chromium = install::chromium()?;
    let files: Vec<PathBuf> = house::sorted(&checks)?
        .into_iter()
        .filter(|file| file.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    if files.is_empty() {
        bail!("tests/page holds no *.test.mjs");
    }
    let footing = samples::footing(house)?;
    serve::during(&site, |url| {
        counted(
            Command::new("node")
                .current_dir(&house.root)
                // A test that failed before it closed its server must not keep the whole run waiting:
                // the file ends with its last test, and one that hangs ends after ten minutes.
                .args([
                    "--test",
                    "--test-reporter=spec",
                    "--test-force-exit",
                    "--test-timeout=600000",
                ])
                .args(&files)
                .env("FOOTING", &footing)
                .env("FOOTING_URL", url)
                .env("FOOTING_SITE", &site)
                .env("FOOTING_CHROMIUM", &chromium),
            counts::node,
        )
    })
}

fn fuzz(house: &House) -> Result<Counts> {
    let fuzz = folder(house, "tests/fuzz")?;
    counted(
        house::cargo()
            .current_dir(&fuzz)
            // Named, or cargo would take the workspace above a folder that lacks its own.
            .args([
                "run",
                "--quiet",
                "--release",
                "--manifest-path",
                "Cargo.toml",
            ])
            .args(["--", "all", FUZZ_SECONDS])
            .env("CARGO_TARGET_DIR", house.target.join("fuzz")),
        counts::fuzz,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(passed: usize, failed: usize, skipped: usize) -> Counts {
        Counts {
            passed,
            failed,
            skipped,
        }
    }

    #[test]
    fn only_a_runner_that_ran_everything_has_checked() {
        assert!(complete(counts(1, 0, 0)).is_ok());
        for bad in [counts(0, 0, 0), counts(3, 1, 0), counts(3, 0, 1)] {
            assert!(complete(bad).is_err(), "{bad:?}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_runner_that_ends_badly_fails_whatever_it_printed() {
        let closing = "test result: ok. 2 passed; 0 failed; 0 ignored";
        let shell = |script: &str| {
            let mut command = Command::new("sh");
            command.args(["-c", script]);
            counted(&mut command, counts::cargo)
        };
        assert_eq!(
            shell(&format!("echo '{closing}'")).unwrap(),
            counts(2, 0, 0)
        );
        assert!(shell(&format!("echo '{closing}'; exit 3")).is_err());
        assert!(shell("exit 0").is_err(), "nothing ran");
    }

    #[test]
    fn a_missing_folder_is_a_failure() {
        let house = House {
            root: PathBuf::from("nowhere"),
            target: PathBuf::from("nowhere/target"),
        };
        for step in [reference, page, types, fuzz] {
            assert!(
                step(&house)
                    .unwrap_err()
                    .to_string()
                    .ends_with("is missing")
            );
        }
    }
}
