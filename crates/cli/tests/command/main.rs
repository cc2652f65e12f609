//! The command as a script sees it: standard output, standard error, exit codes.

mod compare;
mod measure;
mod packed;
mod printed;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_footing"));
    command
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples"))
        .args(arguments);
    command
}

fn footing(arguments: &[&str]) -> Output {
    command(arguments).output().expect("the command starts")
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("not ended by a signal")
}

fn stdout(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).expect("UTF-8")
}

fn stderr(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).expect("UTF-8")
}

fn json(output: &Output) -> Value {
    assert_eq!(code(output), 0, "{}", stderr(output));
    serde_json::from_slice(&output.stdout).expect("one JSON document")
}

/// A folder of this test's own, removed at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("footing-{}-{name}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder");
        Self(folder)
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.0.join(name);
        fs::write(&path, text).expect("a file");
        path.display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// The rig of the invented range.
const RIG: &str = "harbour-range.rig.json";
const FIRST: &str = "harbour-range-before-1.csv";
const SECOND: &str = "harbour-range-before-2.csv";
