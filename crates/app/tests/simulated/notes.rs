//! Every note that warns: fired once by a case of its own, with a remedy, and shown somewhere.

use crate::common::{given, loaded};
use crate::quality::{analysed, bay, good, heard, plate_times};
use footing_app::analysis::{Analysis, LowPass, Reference, Settings};
use footing_app::formats::{self, rig};
use footing_app::{analyse_loaded, core::note::Level};
use footing_core::recording::{FootRole, Plate, Recording};
use footing_core::{condition, quality};
use footing_simulate::{Bay, Events, Swing, record};
use std::path::{Path, PathBuf};

fn folder(of: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(of)
}

/// Every sample with a fault that can be read at all.
fn bad_samples() -> Vec<(String, Analysis)> {
    bad_samples_from(0.0)
}

/// The same, their clocks beginning so much later, seconds.
fn bad_samples_from(later_s: f64) -> Vec<(String, Analysis)> {
    let read = |name: &str| std::fs::read(folder("samples").join(name)).ok();
    let faults = footing_simulate::bad::FAULTS.iter();
    faults
        .filter_map(|fault| {
            let own = format!("{}.rig.json", fault.name);
            let (rig_name, bytes) = match read(&own) {
                Some(bytes) => (own.as_str(), bytes),
                None => ("bad.rig.json", read("bad.rig.json")?),
            };
            let rig = rig::parse(rig_name, &bytes).unwrap();
            let file = format!("{}.csv", fault.name);
            let table = read(&file).unwrap_or_else(|| panic!("{file}"));
            let mut loaded = formats::read(&file, &table, Some(&rig)).ok()?;
            let recording = &mut loaded.recording;
            let marks = recording.marks.iter_mut().map(|mark| &mut mark.t_s);
            let clock = recording.t_s.iter_mut().chain(marks);
            clock.for_each(|t_s| *t_s += later_s);
            let analysis = analyse_loaded(&file, &loaded, &Settings::default()).ok()?;
            Some((file, analysis))
        })
        .collect()
}

fn every_series(plate: &mut Plate) -> Vec<&mut Vec<f64>> {
    let mut all = vec![&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm];
    if let Some(shear) = &mut plate.shear {
        all.extend([&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm]);
    }
    all
}

/// Roles left to be found out.
fn unassigned(mut recording: Recording) -> Recording {
    for plate in &mut recording.plates {
        plate.foot = FootRole::Unassigned;
    }
    recording
}

fn shortened(mut recording: Recording, samples: usize) -> Recording {
    recording.t_s.truncate(samples);
    for plate in &mut recording.plates {
        every_series(plate)
            .into_iter()
            .for_each(|s| s.truncate(samples));
    }
    recording
}

/// One case for each code that no sample can carry, or that needs words of a person.
fn cases() -> Vec<(&'static str, &'static str, Analysis)> {
    let swing = Swing::default();
    let plain = Settings::default();
    let told = |change: &dyn Fn(&mut Settings)| {
        let mut settings = Settings::default();
        change(&mut settings);
        settings
    };
    let mut silent = unassigned(good(&swing));
    every_series(&mut silent.plates[1])
        .into_iter()
        .for_each(|s| s.fill(0.0));
    let mut three = unassigned(good(&swing));
    let mut third = three.plates[1].clone();
    third.label = "plate 3".into();
    third.lab_from_plate.centre_m.x -= 0.6;
    plate_times(&mut third, 0.2, 0..three.t_s.len());
    three.plates.push(third);
    let unzeroed = |force_n: f64| {
        let mut recording = good(&swing);
        let shear = recording.plates[0].shear.as_mut().unwrap();
        shear.fx_n.iter_mut().for_each(|f| *f += force_n);
        recording
    };
    let com = told(&|s| s.about = Reference::Com);
    let events = Events::of(&swing);
    let reversed = told(&|s| {
        s.given = given(&events);
        for (kind, t_s) in &mut s.given {
            if *kind == footing_core::recording::EventKind::Top {
                *t_s = events.impact_s + 0.1;
            }
        }
    });
    let mut restless = good(&swing);
    for plate in &mut restless.plates {
        for (i, f) in plate.fz_n.iter_mut().enumerate() {
            *f += 60.0 * (i as f64 / 500.0 * 9.0).sin();
        }
    }
    let mut frozen = good(&swing);
    let plate = &mut frozen.plates[0];
    for (mx, fz) in plate.mx_nm.iter_mut().zip(&plate.fz_n) {
        *mx = 0.001 * fz;
    }
    for (my, fz) in plate.my_nm.iter_mut().zip(&plate.fz_n) {
        *my = -0.001 * fz;
    }
    vec![
        ("one-plate", "warn", analysed(silent, &plain)),
        (
            "feet-undecided",
            "warn",
            analysed(
                unassigned(good(&swing)),
                &told(&|s| s.target_azimuth_deg = Some(90.0)),
            ),
        ),
        ("plates-chosen", "warn", analysed(three, &plain)),
        ("com-drift", "warn", analysed(unzeroed(14.0), &com)),
        (
            "cutoff-not-found",
            "warn",
            analysed(
                shortened(good(&swing), 5),
                &told(&|s| s.low_pass = LowPass::Auto),
            ),
        ),
        (
            "cutoff-too-high",
            "warn",
            analysed(good(&swing), &told(&|s| s.low_pass = LowPass::Hz(300.0))),
        ),
        (
            "too-short-to-filter",
            "warn",
            analysed(shortened(good(&swing), 5), &plain),
        ),
        (
            "events-out-of-order",
            "stop",
            analysed(good(&swing), &reversed),
        ),
        ("no-quiet-stance", "warn", analysed(restless, &plain)),
        ("cop-frozen", "stop", analysed(frozen, &plain)),
        (
            "mass-typed",
            "warn",
            analysed(good(&swing), &told(&|s| s.mass_kg = Some(82.0))),
        ),
        (
            "load-threshold-too-high",
            "note",
            analysed(good(&swing), &told(&|s| s.load_threshold_n = Some(500.0))),
        ),
    ]
}

#[test]
fn each_case_is_heard_by_its_code() {
    for (code, level, analysis) in cases() {
        let (found, text) =
            heard(&analysis, code).unwrap_or_else(|| panic!("no {code}: {:?}", analysis.notes));
        assert_eq!(found, level, "{code}: {text}");
    }
}

/// Before the drill the invented player's torque leaves zero slowly after takeaway, afterwards at once.
#[test]
fn torque_that_lingers_about_zero_is_told_at_the_time_below_zero() {
    let settings = Settings {
        handed: footing_core::frame::Handed::Left,
        ..Settings::default()
    };
    for i in 1..=6 {
        let told = |set: &str| {
            let file = format!("harbour-range-{set}-{i}.c3d");
            let bytes = std::fs::read(folder("samples").join(&file)).unwrap();
            let loaded = formats::read(&file, &bytes, None).unwrap();
            let analysis = analyse_loaded(&file, &loaded, &settings).unwrap();
            heard(&analysis, "torque-lingers").map(|(level, text)| (level, text.to_owned()))
        };
        let (level, text) = told("before").unwrap_or_else(|| panic!("before {i}"));
        assert_eq!(level, "note");
        let lingers: f64 = text["For ".len()..][..4].parse().unwrap();
        assert!((0.1..0.2).contains(&lingers), "{text}");
        assert_eq!(told("after"), None, "after {i}");
    }
    let touched = quality::concerns("torque-lingers").unwrap();
    assert_eq!(touched, ["torque_negative_duration"]);
}

/// Where impact is not known, what is said of the drift does not speak of it.
#[test]
fn the_drift_of_the_centre_of_mass_says_until_when() {
    let com = Settings {
        about: Reference::Com,
        ..Settings::default()
    };
    let swing = Swing::default();
    let whole = analysed(good(&swing), &com);
    assert!(
        heard(&whole, "com-drift")
            .unwrap()
            .1
            .contains("until impact.")
    );
    let until = (swing.takeaway_s() * 500.0) as usize - 20;
    let standing = analysed(shortened(good(&swing), until), &com);
    let (_, text) = heard(&standing, "com-drift").unwrap();
    assert!(
        text.contains("until the end of the recording, for impact is not known"),
        "{text}"
    );
}

/// Every warning of every bad sample and case says what was seen and what to do, and none speaks of health.
#[test]
fn warnings_have_cause_and_remedy_and_no_alarm() {
    let mut warnings = 0;
    let named = cases().into_iter().map(|(code, _, a)| (code.to_owned(), a));
    for (name, analysis) in bad_samples().into_iter().chain(named) {
        for note in &analysis.notes {
            let lower = note.text.to_lowercase();
            for word in ["safe", "risk", "diagnos", "injur", "danger"] {
                assert!(!lower.contains(word), "{}", note.text);
            }
            // What a reader says of a file's end is one clause: there is nothing to be done about it here.
            if note.level == "note" || note.code == "truncated" {
                continue;
            }
            warnings += 1;
            let sentences = note
                .text
                .split_inclusive(". ")
                .filter(|s| s.trim().len() > 8)
                .count();
            let halves = note.text.split(": ").filter(|s| s.len() > 8).count();
            assert!(
                sentences >= 2 || halves >= 2,
                "{name}, {}: {}",
                note.code,
                note.text
            );
        }
    }
    assert!(warnings > 60, "{warnings}");
}

/// Clocks that begin at the trigger have times below zero, and a target may lie at such an angle: in sentences a true
/// minus sign stands before both.
#[test]
fn what_is_below_zero_has_a_true_minus_in_every_sentence() {
    let mut minuses = 0;
    let named = cases().into_iter().map(|(code, _, a)| (code.to_owned(), a));
    for (name, analysis) in bad_samples_from(-20.0).into_iter().chain(named) {
        let notes = analysis.notes.iter().map(|note| &note.text);
        for text in notes.chain(analysis.events.iter().map(|event| &event.how)) {
            let hyphen = text.split([' ', '(', '–']).find(|word| {
                let number = word.strip_prefix('-').unwrap_or_default();
                number.starts_with(|c: char| c.is_ascii_digit())
            });
            assert_eq!(hyphen, None, "{name}: {text}");
            minuses += text.matches('\u{2212}').count();
        }
    }
    assert!(minuses > 60, "{minuses}");
}

/// The codes of notes in the sources that may warn or stop, with the file. Notes are made by `Note::new(` and
/// `note(`, code first and level second, and by limits.
fn codes_that_warn() -> Vec<(String, PathBuf)> {
    fn files(under: &Path, out: &mut Vec<PathBuf>) {
        for entry in std::fs::read_dir(under).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                files(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                out.push(path);
            }
        }
    }
    let mut sources = Vec::new();
    for room in ["crates/core/src", "crates/formats/src"] {
        files(&folder(room), &mut sources);
    }
    sources.push(folder("crates/app/src/swing.rs"));
    let literal = |text: &str| -> Option<String> {
        let code = text.trim_start().strip_prefix('"')?;
        let code = &code[..code.find('"')?];
        let kebab = code.chars().all(|c| c.is_ascii_lowercase() || c == '-');
        (kebab && !code.is_empty()).then(|| code.to_owned())
    };
    let mut codes = Vec::new();
    for path in sources {
        let text = std::fs::read_to_string(&path).unwrap();
        let text = text.split("#[cfg(test)]").next().unwrap();
        for (at, _) in text.match_indices("ote").filter(|(at, _)| {
            text[*at..].starts_with("ote(") || text[*at..].starts_with("ote::new(")
        }) {
            let call = &text[at..];
            let inside = &call[call.find('(').unwrap() + 1..];
            // A code that is a variable is named where it is chosen, just before.
            let Some(code) = literal(inside) else {
                if inside.trim_start().starts_with("code") && inside.contains("Level::Warn") {
                    let before = &text[at.saturating_sub(1500)..at];
                    codes.extend(before.match_indices('(').filter_map(|(i, _)| {
                        Some((
                            literal(&before[i + 1..]).filter(|c| c.contains('-'))?,
                            path.clone(),
                        ))
                    }));
                }
                continue;
            };
            let second = inside.split(',').nth(1).unwrap_or_default();
            if second.contains("Level::Warn") || second.contains("Level::Stop") {
                codes.push((code, path.clone()));
            }
        }
        if path.ends_with("quality/limits.rs") {
            for start in ["code: ", "bound("] {
                codes.extend(text.match_indices(start).filter_map(|(at, _)| {
                    Some((literal(&text[at + start.len()..])?, path.clone()))
                }));
            }
        }
    }
    codes.sort();
    codes.dedup();
    codes
}

/// Whatever may warn or stop is shown beside what it touches, or stands over all on purpose.
#[test]
fn every_code_that_warns_is_placed() {
    let codes = codes_that_warn();
    let known = |code: &str| codes.iter().any(|(c, _)| c == code);
    for code in [
        "saturated",
        "no-swing",
        "torque-peak",
        "lead-fz-peak",
        "com-drift",
        "offset",
        "calibration-transposed",
    ] {
        assert!(known(code), "{code} is not found in the sources: {codes:?}");
    }
    assert!(codes.len() > 45, "{}: {codes:?}", codes.len());
    let unplaced: Vec<_> = codes
        .iter()
        .filter(|(code, _)| quality::concerns(code).is_none())
        .collect();
    assert!(unplaced.is_empty(), "{unplaced:?}");
    // and what is named there is a measure or a chart
    let swing = analysed(good(&Swing::default()), &Settings::default());
    let charts = footing_app::view::bench::of_recording(&swing).charts;
    for (code, _) in &codes {
        for begins in quality::concerns(code).unwrap_or_default() {
            let measure = swing.measures.iter().any(|m| m.id.starts_with(begins));
            let chart = charts.iter().any(|c| c.id == *begins) || *begins == "plan";
            assert!(measure || chart, "{code}: {begins}");
        }
    }
}

/// A dip of the total that is too short for a step off the plates is told; and nothing pulls a player down.
#[test]
fn a_short_dip_of_the_total_is_heard() {
    let swing = Swing::default();
    let settings = Settings {
        given: given(&Events::of(&swing)),
        low_pass: LowPass::Off,
        ..Settings::default()
    };
    for (factor, level) in [(0.02, "warn"), (-0.2, "stop")] {
        let mut recording = good(&swing);
        let at = recording.t_s.partition_point(|t| *t < swing.top_s());
        for plate in &mut recording.plates {
            plate_times(plate, factor, at..at + 10);
        }
        let analysis = analysed(recording, &settings);
        assert_eq!(heard(&analysis, "off-plates"), None);
        let (found, text) = heard(&analysis, "total-fz-range").unwrap();
        assert!(found == level && text.contains("falls to"), "{text}");
    }
}

/// The hard limits that no sample passes: shear, torque and impulse of a plate whose gains are wrong.
#[test]
fn hard_limits_stop() {
    let swing = Swing::default();
    let settings = Settings {
        given: given(&Events::of(&swing)),
        ..Settings::default()
    };
    let level = |times: f64, code: &str| {
        let mut recording = good(&swing);
        for plate in &mut recording.plates {
            let shear = plate.shear.as_mut().unwrap();
            for series in [&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm] {
                series.iter_mut().for_each(|v| *v *= times);
            }
        }
        heard(&analysed(recording, &settings), code).map(|n| n.0)
    };
    let within = |code: &str| {
        let found = (10..200).map(|i| f64::from(i) / 10.0);
        let levels: Vec<_> = found.map(|times| level(times, code)).collect();
        // silence, then a warning, then a stop
        let warns = levels.iter().position(|l| *l == Some("warn")).unwrap();
        let stops = levels.iter().position(|l| *l == Some("stop")).unwrap();
        (1.0 + warns as f64 / 10.0, 1.0 + stops as f64 / 10.0)
    };
    // what passes the soft limit passes the hard one when it grows by their ratio
    for (code, soft, hard) in [
        ("shear-range", 0.6, 1.0),
        ("torque-peak", 160.0, 250.0),
        ("impulse-positive", 40.0, 80.0),
    ] {
        let (warns, stops) = within(code);
        let expected = warns * hard / soft;
        assert!(
            (stops - expected).abs() <= 0.15 * hard / soft,
            "{code}: {warns} and {stops}"
        );
    }
}

/// Plates whose size nobody gave: what is not checked is said.
#[test]
fn unknown_sizes_are_told() {
    let mut recording = good(&Swing::default());
    assert_eq!(
        heard(
            &analysed(recording.clone(), &Settings::default()),
            "plate-sizes"
        ),
        None
    );
    recording.plates[1].corners_in_lab_m = None;
    let analysis = analysed(recording, &Settings::default());
    let (level, text) = heard(&analysis, "plate-sizes").unwrap();
    assert!(
        level == "note" && text.contains("plate 2 is not known"),
        "{text}"
    );
}

/// The note itself, from the filter's own room.
#[test]
fn a_filter_that_cannot_be_had_says_what_to_type() {
    let bay = Bay { ..bay() };
    let recording = loaded(record(&Swing::default(), &bay, 1)).recording;
    let mut stance =
        footing_core::stance::stance(&recording, 0.0, footing_core::frame::Handed::Right)
            .unwrap()
            .stance;
    let mut notes = Vec::new();
    assert_eq!(
        condition::low_pass(&mut stance, LowPass::Hz(250.0), &mut notes),
        None
    );
    assert!(
        notes[0].level == Level::Warn && notes[0].text.contains("below 200 Hz"),
        "{notes:?}"
    );
}
