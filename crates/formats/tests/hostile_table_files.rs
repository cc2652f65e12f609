//! Damaged and mistaken files, each with the one sentence that refuses it.
//!
//! In the workspace's `tests/hostile/table`, beside every file `x` stands `x.message` with the
//! whole sentence. `plate.rig.json` wires the tables; other `.rig.json` files are refused
//! themselves. To add a case: add the file, run the test, read the sentence it prints as a person
//! would who has only the file, and save it when it helps.

use footing_formats::{read, rig};
use std::fs;
use std::path::PathBuf;

#[test]
fn every_hostile_file_is_refused_with_its_sentence() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/hostile/table");
    let wiring = fs::read(folder.join("plate.rig.json")).expect("the rig");
    let wiring = rig::parse("plate.rig.json", &wiring).unwrap_or_else(|p| panic!("{p}"));
    let mut names: Vec<String> = fs::read_dir(&folder)
        .expect("the folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| !name.ends_with(".message") && name != "plate.rig.json")
        .collect();
    names.sort();
    assert!(names.len() >= 40, "{} files", names.len());
    let mut wrong = Vec::new();
    for name in names {
        let bytes = fs::read(folder.join(&name)).expect("a file");
        let said = if name.ends_with(".rig.json") {
            rig::parse(&name, &bytes).err()
        } else {
            read(&name, &bytes, Some(&wiring)).err()
        };
        let said = said.map_or_else(|| "(was read)".to_owned(), |problem| problem.to_string());
        assert!(!said.contains('\n'), "{name}: {said}");
        let expected = fs::read_to_string(folder.join(format!("{name}.message")));
        if expected.ok().as_deref().map(str::trim_end) != Some(said.as_str()) {
            wrong.push(said);
        }
    }
    assert!(wrong.is_empty(), "not as expected:\n{}", wrong.join("\n"));
}
