//! The sample tables of the repository load through their rigs, or are refused as they should be.

mod table_support;

use footing_formats::{read, rig};
use std::fs;
use std::path::PathBuf;
use table_support::assert_invariants;

#[test]
fn sample_tables_load_through_their_rigs() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let names: Vec<String> = fs::read_dir(&folder)
        .expect("the folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let mut loaded = 0;
    for wiring in names.iter().filter(|name| name.ends_with(".rig.json")) {
        let rig = fs::read(folder.join(wiring)).expect("a rig");
        let rig = rig::parse(wiring, &rig).unwrap_or_else(|problem| panic!("{problem}"));
        let set = wiring.trim_end_matches(".rig.json");
        let tables = names
            .iter()
            .filter(|name| name.starts_with(set) && name.ends_with(".csv"));
        for name in tables {
            let bytes = fs::read(folder.join(name)).expect("a table");
            match read(name, &bytes, Some(&rig)) {
                Ok(table) => {
                    assert_invariants(&table.recording);
                    loaded += 1;
                }
                Err(problem) => assert!(set == "bad", "{problem}"),
            }
        }
    }
    assert!(loaded >= 16, "{loaded} sample tables");
}
