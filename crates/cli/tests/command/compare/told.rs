//! What a comparison says to people: in the text, and in the report.

use std::fs;

use super::long::note;
use super::{both, compare, set};
use crate::{Folder, code, json, stderr, stdout};

/// The report's words without its marks.
fn report(a: &[String], b: &[String], options: &[&str]) -> String {
    let folder = Folder::new(&format!("compare-told-{}-{}", a.len(), options.join("")));
    let path = folder.file("report.html", "");
    let output = compare(a, b, &[options, &["--report", &path]].concat());
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let page = fs::read_to_string(path).unwrap();
    page.replace("<strong>", "").replace("</strong>", "")
}

#[test]
fn of_two_swings_against_six_no_stretch_is_told() {
    let (a, b) = (set("before", 1..=2), set("after", 1..=6));
    let printed = compare(&a, &b, &[]);
    for text in [stdout(&printed), &report(&a, &b, &[])] {
        assert!(text.contains("With 2 and 6 swings it cannot be said when in the swing"));
        assert!(!text.contains("B lies") && !text.contains("Holm"), "{text}");
        assert!(!text.contains("is shifted"), "{text}");
    }
    let document = json(&compare(&a, &b, &["--json"]));
    let curve = &document["curves"]["torque_nm"];
    assert!(curve["permutation"].is_null() && curve["random_field"].is_null());
    let reason = curve["absent"].as_str().unwrap();
    assert!(reason.ends_with("three a side are the least"), "{reason}");
}

#[test]
fn both_tests_of_every_curve_and_the_alignment_are_told() {
    for (align, laid) in [
        (
            "piecewise",
            "curves laid over each other at takeaway, top and impact",
        ),
        (
            "linear",
            "curves laid over each other from takeaway to impact as one stretch",
        ),
    ] {
        let options = ["--align", align];
        let printed = both(&options);
        let text = stdout(&printed);
        assert_eq!(
            text.matches("Beside it random field theory").count(),
            6,
            "{text}"
        );
        assert!(text.contains("  vertical torque: B lies below A somewhere"));
        let page = report(&set("before", 1..=6), &set("after", 1..=6), &options);
        assert!(page.contains("beside it, by random field theory"));
        let document = json(&both(&[&options[..], &["--json"]].concat()));
        let curve = &document["curves"]["torque_nm"];
        for test in ["permutation", "random_field"] {
            let first = &curve[test]["clusters"][0];
            let pct = |end: &str| first[end].as_f64().unwrap();
            let place = format!("{:.0}–{:.0}", pct("from_pct"), pct("to_pct"));
            assert!(
                page.contains(&format!("below {place} (")),
                "{test}: {place}"
            );
            assert!(
                text.contains(&format!("{place} % of the swing, p ")),
                "{test}: {place}"
            );
        }
        for words in [text, &page] {
            assert!(words.contains(laid), "{words}");
            assert!(words.contains(
                "by the largest |t| over all arrangements of the swings, 6 and 6 swings"
            ));
        }
    }
}

#[test]
fn a_swing_far_from_the_others_is_named_by_its_file() {
    let (mut a, b) = (set("before", 1..=5), set("after", 1..=5));
    a.extend(set("after", 6..=6));
    let words = "swing 6 of A (harbour-range-after-6.csv)";
    let printed = compare(&a, &b, &[]);
    for text in [stdout(&printed), &report(&a, &b, &[])] {
        assert!(text.contains("Worth a second look"), "{text}");
        assert!(text.contains(words), "{text}");
    }
    let document = json(&compare(&a, &b, &["--json"]));
    let odd = &document["measures"]["torque_zero_cross_s"]["odd"][0];
    assert_eq!((&odd["set"], &odd["swing"]), (&"a".into(), &6.into()));
    assert_eq!(odd["file"], "harbour-range-after-6.csv");
}

/// The invented player's torque leaves zero slowly before the drill and at once after it, and the time below zero is
/// read from both: the change of that time holds the difference.
#[test]
fn torque_that_lingers_in_one_set_only_is_told() {
    let text = note(&json(&both(&["--json"])), "lingering-differs").expect("a note");
    assert!(
        text.contains("6 of 6 swings in “before” and 0 of 6 in “after”"),
        "{text}"
    );
    let alike = compare(&set("before", 1..=3), &set("before", 4..=6), &["--json"]);
    assert_eq!(note(&json(&alike), "lingering-differs"), None);
}
