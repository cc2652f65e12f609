//! Long recordings: a set takes each swing of one, as `measure` does.

use std::fs;
use std::process::Output;

use serde_json::Value;

use super::{PAGE, number};
use crate::{Folder, code, footing, json, stderr, stdout};

const LONG: &str = "three-swings.c3d";
const ONE: &str = "driver-right-1.c3d";

fn against(a: &[&str], b: &[&str], options: &[&str]) -> Output {
    footing(&[&["compare", "--a"], a, &["--b"], b, options].concat())
}

fn names(document: &Value, set: &str) -> Vec<String> {
    let files = document["sets"][set]["files"].as_array().unwrap();
    let name = |file: &Value| file.as_str().unwrap().to_owned();
    files.iter().map(name).collect()
}

pub(super) fn note(document: &Value, code: &str) -> Option<String> {
    let mut notes = document["notes"].as_array().unwrap().iter();
    let note = notes.find(|note| note["code"] == code)?;
    Some(note["text"].as_str().unwrap().to_owned())
}

/// The values of every measure of a set are those that `measure` gives, swing by swing, with whatever options.
fn as_measured(files: &[&str], options: &[&str]) {
    let measured = json(&footing(
        &[&["measure"], files, options, &["--json"]].concat(),
    ));
    let recordings = measured["recordings"].as_array().unwrap();
    let compared = json(&against(
        files,
        &[ONE],
        &[options, &["--use-stopped", "--json"]].concat(),
    ));
    let own: Vec<&str> = recordings
        .iter()
        .map(|r| r["file"].as_str().unwrap())
        .collect();
    assert_eq!(names(&compared, "a"), own, "{options:?}");
    assert_eq!(compared["sets"]["a"]["swings"], own.len());
    let mut told = 0;
    for (id, measure) in compared["measures"].as_object().unwrap() {
        let values = measure["a"]["values"].as_array().unwrap();
        let own: Vec<&Value> = recordings.iter().map(|r| &r["measures"][id]).collect();
        assert_eq!(values.iter().collect::<Vec<_>>(), own, "{id} {options:?}");
        told += 1;
    }
    assert!(told > 30, "{told}");
}

#[test]
fn a_set_holds_every_swing_that_measure_gives() {
    let folder = Folder::new("long-events");
    let events = folder.file(
        "events.json",
        r#"{"three-swings.c3d": {"top_s": 16.9, "impact_s": 17.1}}"#,
    );
    as_measured(&[LONG], &[]);
    as_measured(&[ONE, LONG], &["--about", "com", "--low-pass", "30"]);
    as_measured(&[LONG, ONE], &["--handed", "left", "--mass", "80"]);
    as_measured(&[LONG], &["--events", &events]);
    // Events on the file's clock are those of the swing they lie in.
    let at = |options: &[&str]| {
        let whole = json(&against(&[LONG], &[ONE], &[options, &["--json"]].concat()));
        whole["measures"]["downswing_s"]["a"]["values"].clone()
    };
    let (own, given) = (at(&[]), at(&["--events", &events]));
    assert_eq!((&own[0], &own[2]), (&given[0], &given[2]));
    assert!((number(&given[1]) - 0.2).abs() < 1e-9, "{given}");
}

/// The page, the link, the report and the text say how many swings there are, and of which file each is.
#[test]
fn the_swings_of_a_long_recording_are_told_wherever_the_comparison_goes() {
    let folder = Folder::new("long-report");
    let report = folder.file("report.html", "");
    let options = ["--link", PAGE, "--report", &report, "--label-b", "later"];
    let output = against(&[LONG], &[ONE], &options);
    assert_eq!((code(&output), stderr(&output)), (0, ""));
    let page = fs::read_to_string(&report).unwrap();
    for text in [stdout(&output), &page] {
        assert!(
            text.contains("A “before” 3 swings, B “later” 1 swing"),
            "{text}"
        );
        let told = "three-swings.c3d holds 3 swings, each taken by itself for “before”. Also in the file: ";
        assert_eq!(text.matches(told).count(), 1, "{text}");
        assert!(text.contains("is no swing: a half move"), "{text}");
        assert!(!text.contains("only one of them is measured"));
    }
    let document = json(&against(&[LONG], &[ONE], &["--json", "--link", PAGE]));
    let link = document["link"].as_str().unwrap();
    let received = json(&footing(&["read-link", link, "--json"]));
    for document in [&document, &received] {
        assert_eq!(document["sets"]["a"]["swings"], 3);
        assert_eq!(document["measures"]["torque_min_nm"]["a"]["n"], 3);
    }
    // Of a recording of one swing nothing is said.
    let one = json(&against(&[ONE], &[ONE], &["--json"]));
    assert_eq!(note(&one, "cut-into-swings"), None);
}

/// One long recording a set is enough for a verdict; the same one in both sets is counted twice, not three times.
#[test]
fn a_long_recording_in_both_sets_is_counted_twice() {
    let output = against(&[LONG], &[LONG], &["--json"]);
    let document = json(&output);
    assert_eq!(document["sets"]["b"]["swings"], 3);
    let measure = &document["measures"]["torque_min_nm"];
    assert_eq!(measure["verdict"], "within ordinary spread");
    assert_eq!(measure["change"], 0.0);
    let twice = note(&document, "counted-twice").unwrap();
    assert!(twice.contains("is counted 2 times"), "{twice}");
    let names = "three-swings.c3d in “before”, three-swings.c3d in “after”";
    assert!(twice.contains(names), "{twice}");
    let alone = against(&[LONG], &[ONE], &["--json"]);
    assert_eq!((code(&alone), stderr(&alone)), (0, ""));
}

/// A swing with a stop is named by its place in its recording, and only it is left out.
#[test]
fn a_swing_that_says_stop_is_left_out_by_itself() {
    let folder = Folder::new("long-stop");
    // Impact before the top, in the second swing.
    let events = folder.file(
        "events.json",
        r#"{"three-swings.c3d": {"top_s": 17.0, "impact_s": 16.8}}"#,
    );
    let options = ["--events", &events, "--json"];
    let output = against(&[LONG], &[LONG, ONE], &options);
    assert_eq!(code(&output), 1);
    let start = "three-swings.c3d, swing 2 of 3: left out of the comparison: Top (17.000 s)";
    assert!(stderr(&output).starts_with(start), "{}", stderr(&output));
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(
        names(&document, "a"),
        [
            "three-swings.c3d, swing 1 of 3",
            "three-swings.c3d, swing 3 of 3"
        ]
    );
    assert_eq!(
        note(&document, "left-out").unwrap(),
        "Left out for a note that says stop, 1 of “before” and 1 of “after”: three-swings.c3d, swing 2 of 3."
    );
}

#[test]
fn pairs_are_of_swings_not_of_files() {
    let three = against(&[LONG], &[LONG], &["--paired", "--json"]);
    let three = json(&three);
    assert_eq!(three["design"], "paired");
    assert_eq!(three["measures"]["torque_min_nm"]["a"]["n"], 3);
    let uneven = against(&[LONG], &[ONE], &["--paired"]);
    assert_eq!((code(&uneven), stdout(&uneven)), (1, ""));
    assert_eq!(
        stderr(&uneven),
        "--paired: 3 swings in before and 1 in after; expected as many in both; try leaving --paired out\n"
    );
    // Were the refused one taken for one swing, the sets would be of one size and strangers would be paired.
    let b = [ONE, ONE, ONE, ONE];
    let unknown = against(&["no-such.c3d", LONG], &b, &["--paired"]);
    assert_eq!((code(&unknown), stdout(&unknown)), (1, ""));
    let lines: Vec<&str> = stderr(&unknown).lines().collect();
    assert!(
        lines.len() == 2 && lines[1].starts_with("--paired: how many swings a refused recording"),
        "{lines:?}"
    );
}
