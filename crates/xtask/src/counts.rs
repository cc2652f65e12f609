//! How many checks a runner ran, read from what it printed.

/// What a runner says it did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Counts {
    /// Checks that ran and held.
    pub passed: usize,
    /// Checks that ran and did not, or could not start.
    pub failed: usize,
    /// Checks that were switched off.
    pub skipped: usize,
}

/// `cargo test`: one closing line for each binary and each crate's doc tests.
pub fn cargo(text: &str) -> Counts {
    let mut counts = Counts::default();
    for line in text.lines() {
        let Some(parts) = line.trim().strip_prefix("test result: ") else {
            continue;
        };
        let parts = parts.split_once(". ").map_or("", |(_, parts)| parts);
        for part in parts.split("; ") {
            add(&mut counts, part, &["passed"], &["failed"], &["ignored"]);
        }
    }
    counts
}

/// `pytest`: one closing line, `=== 1 failed, 12 passed, 2 skipped in 3.1s ===`.
pub fn pytest(text: &str) -> Counts {
    let mut counts = Counts::default();
    let closing = text
        .lines()
        .rev()
        .map(|line| line.trim_matches(['=', ' ']))
        .find(|line| line.contains(" in ") && line.ends_with(['s', ')']));
    let Some((parts, _)) = closing.and_then(|line| line.split_once(" in ")) else {
        return counts;
    };
    for part in parts.split(", ") {
        add(
            &mut counts,
            part,
            &["passed"],
            &["failed", "error", "errors"],
            &["skipped", "xfailed", "xpassed"],
        );
    }
    counts
}

/// `node --test` with its `spec` reporter: `ℹ pass 3`, one kind a line.
pub fn node(text: &str) -> Counts {
    let mut counts = Counts::default();
    for line in text.lines() {
        let Some(line) = line.strip_prefix("ℹ ") else {
            continue;
        };
        if let Some((kind, number)) = line.split_once(' ') {
            add(
                &mut counts,
                &format!("{number} {kind}"),
                &["pass"],
                &["fail", "cancelled"],
                &["skipped", "todo"],
            );
        }
    }
    counts
}

/// The fuzzing step: a closing line `8 passed, 0 failed`, of readers.
pub fn fuzz(text: &str) -> Counts {
    let mut counts = Counts::default();
    for part in text.lines().last().unwrap_or_default().split(", ") {
        add(&mut counts, part, &["passed"], &["failed"], &[]);
    }
    counts
}

/// Adds a part like `12 passed`.
fn add(counts: &mut Counts, part: &str, passed: &[&str], failed: &[&str], skipped: &[&str]) {
    let Some((number, kind)) = part.trim().split_once(' ') else {
        return;
    };
    let Ok(number) = number.parse::<usize>() else {
        return;
    };
    if passed.contains(&kind) {
        counts.passed += number;
    } else if failed.contains(&kind) {
        counts.failed += number;
    } else if skipped.contains(&kind) {
        counts.skipped += number;
    }
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
    fn cargo_lines_add_up() {
        let text = "running 2 tests\n\
            test result: ok. 5 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
            test result: FAILED. 2 passed; 1 failed; 3 ignored; 0 measured; 0 filtered out; finished in 0.1s\n";
        assert_eq!(cargo(text), counts(7, 1, 3));
        assert_eq!(cargo("error: could not compile"), Counts::default());
    }

    #[test]
    fn pytest_closes_with_one_line() {
        let quiet = "....\n4 passed in 0.12s\n";
        assert_eq!(pytest(quiet), counts(4, 0, 0));
        let loud = "x\n=== 1 failed, 12 passed, 2 skipped, 1 xfailed, 3 warnings in 63.10s (0:01:03) ===\n";
        assert_eq!(pytest(loud), counts(12, 1, 3));
        assert_eq!(pytest("=== 2 errors in 0.10s ==="), counts(0, 2, 0));
        assert_eq!(pytest("=== no tests ran in 0.01s ==="), Counts::default());
    }

    #[test]
    fn node_gives_one_kind_a_line() {
        let text = "✔ drops a file (12ms)\nℹ tests 6\nℹ suites 1\nℹ pass 3\nℹ fail 1\n\
                    ℹ cancelled 1\nℹ skipped 1\nℹ todo 0\nℹ duration_ms 91.5\n";
        assert_eq!(node(text), counts(3, 2, 1));
    }

    #[test]
    fn fuzzing_closes_with_its_readers() {
        let text = "rig: 12 inputs kept their promises, 1 did not\n7 passed, 1 failed\n";
        assert_eq!(fuzz(text), counts(7, 1, 0));
        assert_eq!(fuzz("usage: footing-fuzz"), Counts::default());
    }
}
