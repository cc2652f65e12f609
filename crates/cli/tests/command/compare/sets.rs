//! Which recordings count in which set.

use std::process::Output;

use serde_json::Value;

use super::long::note;
use super::{PAGE, both, compare, set};
use crate::{Folder, RIG, code, footing, json, stderr, stdout};

#[test]
fn a_refused_file_leaves_the_rest_and_takes_its_partner_along() {
    let mut b = set("after", 1..=6);
    b[1] = "no-such.csv".into();
    let output = compare(&set("before", 1..=6), &b, &["--json"]);
    assert_eq!(code(&output), 1);
    assert!(
        stderr(&output).starts_with("no-such.csv: "),
        "{}",
        stderr(&output)
    );
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let n = |d: &Value, set: &str| d["measures"]["torque_min_nm"][set]["n"].clone();
    assert_eq!((n(&document, "a"), n(&document, "b")), (6.into(), 5.into()));

    let output = compare(&set("before", 1..=6), &b, &["--json", "--paired"]);
    assert_eq!(code(&output), 1);
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((n(&document, "a"), n(&document, "b")), (5.into(), 5.into()));
    let files = document["sets"]["a"]["files"].as_array().unwrap();
    assert!(!files.contains(&"harbour-range-before-2.csv".into()));
    let notes = document["notes"].as_array().unwrap();
    assert!(notes.iter().any(|note| note["code"] == "pair-left-out"));

    let output = compare(&set("before", 1..=6), &set("after", 1..=5), &["--paired"]);
    assert_eq!((code(&output), stdout(&output)), (1, ""));
    assert!(
        stderr(&output).contains("expected as many in both"),
        "{}",
        stderr(&output)
    );

    let output = compare(&["no-such.csv".into()], &b, &[]);
    assert_eq!((code(&output), stdout(&output)), (1, ""));
    assert!(stderr(&output).contains("at least one recording in each set"));
}

#[test]
fn each_set_may_bring_its_rig() {
    let among = footing(&[
        "compare",
        "--a",
        RIG,
        "harbour-range-before-1.csv",
        "--b",
        "harbour-range-after-1.csv",
        "--handed",
        "left",
    ]);
    assert_eq!(code(&among), 0, "{}", stderr(&among));
    let named = compare(&set("before", 1..=1), &set("after", 1..=1), &[]);
    assert_eq!(stdout(&among), stdout(&named));
    assert!(stdout(&named).contains("too few swings to say"));
}

/// The recordings of a set in the open standard, which need no rig.
fn c3d(name: &str) -> Vec<String> {
    let swings = 1..=6;
    swings
        .map(|i| format!("harbour-range-{name}-{i}.c3d"))
        .collect()
}

/// Compares the C3D files of the range, whose player is left-handed.
fn c3d_compared(options: &[&str]) -> Output {
    let (a, b) = (c3d("before"), c3d("after"));
    let mut arguments = vec!["compare", "--a"];
    arguments.extend(a.iter().map(String::as_str));
    arguments.push("--b");
    arguments.extend(b.iter().map(String::as_str));
    arguments.extend(options);
    footing(&arguments)
}

/// What every recording of the range carries when it is read with the wrong hand.
const MIRRORED: &str = "the player looks like one of the other hand";

#[test]
fn recordings_that_say_stop_are_left_out_and_the_note_is_told_once() {
    for options in [
        &[][..],
        &["--json"],
        &["--csv"],
        &["--paired"],
        &["--link", PAGE],
    ] {
        let output = c3d_compared(options);
        assert_eq!((code(&output), stdout(&output)), (1, ""), "{options:?}");
        let lines: Vec<&str> = stderr(&output).lines().collect();
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert!(lines[0].contains(MIRRORED), "{lines:?}");
        assert!(lines[0].contains("(--handed left)"), "{lines:?}");
        for file in c3d("before").iter().chain(&c3d("after")) {
            assert_eq!(lines[0].matches(&**file).count(), 1, "{file}");
        }
        assert!(lines[1].starts_with("nothing is left of before and of after;"));
        assert!(lines[1].contains("--use-stopped"), "{lines:?}");
    }
    let right = c3d_compared(&["--handed", "left"]);
    assert_eq!((code(&right), stderr(&right)), (0, ""));
}

#[test]
fn counting_them_all_the_same_is_said_wherever_the_comparison_goes() {
    let output = c3d_compared(&["--use-stopped"]);
    assert_eq!((code(&output), stderr(&output)), (0, ""));
    assert_eq!(stdout(&output).matches(MIRRORED).count(), 1);
    let document = json(&c3d_compared(&["--use-stopped", "--json", "--link", PAGE]));
    let link = document["link"].as_str().unwrap();
    let received = json(&footing(&["read-link", link, "--json"]));
    for document in [&document, &received] {
        for set in ["a", "b"] {
            assert_eq!(document["sets"][set]["swings"], 6);
            assert_eq!(document["sets"][set]["overruled"], 6);
        }
    }
    let none = json(&both(&["--use-stopped", "--json"]));
    assert_eq!(none["sets"]["a"]["overruled"], 0);
}

/// Impact before the top, as a slip of the hand makes it.
fn one_slip(folder: &Folder) -> String {
    let text = r#"{"harbour-range-before-3.csv": {"top_s": 2.3}}"#;
    folder.file("slip.json", text)
}

#[test]
fn one_that_says_stop_leaves_the_rest_as_it_would_be_without_it() {
    let folder = Folder::new("stop-one");
    let events = one_slip(&folder);
    let output = both(&["--events", &events, "--json"]);
    assert_eq!(code(&output), 1);
    assert_eq!(stderr(&output).lines().count(), 1, "{}", stderr(&output));
    let start = "harbour-range-before-3.csv: left out of the comparison: Top (2.300 s)";
    assert!(stderr(&output).starts_with(start), "{}", stderr(&output));
    let left: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(left["sets"]["a"]["swings"], 5);
    assert_eq!(
        note(&left, "left-out").unwrap(),
        "Left out for a note that says stop, 1 of “before” and 0 of “after”: harbour-range-before-3.csv."
    );
    let mut a = set("before", 1..=6);
    a.remove(2);
    let without = json(&compare(&a, &set("after", 1..=6), &["--json"]));
    assert_eq!(left["measures"], without["measures"]);
    assert_eq!(left["curves"], without["curves"]);

    let paired = both(&["--events", &events, "--json", "--paired"]);
    assert_eq!(code(&paired), 1);
    let paired: Value = serde_json::from_slice(&paired.stdout).unwrap();
    assert_eq!(paired["sets"]["b"]["swings"], 5);
    assert_eq!(
        note(&paired, "pair-left-out").unwrap(),
        "Pair 3 is left out: one of its recordings carries a note that says stop, and harbour-range-after-3.csv has no partner."
    );

    let counted = json(&both(&["--events", &events, "--json", "--use-stopped"]));
    assert_eq!(counted["sets"]["a"]["overruled"], 1);
    assert_eq!(counted["sets"]["b"]["overruled"], 0);
    let told = note(&counted, "doubtful-recording").unwrap();
    assert!(
        told.contains("harbour-range-before-3.csv: Top (2.300 s)"),
        "{told}"
    );
}

/// The same swing of a player a fifth heavier: every force and moment times 1.2.
fn heavier(folder: &Folder) -> String {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../samples/harbour-range-before-1.csv"
    );
    let mut reader = csv::Reader::from_path(path).unwrap();
    let head = reader.headers().unwrap().clone();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&head).unwrap();
    for row in reader.records() {
        let row = row.unwrap();
        let cells = head.iter().zip(&row).map(|(name, cell)| {
            if name.starts_with('F') || name.starts_with('M') {
                (1.2 * cell.parse::<f64>().unwrap()).to_string()
            } else {
                cell.to_owned()
            }
        });
        writer.write_record(cells).unwrap();
    }
    let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
    folder.file("heavier.csv", &text)
}

#[test]
fn what_recordings_say_about_each_other_keeps_one_out_too() {
    let folder = Folder::new("stop-between");
    let mut a = set("before", 1..=6);
    a[0] = heavier(&folder);
    let output = compare(&a, &set("after", 1..=6), &["--json"]);
    assert_eq!(code(&output), 1);
    let start = format!(
        "{}: left out of the comparison: This recording weighs 88.8 kg",
        a[0]
    );
    assert!(stderr(&output).starts_with(&start), "{}", stderr(&output));
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["sets"]["a"]["swings"], 5);
    let counted = compare(&a, &set("after", 1..=6), &["--json", "--use-stopped"]);
    let counted = json(&counted);
    assert_eq!(counted["sets"]["a"]["swings"], 6);
    assert_eq!(counted["sets"]["a"]["overruled"], 1);
}

#[test]
fn a_recording_that_counts_twice_is_named() {
    let folder = Folder::new("twice");
    let samples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples/");
    let text = std::fs::read_to_string(format!("{samples}harbour-range-before-1.csv")).unwrap();
    let copy = folder.file("copy.csv", &text);
    let mut b = set("after", 1..=6);
    b[5] = copy.clone();
    let output = compare(&set("before", 1..=6), &b, &[]);
    assert_eq!(code(&output), 0);
    let names = format!("harbour-range-before-1.csv in “before”, {copy} in “after”");
    for text in [stdout(&output), stderr(&output)] {
        let lines: Vec<&str> = text
            .lines()
            .filter(|l| l.contains("sample for sample"))
            .collect();
        assert_eq!(lines.len(), 1, "{text}");
        assert!(lines[0].contains("is counted 2 times"), "{}", lines[0]);
        assert!(lines[0].contains(&names), "{}", lines[0]);
    }
    let a = ["harbour-range-before-1.csv", "harbour-range-before-2.csv"];
    let a: Vec<String> = [&a[..], &a[..1]]
        .concat()
        .iter()
        .map(|n| (*n).into())
        .collect();
    let output = compare(&a, &set("after", 1..=3), &["--csv"]);
    assert_eq!(code(&output), 0);
    let twice = "harbour-range-before-1.csv in “before”, harbour-range-before-1.csv in “before”";
    assert!(stderr(&output).contains(twice), "{}", stderr(&output));
    assert_eq!(stderr(&both(&[])), "");
}
