//! Replays kept inputs, then mutates them until time is up.

use std::collections::BTreeSet;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use footing_counting::peak_of;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::mutate::mutate;
use crate::target::Target;

/// How many inputs kept the promises and how many did not.
#[derive(Debug, Clone, Copy, Default)]
pub struct Tally {
    /// Inputs read or refused as they should be.
    pub passed: u64,
    /// Inputs that made a reader panic, dawdle or swell.
    pub failed: u64,
}

/// Fuzzes one target for `seconds`. Failing inputs are written to the hostile folder.
///
/// # Errors
/// When the folders cannot be read or written.
pub fn fuzz(target: Target, seconds: f64, seed: u64) -> std::io::Result<Tally> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let hostile = here.join("../hostile").join(target.name());
    let mut inputs = kept(&here.join("corpus").join(target.name()))?;
    inputs.extend(kept(&hostile)?);
    let mut tally = Tally::default();
    let mut seen = BTreeSet::new();
    for (path, bytes) in &inputs {
        match attempt(target, bytes) {
            Ok(()) => tally.passed += 1,
            Err(why) => {
                tally.failed += 1;
                seen.insert(why.clone());
                println!("{}: {why}", path.display());
            }
        }
    }
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    let end = Instant::now() + Duration::from_secs_f64(seconds);
    while Instant::now() < end && !inputs.is_empty() {
        let one = &inputs[random.random_range(0..inputs.len())].1;
        let other = &inputs[random.random_range(0..inputs.len())].1;
        let bytes = mutate(target, one, other, &mut random);
        match attempt(target, &bytes) {
            Ok(()) => tally.passed += 1,
            Err(why) => {
                tally.failed += 1;
                // One file for each way to fail.
                if seen.insert(why.clone()) {
                    fs::create_dir_all(&hostile)?;
                    let name = format!("found-{seed}-{}.bin", tally.passed);
                    fs::write(hostile.join(&name), &bytes)?;
                    println!("{name}: {why}");
                }
            }
        }
    }
    println!(
        "{}: {} inputs kept their promises, {} did not",
        target.name(),
        tally.passed,
        tally.failed
    );
    Ok(tally)
}

fn kept(folder: &Path) -> std::io::Result<Vec<(PathBuf, Vec<u8>)>> {
    if !folder.exists() {
        return Ok(Vec::new());
    }
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<Result<_, _>>()?;
    // Beside hostile files stand the sentences they are refused with.
    let is_input = |path: &PathBuf| path.extension().is_none_or(|e| e != "message");
    paths.retain(|path| path.is_file() && is_input(path));
    paths.sort();
    paths
        .into_iter()
        .map(|path| fs::read(&path).map(|bytes| (path, bytes)))
        .collect()
}

fn attempt(target: Target, bytes: &[u8]) -> Result<(), String> {
    let start = Instant::now();
    let (outcome, peak) =
        peak_of(|| catch_unwind(AssertUnwindSafe(|| target.read(bytes))).map_err(reason));
    outcome?;
    // On a busy machine it may have waited for its turn: what dawdles does so every time.
    let again = || {
        let start = Instant::now();
        target.read(bytes);
        start.elapsed()
    };
    let longest = target.longest();
    if start.elapsed() > longest && (0..5).all(|_| again() > longest) {
        return Err(format!("took more than {longest:?}"));
    }
    if peak > target.most_memory(bytes) {
        return Err(format!("needed more memory than {}", target.memory_rule()));
    }
    Ok(())
}

fn reason(panic: Box<dyn std::any::Any + Send>) -> String {
    let text = panic
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| panic.downcast_ref::<&str>().copied());
    format!("panicked: {}", text.unwrap_or("without a word"))
}
