//! Recordings inside archives and workbooks.

use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;

use zip::write::{SimpleFileOptions, ZipWriter};

use crate::{FIRST, Folder, RIG, SECOND, code, footing, json, stderr, stdout};

fn sample(name: &str) -> Vec<u8> {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    fs::read(samples.join(name)).expect("a sample")
}

/// An archive on disk; gives its path.
fn archive(folder: &Folder, name: &str, files: &[(&str, &[u8])]) -> String {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        let started = writer.start_file(*name, SimpleFileOptions::default());
        started.expect("an entry");
        writer.write_all(bytes).expect("bytes");
    }
    let bytes = writer.finish().expect("an archive").into_inner();
    let path = folder.0.join(name);
    fs::write(&path, bytes).expect("a file");
    path.display().to_string()
}

#[test]
fn an_archive_measures_as_the_files_in_it_do() {
    let folder = Folder::new("packed");
    let pack = archive(
        &folder,
        "monday.zip",
        &[
            ("bay 1/two.csv", &sample(SECOND)),
            ("bay 1/one.csv", &sample(FIRST)),
            ("readme.md", b"Windy."),
            (RIG, &sample(RIG)),
            ("again.zip", b"PK\x03\x04"),
        ],
    );
    let inside = footing(&["measure", &pack, "--handed", "left", "--csv"]);
    assert_eq!(code(&inside), 1, "the archive inside is refused");
    let beside = footing(&["measure", FIRST, SECOND, RIG, "--handed", "left", "--csv"]);
    let renamed = stdout(&beside)
        .replace(FIRST, "monday.zip/bay 1/one.csv")
        .replace(SECOND, "monday.zip/bay 1/two.csv");
    assert_eq!(stdout(&inside), renamed);
    let said: Vec<&str> = stderr(&inside).lines().collect();
    assert_eq!(
        said,
        [
            "monday.zip: left out 1 file that is no recording (readme.md)",
            &format!(
                "{pack}/again.zip: it is an archive inside an archive; expected recordings in one archive; try unpacking the outer one first"
            )
        ]
    );
    let looked = footing(&["inspect", &pack, "--json"]);
    let documents: serde_json::Value = serde_json::from_slice(&looked.stdout).expect("JSON");
    assert_eq!(documents[1]["file"], "monday.zip/bay 1/two.csv");
}

#[test]
fn events_and_rigs_reach_into_archives() {
    let folder = Folder::new("packed-events");
    let (first, rig) = (sample(FIRST), sample(RIG));
    let pack = |name: &str| archive(&folder, name, &[("one.csv", &first), ("a.rig.json", &rig)]);
    let (a, b) = (pack("a.zip"), pack("b.zip"));
    let events = folder.file("e.json", r#"{"a.zip/one.csv": {"top_s": 1.5}}"#);
    // The same rig in both is one rig.
    let document = json(&footing(&[
        "measure", &a, &b, "--events", &events, "--json",
    ]));
    let top = |i: usize| document["recordings"][i]["events"]["top"]["t_s"].as_f64();
    assert_eq!(top(0), Some(1.5));
    assert_ne!(top(1), Some(1.5));
    let other = archive(&folder, "c.zip", &[("c.rig.json", &sample("bad.rig.json"))]);
    let refused = footing(&["measure", &a, &other]);
    assert_eq!(code(&refused), 1);
    assert!(
        stderr(&refused).contains(&format!(
            "{other}/c.rig.json: a second rig beside {a}/a.rig.json;"
        )),
        "{}",
        stderr(&refused)
    );
}

#[test]
fn a_damaged_swing_keeps_its_place_in_its_set() {
    let folder = Folder::new("packed-pairs");
    let swings = |set: &str, broken: bool| {
        let names: Vec<String> = (1..=6)
            .map(|i| format!("harbour-range-{set}-{i}.c3d"))
            .collect();
        let mut files: Vec<(&str, Vec<u8>)> = names.iter().map(|n| (&**n, sample(n))).collect();
        if broken {
            files[1].1 = b"PK\x03\x04".to_vec();
        }
        let files: Vec<(&str, &[u8])> = files.iter().map(|(n, b)| (*n, &b[..])).collect();
        archive(&folder, &format!("{set}.zip"), &files)
    };
    let (a, b) = (swings("before", true), swings("after", false));
    let output = footing(&[
        "compare", "--a", &a, "--b", &b, "--paired", "--handed", "left",
    ]);
    assert!(
        stdout(&output).contains(
            "Pair 2 is left out: one of its recordings was refused, and after.zip/harbour-range-after-2.c3d has no partner."
        ),
        "{}\n{}",
        stdout(&output),
        stderr(&output)
    );
}
