//! Damaged C3D files, each with the one sentence that refuses it.
//!
//! In the workspace's `tests/hostile/c3d`, beside every file `x` stands `x.message` with the whole
//! sentence. To add a case: add the file, run the test, read the sentence it prints as a person
//! would who has only the file, and save it when it helps.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/hostile/c3d")
}

#[test]
fn every_hostile_file_is_refused_with_its_sentence() {
    let mut names: Vec<String> = fs::read_dir(folder())
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name())
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| !name.ends_with(".message"))
        .collect();
    names.sort();
    assert!(names.len() >= 20, "{} files", names.len());
    let mut wrong = Vec::new();
    for name in names {
        let bytes = fs::read(folder().join(&name)).expect("a file");
        let start = Instant::now();
        let said = match footing_formats::read(&name, &bytes, None) {
            Ok(loaded) => format!("(was read, {:?})", loaded.notes),
            Err(problem) => problem.to_string(),
        };
        assert!(start.elapsed() < Duration::from_secs(2), "{name} took long");
        assert!(!said.contains('\n'), "{name}: {said}");
        let expected = fs::read_to_string(folder().join(format!("{name}.message")));
        if expected.ok().as_deref().map(str::trim_end) != Some(said.as_str()) {
            wrong.push(said);
        }
    }
    assert!(wrong.is_empty(), "not as expected:\n{}", wrong.join("\n"));
}

/// Every prefix of a good file is read or refused, never worse; so is every single damaged byte.
#[test]
fn every_cut_and_every_damaged_byte_is_survived() {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz/corpus/c3d");
    let mut files = 0;
    for entry in fs::read_dir(corpus).expect("the corpus") {
        let path = entry.expect("an entry").path();
        let bytes = fs::read(&path).expect("a file");
        let whole = footing_formats::read("whole.c3d", &bytes, None).expect("a good file");
        for end in 0..bytes.len() {
            let cut = footing_formats::read("cut.c3d", &bytes[..end], None);
            if let Ok(cut) = cut {
                assert!(cut.recording.t_s.len() <= whole.recording.t_s.len());
            }
        }
        let mut damaged = bytes.clone();
        for at in 0..bytes.len().min(2_048) {
            for value in [0, 0x7f, 0x80, 0xff] {
                damaged[at] = value;
                let _ = footing_formats::read("damaged.c3d", &damaged, None);
            }
            damaged[at] = bytes[at];
        }
        files += 1;
    }
    assert!(files >= 4, "{files} files");
}
