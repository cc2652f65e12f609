//! The written description of the format and its source change together.

use std::fs;
use std::path::Path;

use crc::{CRC_64_XZ, Crc};

#[test]
fn the_description_names_the_source_it_describes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = fs::read_dir(root.join("src/v1"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.push(root.join("src/alphabet.rs"));
    files.push(root.join("src/envelope.rs"));
    files.sort();
    let crc = Crc::<u64>::new(&CRC_64_XZ);
    let mut digest = crc.digest();
    for file in &files {
        // Line ends may be rewritten by a checkout.
        digest.update(
            fs::read_to_string(file)
                .unwrap()
                .replace("\r\n", "\n")
                .as_bytes(),
        );
    }
    let line = format!("Source of version 1: `{:016x}`", digest.finalize());
    let description = fs::read_to_string(root.join("FORMAT.md")).unwrap();
    assert!(
        description.contains(&line),
        "the source of the format changed: make sure that FORMAT.md still describes it and that every \
         golden link opens, then write into it\n{line}"
    );
}
