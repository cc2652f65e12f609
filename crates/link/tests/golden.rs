//! Links of every version ever shipped still open, and say what they said.
//!
//! To add one: put it into `examples/golden.rs` and run that. Never change one that is there: someone has
//! it in a message, or printed.

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use footing_link::{LATEST, decode, encode};
use support::text::lines;

fn links() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/links")
}

fn names(version: u32) -> BTreeSet<String> {
    let folder = links().join(format!("v{version}"));
    fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter_map(|file| Some(file.strip_suffix(".txt")?.to_owned()))
        .filter(|name| !name.ends_with(".expected"))
        .collect()
}

#[test]
fn golden_links_open_and_say_what_they_said() {
    for version in 1..=LATEST {
        let names = names(version);
        assert!(
            names.len() >= 10,
            "version {version} has {} links",
            names.len()
        );
        for name in names {
            let file = |ending: &str| links().join(format!("v{version}/{name}{ending}.txt"));
            let url = fs::read_to_string(file("")).unwrap();
            let expected = fs::read_to_string(file(".expected")).unwrap();
            let shared = decode(&url).unwrap_or_else(|e| panic!("{name}: {e}"));
            assert_eq!(lines(&shared), expected, "{name}");
            if version == LATEST {
                let link = encode(&shared).unwrap();
                let base = &url[..url.find('#').unwrap()];
                let again = if url.contains("#F") {
                    link.qr_url(base)
                } else {
                    link.url(base)
                };
                assert_eq!(again, url.trim_end(), "{name}");
            }
        }
    }
}
