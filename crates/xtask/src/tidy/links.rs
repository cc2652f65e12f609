//! A link made by any released version opens for ever: what stands in `tests/links` may be
//! added to, never changed.

use std::path::Path;

use anyhow::Result;

use super::{Finding, git};

const FOLDER: &str = "tests/links";

/// Reads every change ever made to the golden links, and what is not committed yet.
pub fn append_only(root: &Path) -> Result<Vec<Finding>> {
    let history = git(
        root,
        &[
            "log",
            "-p",
            "-m",
            "--first-parent",
            "--no-renames",
            "--no-color",
            "--no-ext-diff",
            "--unified=0",
            "--format=commit %h",
            "--",
            FOLDER,
        ],
    )?;
    let pending = git(
        root,
        &[
            "diff",
            "HEAD",
            "--no-renames",
            "--no-color",
            "--no-ext-diff",
            "--unified=0",
            "--",
            FOLDER,
        ],
    )?;
    let mut findings = removed(&history);
    findings.extend(removed(&format!("commit pending\n{pending}")));
    Ok(findings)
}

/// Finds the lines a patch takes away from golden links. Prose beside them may change.
fn removed(patch: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    let (mut commit, mut file, mut in_hunk) = ("", "", false);
    for line in patch.lines() {
        if let Some(name) = line.strip_prefix("commit ") {
            (commit, in_hunk) = (name, false);
        } else if line.starts_with("diff --git ") {
            in_hunk = false;
        } else if let Some(name) = line.strip_prefix("--- a/").filter(|_| !in_hunk) {
            file = name;
        } else if line.starts_with("@@ ") {
            in_hunk = true;
        } else if in_hunk && line.starts_with('-') && !file.ends_with(".md") {
            findings.push(Finding::new(
                file,
                format!(
                    "{commit}: takes away `{}`: golden links stay",
                    shortened(line)
                ),
            ));
        }
    }
    findings
}

fn shortened(line: &str) -> String {
    line.chars().skip(1).take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::process::Command;

    #[test]
    fn against_a_real_history() {
        let root = std::env::temp_dir().join(format!("xtask-links-{}", std::process::id()));
        std::fs::remove_dir_all(&root).ok();
        std::fs::create_dir_all(root.join("tests/links/v1")).unwrap();
        let git = |arguments: &[&str]| {
            let done = Command::new("git")
                .current_dir(&root)
                .args(["-c", "user.name=a", "-c", "user.email=a@example.org"])
                .args(arguments)
                .output()
                .unwrap();
            assert!(done.status.success(), "{arguments:?}");
        };
        let links = root.join("tests/links/v1/a.txt");
        let write = |text: &str| std::fs::write(&links, text).unwrap();
        git(&["init", "--quiet"]);
        write("one\n");
        std::fs::write(root.join("tests/links/README.md"), "prose\n").unwrap();
        git(&["add", "."]);
        git(&["commit", "--quiet", "-m", "one"]);

        write("one\ntwo\n--three\n");
        std::fs::write(root.join("tests/links/README.md"), "better prose\n").unwrap();
        assert_eq!(append_only(&root).unwrap(), []);
        git(&["commit", "--quiet", "-am", "two"]);
        assert_eq!(append_only(&root).unwrap(), []);

        write("one\nTWO\n--three\n");
        let pending = append_only(&root).unwrap();
        assert_eq!(pending.len(), 1);
        assert_eq!(pending[0].place, "tests/links/v1/a.txt");
        assert!(pending[0].what.contains("pending: takes away `two`"));
        git(&["commit", "--quiet", "-am", "changed"]);
        assert_eq!(append_only(&root).unwrap().len(), 1);

        git(&["rm", "--quiet", "tests/links/v1/a.txt"]);
        assert_eq!(append_only(&root).unwrap().len(), 4, "three lines more");
        std::fs::remove_dir_all(&root).unwrap();
    }
}
