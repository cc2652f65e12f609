//! What `measure` and `inspect` print for people.

use std::fs;

use serde_json::Value;

use crate::{FIRST, Folder, RIG, SECOND, code, footing, json, stderr, stdout};

/// The table for people puts it before everything else, with what to type.
#[test]
fn what_says_stop_comes_first() {
    let folder = Folder::new("disordered");
    let events = folder.file("events.json", r#"{"top_s": 2.3}"#);
    let arguments = ["measure", FIRST, "--rig", RIG, "--events", &events];
    let output = footing(&[&arguments[..], &["--handed", "left"]].concat());
    let lines: Vec<&str> = stdout(&output).lines().collect();
    assert!(lines[2].starts_with("Stop: "), "{lines:?}");
    assert_eq!(
        lines[3],
        "  Top (2.300 s) does not come before impact (2.033 s): set one of them by hand. (--events)"
    );
    assert!(!lines.iter().any(|line| line.starts_with("  stop ")));
    let mirrored = footing(&["measure", FIRST, "--rig", RIG]);
    let text = stdout(&mirrored);
    let at = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("{words} in {text}"))
    };
    assert!(at("(--handed left)") < at("Plates\n"));
    let straight = footing(&["measure", FIRST, "--rig", RIG, "--handed", "left"]);
    assert!(!stdout(&straight).contains("Stop: "));
}

/// What warns of a measure stands in its line, and in no other.
#[test]
fn a_measure_says_what_warns_of_it() {
    let output = footing(&["measure", "bad-shear-gain.csv", "--rig", "bad.rig.json"]);
    let line = |label: &str| {
        let found = stdout(&output).lines().find(|l| l.contains(label));
        found.unwrap_or_else(|| panic!("{label}")).to_owned()
    };
    let shear = line("Lowest toe–heel shear, lead foot");
    assert!(
        shear.contains("careful (") && shear.contains("shear-range"),
        "{shear}"
    );
    assert!(!line("Largest vertical force, lead foot").contains("careful"));
}

/// Without the trigger impact is but a candidate: what rests on it says so, and what it would be were
/// impact 20 ms earlier or later; in print and in rows, which also say what torque is about.
#[test]
fn an_estimated_impact_is_said_beside_every_number_on_it() {
    let folder = Folder::new("no-trigger");
    let text = fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../samples/harbour-range.rig.json"
    ))
    .unwrap();
    let mut rig: Value = serde_json::from_str(&text).unwrap();
    rig["markers"] = serde_json::json!([]);
    let rig = folder.file("no-trigger.rig.json", &rig.to_string());
    let arguments = ["measure", FIRST, "--rig", &rig, "--handed", "left"];
    let with = |more: &[&str]| footing(&[&arguments[..], more].concat());
    let printed = with(&[]);
    let line = |label: &str| {
        let mut lines = stdout(&printed).lines().map(str::trim_start);
        lines.find(|l| l.starts_with(label)).unwrap().to_owned()
    };
    assert!(
        line("Net impulse  ").contains("estimated (takeaway, impact); impact 20 ms earlier "),
        "{}",
        line("Net impulse  ")
    );
    // known to hundredths of a second at best
    let downswing = line("Downswing");
    let seconds = downswing.split_whitespace().nth(1).unwrap();
    assert_eq!(seconds.len(), 4, "{downswing}");
    assert!(line("top ").contains("20 ms of that assumed"));
    assert!(line("impact ").contains("± 50 ms are assumed"));
    assert!(line("finish ").contains("± 0.4 s are assumed"));

    let document = json(&with(&["--json"]));
    let shift = &document["recordings"][0]["impact_shift_20ms"]["impulse_net_nms"];
    let rows = with(&["--csv", "--about", "com"]);
    let head = stdout(&rows).lines().next().unwrap();
    let about = ",about,handed,low_pass_hz,absent,estimated,impact_shift_20ms,load_threshold_n,";
    assert!(head.contains(about), "{head}");
    let row = stdout(&rows).lines().nth(1).unwrap();
    assert!(row.contains(",com,left,50,"), "{row}");
    assert!(row.contains("cop_angle_at_arm_level_deg: lead arm level is not known"));
    assert!(row.contains("downswing_s: top impact"));
    assert!(shift[0].is_f64() && shift[1].is_f64());
    let same = with(&["--csv"]);
    assert!(stdout(&same).contains(&format!("impulse_net_nms: {} {}", shift[0], shift[1])));
    let series = with(&["--csv", "--series", "--about", "com"]);
    assert!(stdout(&series).lines().next().unwrap().ends_with(",about"));
    assert!(stdout(&series).lines().nth(1).unwrap().ends_with(",com"));
}

/// As in `compare` and on the page: a true minus sign for people, a hyphen for what machines read.
#[test]
fn people_read_a_true_minus_and_machines_a_hyphen() {
    let hyphens = |text: &str| {
        let after = text.split([' ', '(', ',']);
        after
            .filter(|word| {
                let number = word.strip_prefix('-').unwrap_or_default();
                number.starts_with(|c: char| c.is_ascii_digit())
            })
            .count()
    };
    let measured = ["measure", FIRST, "--rig", RIG, "--handed", "left"];
    for arguments in [&measured[..], &["inspect", FIRST, "--rig", RIG]] {
        let people = footing(arguments);
        assert_eq!(code(&people), 0, "{}", stderr(&people));
        assert!(stdout(&people).matches('−').count() > 2, "{arguments:?}");
        assert_eq!(hyphens(stdout(&people)), 0, "{}", stdout(&people));
        let machines = footing(&[arguments, &["--json"]].concat());
        assert!(hyphens(stdout(&machines)) > 2);
        assert!(!stdout(&machines).contains('−'));
    }
    let rows = footing(&[&measured[..], &["--csv"]].concat());
    assert!(hyphens(stdout(&rows)) > 2 && !stdout(&rows).contains('−'));
}

/// What `measure` prints of the first swing of the invented range.
fn with(more: &[&str]) -> String {
    let first = ["measure", FIRST, "--rig", RIG, "--handed", "left"];
    stdout(&footing(&[&first[..], more].concat())).to_owned()
}

#[test]
fn the_load_threshold_is_told_wherever_the_cut_off_is() {
    assert!(with(&[]).contains("low-pass 50.0 Hz, load threshold 36."));
    let typed = ["--load-threshold", "300"];
    assert!(with(&typed).contains("low-pass 50.0 Hz, load threshold 300.0 N"));
    let document: Value =
        serde_json::from_str(&with(&["--load-threshold", "300", "--json"])).unwrap();
    let recording = &document["recordings"][0];
    assert_eq!(recording["load_threshold_n"], 300.0);
    let why = &recording["absent"]["cop_angle_at_top_deg"];
    assert_eq!(why, "a foot carries less than the load threshold then");
    let too_high = with(&["--load-threshold", "500"]);
    assert!(too_high.contains("load threshold 36."), "{too_high}");
    assert!(
        too_high.contains("leave it empty. (--load-threshold)"),
        "{too_high}"
    );
    let text = stdout(&footing(&[
        "compare",
        "--a",
        FIRST,
        "--b",
        SECOND,
        "--rig",
        RIG,
        "--handed",
        "left",
        "--load-threshold",
        "300",
    ]))
    .to_owned();
    assert!(
        text.contains("low-pass 50.0 Hz, load threshold 300.0 N; curves"),
        "{text}"
    );
}

#[test]
fn angles_are_told_from_address_too() {
    let document: Value = serde_json::from_str(&with(&["--json"])).unwrap();
    let recording = &document["recordings"][0];
    let from_address = &recording["cop_angle_from_address_deg"];
    let rows = with(&["--csv"]);
    let mut rows = rows.lines().map(|line| line.split(','));
    let (head, cells) = (rows.next().unwrap(), rows.next().unwrap());
    // From the end: a cell of words may hold a comma.
    let cells: std::collections::HashMap<_, _> = head.rev().zip(cells.rev()).collect();
    let angle = |id: &str| recording["measures"][id].as_f64().unwrap();
    for place in ["at_takeaway", "at_top", "at_impact", "min", "max"] {
        let id = format!("cop_angle_{place}_deg");
        let expected = angle(&id) - angle("cop_angle_at_address_deg");
        let near = |got: Option<f64>| (got.unwrap() - expected).abs() < 1e-12;
        assert!(near(from_address[&id].as_f64()), "{id}");
        let column = format!("cop_angle_{place}_from_address_deg");
        assert!(near(cells[column.as_str()].parse().ok()), "{column}");
    }
    assert_eq!(cells["cop_angle_at_arm_level_from_address_deg"], "");
    let text = with(&[]);
    let line = |label: &str| text.lines().find(|l| l.contains(label)).unwrap();
    let top = from_address["cop_angle_at_top_deg"].as_f64().unwrap();
    assert!(top < -1.0);
    let told = format!(" −{:.3}° from address", -top);
    assert!(line("CoP angle at top").contains(&told), "{text}");
    let text = stdout(&footing(&["measure", "driver-right-1.c3d"])).to_owned();
    let top = text.lines().find(|l| l.contains("CoP angle at top"));
    assert!(top.unwrap().contains(" +2.9"), "{text}");
    let line = |label: &str| text.lines().find(|l| l.contains(label)).unwrap();
    assert!(!line("CoP angle at address").contains("from address"));
}
