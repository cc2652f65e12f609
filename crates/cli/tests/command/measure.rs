//! `measure`, `inspect`, `simulate`, and what is common to all.

use std::fs;
use std::path::Path;
use std::process::Stdio;

use serde_json::{Value, json as to_json};

use crate::{FIRST, Folder, RIG, SECOND, code, command, footing, json, stderr, stdout};

#[test]
fn measures_of_several_files_in_one_document() {
    let document = json(&footing(&[
        "measure", FIRST, SECOND, "--rig", RIG, "--handed", "left", "--json",
    ]));
    assert_eq!(document["format"], "footing-measures/1");
    assert_eq!(document["about"], "stance-centre");
    assert_eq!(document["low_pass_hz"], 50.0);
    let recordings = document["recordings"].as_array().unwrap();
    assert_eq!(recordings.len(), 2);
    assert_eq!(recordings[0]["file"], FIRST);
    assert_eq!(recordings[1]["file"], SECOND);
    for recording in recordings {
        assert_eq!(recording["handed"], "left");
        assert_eq!(recording["rate_hz"], 500.0);
        assert_eq!(recording["events"]["impact"]["source"], "file");
        assert!(recording["measures"]["torque_min_nm"].as_f64().unwrap() < -10.0);
        assert!(recording.get("series").is_none());
        for (id, value) in recording["measures"].as_object().unwrap() {
            assert_eq!(
                value.is_null(),
                recording["absent"].get(id).is_some(),
                "{id}"
            );
        }
    }
}

#[test]
fn a_rig_among_the_files_is_the_rig() {
    let named = footing(&["measure", FIRST, "--rig", RIG, "--csv"]);
    let among = footing(&["measure", RIG, FIRST, "--csv"]);
    assert_eq!(code(&among), 0, "{}", stderr(&among));
    assert_eq!(stdout(&named), stdout(&among));
    assert!(stdout(&among).starts_with("file,body_mass_kg,torque_min_nm,"));
    assert_eq!(stdout(&among).matches("\r\n").count(), 2);
}

#[test]
fn a_refused_file_does_not_stop_the_others() {
    let folder = Folder::new("refused");
    let damaged = folder.file("damaged.csv", "Time,Fz1\n0.0,1\n");
    let output = footing(&[
        "measure",
        &damaged,
        "no-such.csv",
        FIRST,
        "--rig",
        RIG,
        "--json",
    ]);
    assert_eq!(code(&output), 1);
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["recordings"].as_array().unwrap().len(), 1);
    let lines: Vec<&str> = stderr(&output).lines().collect();
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!(lines[0].starts_with(&format!("{damaged}:1")), "{lines:?}");
    assert!(
        lines[1].starts_with("no-such.csv: cannot be read ("),
        "{lines:?}"
    );
    for line in lines {
        assert!(
            line.contains("; expected ") && line.contains("; try "),
            "{line}"
        );
    }
}

#[test]
fn the_place_of_a_bad_cell_is_named() {
    let output = footing(&["measure", "bad-not-a-number.csv", "--rig", "bad.rig.json"]);
    assert_eq!(code(&output), 1);
    assert_eq!(stdout(&output), "");
    assert!(
        stderr(&output).starts_with("bad-not-a-number.csv:250:3: "),
        "{}",
        stderr(&output)
    );
}

/// A rig that wires one foot's plate only says what to do, and doing either helps.
#[test]
fn a_rig_of_one_foot_says_what_to_do() {
    let folder = Folder::new("one-foot");
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let text = fs::read_to_string(samples.join(RIG)).unwrap();
    for (index, foot, other) in [(0, "lead", "trail"), (1, "trail", "lead")] {
        let mut rig: Value = serde_json::from_str(&text).unwrap();
        let plate = rig["plates"][index].clone();
        assert_eq!(plate["foot"], foot);
        rig["plates"] = to_json!([plate]);
        let one = folder.file("one.rig.json", &rig.to_string());
        let output = footing(&["measure", FIRST, "--rig", &one]);
        assert_eq!((code(&output), stdout(&output)), (1, ""));
        assert_eq!(
            stderr(&output),
            format!(
                "{FIRST}: only the {foot} foot has a plate; expected a plate for each foot, or one that carries both; try adding the {other} foot's plate to the rig, or \"foot\": \"both\" if this plate carries both feet\n"
            )
        );
        rig["plates"][0]["foot"] = to_json!("both");
        let both = folder.file("both.rig.json", &rig.to_string());
        for rig in [both.as_str(), RIG] {
            let output = footing(&["measure", FIRST, "--rig", rig]);
            assert_eq!(code(&output), 0, "{}", stderr(&output));
        }
    }
}

#[test]
fn a_broken_rig_is_named_once_and_nothing_is_measured() {
    let folder = Folder::new("rig");
    let rig = folder.file(
        "bay.rig.json",
        "{\n  \"format\": \"footing-rig/1\",\n  oops\n}",
    );
    let output = footing(&["measure", FIRST, SECOND, "--rig", &rig, "--json"]);
    assert_eq!(code(&output), 1);
    assert!(
        stderr(&output).starts_with(&format!("{rig}:3:")),
        "{}",
        stderr(&output)
    );
    assert_eq!(stderr(&output).lines().count(), 1);
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["recordings"], Value::Array(vec![]));
}

#[test]
fn events_by_hand_by_file_and_for_all() {
    let folder = Folder::new("events");
    let events = folder.file(
        "events.json",
        &format!("{{\"{SECOND}\": {{\"top_s\": 1.7}}, \"impact_s\": 2.0}}"),
    );
    let document = json(&footing(&[
        "measure", FIRST, SECOND, "--rig", RIG, "--events", &events, "--handed", "left", "--json",
    ]));
    let event = |i: usize, kind: &str| document["recordings"][i]["events"][kind].clone();
    for i in [0, 1] {
        assert_eq!(event(i, "impact")["t_s"], 2.0);
        assert_eq!(event(i, "impact")["source"], "given");
    }
    assert_eq!(event(0, "top")["source"], "estimated");
    assert_eq!(event(1, "top")["t_s"], 1.7);
    assert_eq!(event(1, "top")["source"], "given");
}

/// One entry by name for two recordings is told; each may be named by its path.
#[test]
fn an_entry_that_two_files_take_is_told() {
    let folder = Folder::new("events-shared");
    let samples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples/");
    let text = std::fs::read_to_string(format!("{samples}{FIRST}")).unwrap();
    let [one, two] = ["d1", "d2"].map(|inner| {
        std::fs::create_dir_all(folder.0.join(inner)).unwrap();
        folder.file(&format!("{inner}/a.csv"), &text)
    });
    let measured = |events: &str| {
        let events = folder.file("events.json", events);
        footing(&[
            "measure", &one, &two, "--rig", RIG, "--events", &events, "--handed", "left", "--json",
        ])
    };
    let tops = |output: &std::process::Output| {
        let document = json(output);
        [0, 1].map(|i| document["recordings"][i]["events"]["top"]["t_s"].clone())
    };
    let shared = measured("{\"a.csv\": {\"top_s\": 1.7}}");
    assert_eq!(tops(&shared), [1.7, 1.7]);
    let told = stderr(&shared);
    assert!(
        told.contains(&format!(
            "the events of `a.csv` are taken for {one} and {two}"
        )),
        "{told}"
    );
    let own = measured(&format!(
        "{{\"{two}\": {{\"top_s\": 1.72}}, \"a.csv\": {{\"top_s\": 1.7}}}}"
    ));
    assert_eq!(tops(&own), [1.7, 1.72]);
    assert_eq!(stderr(&own), "");
}

/// As the page does with the same frame: what rests on the event is as sure as the film is.
#[test]
fn an_event_from_film_keeps_its_uncertainty() {
    let folder = Folder::new("film-events");
    let events = folder.file(
        "events.json",
        r#"{"top_s": {"t_s": 1.7, "uncertainty_s": 0.006, "frames_per_s": 240}}"#,
    );
    let document = json(&footing(&[
        "measure", FIRST, "--rig", RIG, "--events", &events, "--handed", "left", "--json",
    ]));
    let top = document["recordings"][0]["events"]["top"].clone();
    assert_eq!(top["t_s"], 1.7);
    assert_eq!(top["source"], "film");
    assert_eq!(top["uncertainty_s"], 0.006);
}

#[test]
fn events_for_a_file_that_is_not_there_are_not_passed_over() {
    let folder = Folder::new("stranger");
    let events = folder.file("events.json", "{\"other.csv\": {\"top_s\": 1.7}}");
    let output = footing(&["measure", FIRST, "--rig", RIG, "--events", &events]);
    assert_eq!(code(&output), 1);
    assert!(
        stderr(&output).contains("`other.csv`"),
        "{}",
        stderr(&output)
    );
    assert!(stdout(&output).starts_with(FIRST));
    let events = folder.file("events.json", "{\n\"topp_s\": 1.7}");
    let output = footing(&["measure", FIRST, "--rig", RIG, "--events", &events]);
    assert_eq!(code(&output), 1);
    assert_eq!(stdout(&output), "");
    assert!(
        stderr(&output).starts_with(&format!("{events}:2:")),
        "{}",
        stderr(&output)
    );
}

#[test]
fn an_event_outside_its_recording_refuses_that_file() {
    let folder = Folder::new("late-event");
    for (name, text) in [
        ("late.json", r#"{"top_s": 9.0}"#),
        (
            "film.json",
            r#"{"top_s": {"t_s": 9, "uncertainty_s": 0.006, "frames_per_s": 240}}"#,
        ),
    ] {
        let events = folder.file(name, text);
        let output = footing(&["measure", FIRST, "--rig", RIG, "--events", &events, "--csv"]);
        assert_eq!((code(&output), stdout(&output)), (1, ""));
        assert_eq!(
            stderr(&output),
            format!(
                "{FIRST}: top is set at 9 s, and the recording runs from 0.000 to 3.200 s; expected a time on the recording's own clock; try correcting top_s in {events}, or leave it out\n"
            )
        );
    }
    let one = format!("{{\"{FIRST}\": {{\"top_s\": -0.1}}}}");
    let events = folder.file("one.json", &one);
    let output = footing(&[
        "measure", FIRST, SECOND, "--rig", RIG, "--events", &events, "--csv",
    ]);
    assert_eq!(code(&output), 1);
    assert!(stdout(&output).contains(&format!("\r\n{SECOND},")));
    assert_eq!(stderr(&output).lines().count(), 1);
}

#[test]
fn a_rig_alone_is_misuse() {
    let folder = Folder::new("rig-alone");
    for arguments in [
        &["measure", RIG][..],
        &["inspect", RIG],
        &["measure", RIG, "driver-right.rig.json", "--json"],
        &["compare", "--a", FIRST, "--b", RIG],
    ] {
        let output = footing(arguments);
        assert_eq!((code(&output), stdout(&output)), (2, ""), "{arguments:?}");
        assert!(
            stderr(&output).starts_with(&format!("error: no recording given: {RIG} only says")),
            "{}",
            stderr(&output)
        );
    }
    // An archive must be opened to know.
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    writer.start_file("a.md", options).unwrap();
    let path = folder.0.join("words.zip");
    fs::write(&path, writer.finish().unwrap().into_inner()).unwrap();
    let path = path.display().to_string();
    for command in ["measure", "inspect"] {
        let output = footing(&[command, &path]);
        assert_eq!(code(&output), 1);
        let last = stderr(&output).lines().last().unwrap();
        let words = format!("{path}: no recording given; expected at least one; try ");
        assert!(last.starts_with(&words), "{last}");
    }
}

/// As `head` does: what it has not read is nobody's loss.
#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    for output in [
        &[][..],
        &["--json", "--series"],
        &["--csv"],
        &["--csv", "--series"],
    ] {
        let arguments = ["measure", FIRST, SECOND, "--rig", RIG, "--handed", "left"];
        let mut running = command(&[&arguments[..], output].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command starts");
        drop(running.stdout.take());
        let ended = running.wait_with_output().expect("it ends");
        assert_eq!((code(&ended), stderr(&ended)), (0, ""), "{output:?}");
    }
}

#[test]
fn series_in_json_and_csv() {
    let arguments = ["measure", FIRST, "--rig", RIG, "--series", "--about", "com"];
    let document = json(&footing(&[&arguments[..], &["--json"]].concat()));
    let series = &document["recordings"][0]["series"];
    let samples = series["t_s"].as_array().unwrap().len();
    assert_eq!(samples, 1601);
    for curve in ["torque_nm", "cop_angle_deg"] {
        assert_eq!(series[curve].as_array().unwrap().len(), samples, "{curve}");
    }
    for foot in ["lead", "trail", "total"] {
        for curve in [
            "ft_n",
            "fa_n",
            "fz_n",
            "cop_t_m",
            "cop_a_m",
            "free_moment_nm",
        ] {
            assert_eq!(
                series[foot][curve].as_array().unwrap().len(),
                samples,
                "{foot}.{curve}"
            );
        }
    }
    let rows = footing(&[&arguments[..], &["--csv"]].concat());
    assert_eq!(stdout(&rows).matches("\r\n").count(), samples + 1);
}

#[test]
fn vertical_plates_have_no_torque_and_say_why() {
    let document = json(&footing(&[
        "measure",
        "vertical-only.csv",
        "vertical-only.rig.json",
        "--json",
    ]));
    let recording = &document["recordings"][0];
    assert!(recording["measures"]["torque_min_nm"].is_null());
    assert!(
        recording["absent"]["torque_min_nm"]
            .as_str()
            .unwrap()
            .contains("horizontal")
    );
}

#[test]
fn inspecting_needs_no_swing() {
    let document = json(&footing(&["inspect", "driver-right-1.c3d", "--json"]));
    assert_eq!(document["file"], "driver-right-1.c3d");
    assert_eq!(document["plates"].as_array().unwrap().len(), 2);
    assert_eq!(document["plates"][0]["kind"], "eight-channel");
    let weight = document["quiet_fz_n"].as_f64().unwrap();
    assert!((weight / 9.80665 - 83.0).abs() < 1.0, "{weight}");
    let both = json(&footing(&[
        "inspect", FIRST, SECOND, "--rig", RIG, "--json",
    ]));
    assert_eq!(both.as_array().unwrap().len(), 2);
    let words = footing(&["inspect", "driver-right-1.c3d"]);
    assert!(stdout(&words).starts_with("driver-right-1.c3d — C3D"));
    let place = &document["plates"][0]["cop_at_peak_fz_mm"];
    let (x, y) = (place[0].as_f64().unwrap(), place[1].as_f64().unwrap());
    let spelt = format!("centre of pressure there x {x:.1} mm, y {y:.2} mm");
    assert!(
        stdout(&words).contains(&spelt),
        "{spelt}: {}",
        stdout(&words)
    );
}

#[test]
fn simulating_writes_what_it_lists() {
    let folder = Folder::new("simulate");
    let out = folder.0.join("deep/er");
    let out = out.display().to_string();
    let output = footing(&["simulate", "vertical-only", "--out", &out]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let listed: Vec<&str> = stdout(&output).lines().collect();
    assert_eq!(listed.len(), 3);
    for path in listed {
        assert!(fs::metadata(path).unwrap().len() > 0, "{path}");
    }
    let in_the_way = folder.file("file", "");
    let output = footing(&["simulate", "vertical-only", "--out", &in_the_way]);
    assert_eq!(code(&output), 1);
    assert!(
        stderr(&output).starts_with(&in_the_way),
        "{}",
        stderr(&output)
    );
}

#[test]
fn usage_errors_are_code_2() {
    for arguments in [
        &[][..],
        &["measure"],
        &["measure", FIRST, "--low-pass", "fast"],
        &["measure", FIRST, "--low-pass", "-3"],
        &["measure", FIRST, "--mass", "7400"],
        &["measure", FIRST, "--series"],
        &["measure", FIRST, "--json", "--csv"],
        &["inspect"],
        &["simulate", "no-such-scenario", "--out", "x"],
        &["dance"],
    ] {
        assert_eq!(code(&footing(arguments)), 2, "{arguments:?}");
    }
    for arguments in [&["--help"][..], &["measure", "--help"], &["--version"]] {
        assert_eq!(code(&footing(arguments)), 0, "{arguments:?}");
    }
}

/// A long recording is several entries: each swing by itself, the other movements named.
#[test]
fn each_swing_of_a_long_recording_is_an_entry() {
    const LONG: &str = "three-swings.c3d";
    let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let movements: Value =
        serde_json::from_slice(&fs::read(samples.join("three-swings.movements.json")).unwrap())
            .unwrap();
    let document = json(&footing(&["measure", LONG, "--json"]));
    let recordings = document["recordings"].as_array().unwrap();
    let movements = movements["movements"].as_array().unwrap();
    let swings: Vec<&Value> = movements.iter().filter(|m| m["what"] == "swing").collect();
    assert_eq!(recordings.len(), swings.len());
    for (i, (recording, truth)) in recordings.iter().zip(&swings).enumerate() {
        assert_eq!(recording["file"], format!("{LONG}, swing {} of 3", i + 1));
        assert_eq!(recording["path"], LONG);
        let [from_s, to_s] = [0, 1].map(|k| recording["swing_s"][k].as_f64().unwrap());
        assert!(from_s < truth["takeaway_s"].as_f64().unwrap());
        assert!(to_s > truth["impact_s"].as_f64().unwrap());
        let top = recording["events"]["top"]["t_s"].as_f64().unwrap();
        assert!(
            (top - truth["top_s"].as_f64().unwrap()).abs() < 0.06,
            "{top}"
        );
        let others = recording["notes"].as_array().unwrap().iter();
        let others = others.filter(|n| n["code"] == "other-movement").count();
        assert!(others >= movements.len() - swings.len(), "{others}");
    }
    let output = footing(&["measure", LONG]);
    let text = stdout(&output);
    for part in [
        "three-swings.c3d, swing 2 of 3 — ",
        "This swing is the file's ",
        "is no swing: a half move",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let rows = footing(&["measure", LONG, "--csv"]);
    assert_eq!(stdout(&rows).matches("\r\n").count(), 4);
    // A recording of one swing is what it was.
    let one = json(&footing(&["measure", "driver-right-1.c3d", "--json"]));
    assert!(one["recordings"][0].get("swing_s").is_none());
    assert_eq!(one["recordings"][0]["file"], "driver-right-1.c3d");
}
