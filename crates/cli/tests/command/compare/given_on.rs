//! What is given on: the link, the report, and text in both.

use std::fs;

use serde_json::Value;

use super::{PAGE, both, number};
use crate::{Folder, RIG, code, footing, json, stderr, stdout};

/// What is in the lines of the findings.
fn findings(text: &str) -> &str {
    let from = text.find("Findings\n").expect("findings");
    &text[from..text.find("Absent\n").expect("what is absent")]
}

#[test]
fn the_receiver_reads_what_the_sender_read() {
    let options = [
        "--link",
        PAGE,
        "--title",
        "K-07",
        "--cue",
        "Left heel first",
        "--label-b",
        "step-in",
    ];
    for design in [&[][..], &["--paired"]] {
        let options = [&options[..], design].concat();
        let sender = both(&options);
        let exact = json(&both(&[&options[..], &["--json"]].concat()));
        let link = exact["link"].as_str().unwrap();
        assert!(
            link.starts_with("https://example.org/footing/#f1="),
            "{link}"
        );
        assert!(link.len() <= 1500, "{}", link.len());
        assert!(stdout(&sender).contains(link));

        let receiver = footing(&["read-link", link]);
        assert_eq!(code(&receiver), 0, "{}", stderr(&receiver));
        let three = |text: &str| text.lines().take(3).map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(three(stdout(&receiver)), three(stdout(&sender)));
        assert_eq!(findings(stdout(&receiver)), findings(stdout(&sender)));
        assert!(findings(stdout(&sender)).lines().count() > 35);

        let read = json(&footing(&["read-link", link, "--json"]));
        assert_eq!(read["format"], exact["format"]);
        assert_eq!(
            (&read["title"], &read["cue"]),
            (&exact["title"], &exact["cue"])
        );
        assert_eq!(read["sets"]["b"]["label"], "step-in");
        assert_eq!(read["design"], exact["design"]);
        for (id, measure) in exact["measures"].as_object().unwrap() {
            let back = &read["measures"][id];
            for set in ["a", "b"] {
                let off = (number(&back[set]["mean"]) - number(&measure[set]["mean"])).abs();
                let allowed = (0.01 * number(&measure["spread"])).max(0.1);
                assert!(off <= allowed, "{id} {set}: off by {off}");
            }
            assert_eq!(back["verdict"], measure["verdict"], "{id}");
            assert_eq!(back["p_permutation"], measure["p_permutation"], "{id}");
        }
        for curve in ["torque_nm", "cop_angle_deg"] {
            let clusters = |d: &Value| d["curves"][curve]["permutation"]["clusters"].clone();
            let (sent, back) = (clusters(&exact), clusters(&read));
            let (sent, back) = (sent.as_array().unwrap(), back.as_array().unwrap());
            assert_eq!(sent.len(), back.len(), "{curve}");
            for (sent, back) in sent.iter().zip(back) {
                let off = number(&sent["from_pct"]) - number(&back["from_pct"]);
                assert!(off.abs() <= 0.5, "{curve}: {off} %");
                assert_eq!(sent["b_is"], back["b_is"]);
            }
        }
    }
}

#[test]
fn a_damaged_link_is_one_sentence_and_code_1() {
    let link = json(&both(&["--link", PAGE, "--json"]))["link"]
        .as_str()
        .unwrap()
        .to_owned();
    let middle = PAGE.len() + 400;
    let other = if link.as_bytes()[middle] == b'A' {
        "B"
    } else {
        "A"
    };
    let swapped = format!("{}{other}{}", &link[..middle], &link[middle + 1..]);
    for (text, words) in [
        (swapped.as_str(), "damaged"),
        (&link[..link.len() - 20], "cut short"),
        ("https://example.org/footing/", "not a Footing link"),
        ("", "not a Footing link"),
    ] {
        for options in [&[][..], &["--json"]] {
            let output = footing(&[&["read-link", text], options].concat());
            assert_eq!(code(&output), 1, "{text}");
            assert_eq!(stdout(&output), "");
            assert_eq!(stderr(&output).lines().count(), 1, "{}", stderr(&output));
            assert!(stderr(&output).contains(words), "{}", stderr(&output));
        }
    }
}

#[test]
fn the_report_is_one_file_and_shows_text_as_text() {
    let folder = Folder::new("report");
    let report = folder.file("report.html", "");
    let output = both(&[
        "--report",
        &report,
        "--link",
        PAGE,
        "--label-a",
        "<img src=x onerror=alert(1)>",
        "--label-b",
        "\"><script>alert(2)</script>",
        "--title",
        "</title><script>alert(3)</script>",
        "--cue",
        "<svg onload=alert(4)> & more",
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let page = fs::read_to_string(&report).unwrap();
    for forbidden in [
        "<script",
        "<img",
        "onload=alert(4)>",
        "<link",
        "<iframe",
        " src=\"",
        " href=\"",
        "url(",
        "@import",
    ] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    for shown in [
        "“&lt;img",
        "&lt;/title&gt;&lt;script&gt;",
        "&lt;svg onload=alert(4)&gt; &amp; more",
        "not medical advice",
        "Torque turns toward the target",
        "Vertical torque, A",
    ] {
        assert!(page.contains(shown), "{shown}");
    }
    // Addresses: the names of SVG, and the link as text.
    for (at, _) in page.match_indices("http") {
        let known = [
            "http://www.w3.org/2000/svg\"",
            "https://example.org/footing/#f1=",
        ];
        assert!(
            known.iter().any(|k| page[at..].starts_with(k)),
            "{}",
            &page[at..at + 60]
        );
    }
    // Four charts and the code; every picture is closed.
    assert_eq!(page.matches("<svg ").count(), 5);
    assert_eq!(page.matches("</svg>").count(), 5);

    let nowhere = folder.0.join("no/such/report.html").display().to_string();
    let output = both(&["--report", &nowhere]);
    assert_eq!(code(&output), 1);
    assert!(stderr(&output).starts_with(&nowhere), "{}", stderr(&output));
    assert!(stdout(&output).contains("Findings"));
}

#[test]
fn terminal_escapes_in_a_label_are_not_printed() {
    let output = both(&["--label-a", "\u{1b}[2Jx", "--cue", "one\ntwo"]);
    assert!(!stdout(&output).contains('\u{1b}'));
    assert!(stdout(&output).contains("cue: one two\n"));
}

#[test]
fn what_is_absent_is_named_once_for_each_reason() {
    let folder = Folder::new("absent");
    let report = folder.file("report.html", "");
    let one = "vertical-only.csv";
    let output = footing(&[
        "compare",
        "--a",
        one,
        "vertical-only.rig.json",
        "--b",
        one,
        "--report",
        &report,
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let reason = "no horizontal forces";
    let text = stdout(&output);
    assert_eq!(text.matches(reason).count(), 1, "{text}");
    let line = text.lines().find(|line| line.contains(reason)).unwrap();
    assert!(line.contains("Lowest torque, "), "{line}");
    let page = fs::read_to_string(&report).unwrap();
    assert_eq!(page.matches(reason).count(), 1);
    assert_eq!(page.matches("<svg ").count(), 4);
}

/// Four recordings of two sets with the file's own events, and one whose events are estimated.
#[test]
fn the_mark_of_estimated_events_is_explained_where_it_stands() {
    let folder = Folder::new("legend");
    let report = folder.file("report.html", "");
    let files = ["harbour-range-before-1", "harbour-range-after-1"];
    let run = |ending: &str| {
        let [a, b] = files.map(|file| format!("{file}.{ending}"));
        let output = footing(&[
            "compare", "--a", &a, "--b", &b, "--rig", RIG, "--handed", "left", "--report", &report,
        ]);
        assert_eq!(code(&output), 0, "{}", stderr(&output));
        let page = fs::read_to_string(&report).unwrap();
        [stdout(&output).to_owned(), page]
            .map(|text| ["≈", "≈ estimated: "].map(|mark| text.matches(mark).count()))
    };
    // The table's takeaway and top are estimated, the C3D file's are its own.
    for [marks, words] in run("csv") {
        assert!(marks > 10);
        assert_eq!(words, 1, "the sign in words");
    }
    assert_eq!(run("c3d"), [[0, 0], [0, 0]]);
}
