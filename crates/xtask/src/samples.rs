//! The invented recordings in `samples/`: written by the simulator, never by hand.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::house::{self, House, copy_folder, run, say, sorted};

/// The scenarios kept in `samples/`. (`bench` is too long to keep: the bench writes its own.)
const SCENARIOS: [&str; 43] = [
    "harbour-range",
    "driver-right",
    "vertical-only",
    "bad-truncated",
    "bad-missing-column",
    "bad-time-backwards",
    "bad-not-a-number",
    "bad-swapped-plates",
    "bad-swapped-feet",
    "bad-not-zeroed",
    "bad-saturated",
    "bad-gap",
    "bad-unit-slip",
    "bad-kilonewtons",
    "bad-gain",
    "bad-kilograms",
    "bad-drift",
    "bad-steps-off",
    "bad-one-plate",
    "bad-across-plates",
    "bad-near-edge",
    "bad-dead-channel",
    "bad-jitter",
    "bad-other-hand",
    "bad-clock",
    "bad-shear-gain",
    "bad-twist-gain",
    "bad-weak-plate",
    "bad-target",
    "bad-noisy",
    "bad-apart",
    "bad-weak-lead-plate",
    "bad-dropout",
    "bad-twist-unit",
    "bad-heavy",
    "bad-offset",
    "bad-frozen",
    "bad-load-shift",
    "bad-restless",
    "bad-half-move",
    "bad-no-swing",
    "bad-events",
    "three-swings",
];

/// Builds the command `footing`, as every other step builds it, and gives its path.
pub fn footing(house: &House) -> Result<PathBuf> {
    // With the whole workspace, so that no dependency is built twice with other features.
    run(house::cargo().current_dir(&house.root).args([
        "build",
        "--quiet",
        "--workspace",
        "--bin",
        "footing",
    ]))?;
    let program = format!("footing{}", std::env::consts::EXE_SUFFIX);
    Ok(house.target.join("debug").join(program))
}

/// Writes the samples anew.
pub fn write(house: &House) -> Result<()> {
    let fresh = simulate(house)?;
    let files = copy_folder(&fresh, &house.path("samples"))?;
    say(format!("samples: {files} files written"));
    Ok(())
}

/// Compares the committed samples with what the simulator writes; gives the number of files.
pub fn check(house: &House) -> Result<usize> {
    let samples = house.path("samples");
    let fresh = simulate(house)?;
    let problems = differences(&samples, &fresh)?;
    for problem in &problems {
        eprintln!("{problem}");
    }
    if !problems.is_empty() {
        bail!("samples differ from what the simulator writes: see `cargo xtask samples`");
    }
    Ok(names(&fresh)?.len())
}

fn simulate(house: &House) -> Result<PathBuf> {
    let footing = footing(house)?;
    let fresh = house.target.join("samples");
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh)
            .with_context(|| format!("cannot empty {}", fresh.display()))?;
    }
    std::fs::create_dir_all(&fresh)?;
    say(format!("footing simulate: {}", SCENARIOS.join(", ")));
    for scenario in SCENARIOS {
        run(Command::new(&footing)
            .args(["simulate", scenario, "--seed", "1", "--out"])
            .arg(&fresh)
            .stdout(Stdio::null()))?;
    }
    Ok(fresh)
}

/// The README's picture of the page lies beside what it shows.
const PICTURE: &str = "page.png";

/// What differs, a line each. Prose beside the samples is written by people, and the picture is
/// taken by them.
fn differences(committed: &Path, fresh: &Path) -> Result<Vec<String>> {
    let written = names(fresh)?;
    if written.is_empty() {
        return Ok(vec!["the simulator wrote no file".to_owned()]);
    }
    let mut problems = Vec::new();
    for name in &written {
        let expected = std::fs::read(fresh.join(name))?;
        match std::fs::read(committed.join(name)) {
            Ok(bytes) if bytes == expected => {}
            Ok(_) => problems.push(format!("samples/{name}: not what the simulator writes")),
            Err(_) => problems.push(format!("samples/{name}: missing")),
        }
    }
    if committed.is_dir() {
        for name in names(committed)?.difference(&written) {
            if !name.ends_with(".md") && name != PICTURE {
                problems.push(format!("samples/{name}: the simulator does not write it"));
            }
        }
    }
    Ok(problems)
}

/// All files below a folder, by their paths from it.
fn names(folder: &Path) -> Result<BTreeSet<String>> {
    let mut names = BTreeSet::new();
    for entry in sorted(folder)? {
        let name = entry.file_name().unwrap_or_default().to_string_lossy();
        if entry.is_dir() {
            names.extend(
                self::names(&entry)?
                    .iter()
                    .map(|below| format!("{name}/{below}")),
            );
        } else {
            names.insert(name.into_owned());
        }
    }
    Ok(names)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_difference_is_named() {
        let top = std::env::temp_dir().join(format!("xtask-differences-{}", std::process::id()));
        std::fs::remove_dir_all(&top).ok();
        let (committed, fresh) = (top.join("committed"), top.join("fresh"));
        for folder in [&committed, &fresh] {
            std::fs::create_dir_all(folder.join("set")).unwrap();
        }
        let put = |folder: &Path, name: &str, text: &str| {
            std::fs::write(folder.join(name), text).unwrap();
        };
        assert_eq!(
            differences(&committed, &fresh).unwrap().len(),
            1,
            "nothing written"
        );
        put(&fresh, "set/a.csv", "1");
        put(&committed, "set/a.csv", "1");
        put(&committed, "PROVENANCE.md", "prose");
        put(&committed, PICTURE, "pixels");
        assert_eq!(differences(&committed, &fresh).unwrap(), [""; 0]);

        put(&committed, "set/a.csv", "2");
        put(&committed, "set/old.csv", "1");
        put(&fresh, "new.csv", "1");
        assert_eq!(
            differences(&committed, &fresh).unwrap(),
            [
                "samples/new.csv: missing",
                "samples/set/a.csv: not what the simulator writes",
                "samples/set/old.csv: the simulator does not write it",
            ]
        );
        std::fs::remove_dir_all(&top).unwrap();
    }
}
