//! The committed samples are what the generator makes, byte for byte, on every machine.

use std::collections::BTreeSet;
use std::path::PathBuf;

use footing_simulate::{scenario, scenario_names};

fn samples() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../samples")
}

fn recording(name: &str) -> bool {
    name.ends_with(".csv") || name.ends_with(".c3d")
}

#[test]
fn committed_samples_are_generated_ones() {
    let mut expected = BTreeSet::new();
    for name in scenario_names().into_iter().filter(|name| *name != "bench") {
        for file in scenario(name, 1).unwrap() {
            let path = samples().join(&file.name);
            let committed = std::fs::read(&path)
                .unwrap_or_else(|e| panic!("{} cannot be read: {e}; generate it again", file.name));
            assert!(
                committed == file.bytes,
                "{} is not what scenario {name}, seed 1, makes; generate it again",
                file.name
            );
            if recording(&file.name) {
                expected.insert(file.name);
            }
        }
    }
    let there: BTreeSet<String> = std::fs::read_dir(samples())
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_file())
        .map(|entry| entry.file_name().into_string().unwrap())
        .filter(|name| recording(name))
        .collect();
    assert_eq!(
        there, expected,
        "recordings in samples/ and recordings that scenarios make"
    );
}

#[test]
fn seeds_matter_and_unknown_names_are_refused() {
    assert!(scenario("nothing-of-the-kind", 1).is_none());
    let (one, two) = (scenario("vertical-only", 1), scenario("vertical-only", 2));
    assert_ne!(one, two);
    assert_eq!(one, scenario("vertical-only", 1));
}

#[test]
fn the_index_names_files_that_exist() {
    let files = scenario("harbour-range", 1).unwrap();
    let index = files.iter().find(|f| f.name == "index.json").unwrap();
    let index: serde_json::Value = serde_json::from_slice(&index.bytes).unwrap();
    let mut named = 0;
    for set in index["sets"].as_array().unwrap() {
        for name in set["files"].as_array().unwrap() {
            assert!(files.iter().any(|f| f.name == name.as_str().unwrap()));
            named += 1;
        }
    }
    assert_eq!(named, 12);
}
