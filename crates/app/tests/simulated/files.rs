//! The same swing through files: every format, every unit system, the committed samples.

use crate::noise::allowed;
use footing_app::analyse;
use footing_app::analysis::{Analysis, Filmed, Handed, Reference, Settings};
use footing_app::comparison::{Choice, Verdict, compare};
use footing_app::findings::{findings, sentences};
use footing_app::formats::rig;
use footing_core::recording::EventKind;
use serde_json::Value;
use std::path::PathBuf;

fn samples() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples"))
}

fn read(name: &str) -> Vec<u8> {
    std::fs::read(samples().join(name)).unwrap_or_else(|why| panic!("{name}: {why}"))
}

fn truth_of(name: &str) -> Value {
    serde_json::from_slice(&read(&format!("{name}.truth.json"))).expect("truth is JSON")
}

fn rig_of(name: &str) -> rig::Rig {
    rig::parse(name, &read(name)).expect("the sample rig is sound")
}

fn given_by(truth: &Value) -> Vec<(EventKind, f64)> {
    [
        (EventKind::Takeaway, "takeaway_s"),
        (EventKind::ArmLevel, "arm_level_s"),
        (EventKind::Top, "top_s"),
        (EventKind::Impact, "impact_s"),
    ]
    .into_iter()
    .map(|(kind, key)| (kind, truth["events"][key].as_f64().expect("an event")))
    .collect()
}

fn against_truth(analysis: &Analysis, truth: &Value) {
    let expected = &truth["measures"][analysis.about.name()];
    let mut seen = 0;
    for measure in &analysis.measures {
        let Some(expected) = expected[measure.id].as_f64() else {
            continue;
        };
        let got = match &measure.value {
            Ok(got) => got,
            Err(why) => {
                // vertical-only plates: the body had a torque, the file does not hold it
                let lacks_shear = analysis.series.total.ft_n.is_empty();
                assert!(
                    lacks_shear && why.contains("no horizontal forces"),
                    "{} {}: {why}",
                    analysis.file,
                    measure.id
                );
                continue;
            }
        };
        let allowed = allowed(measure.id, expected, false);
        assert!(
            (got - expected).abs() <= allowed,
            "{} {}: expected {expected} ± {allowed}, got {got}",
            analysis.file,
            measure.id
        );
        seen += 1;
    }
    assert!(
        seen >= 5,
        "{}: only {seen} measures compared",
        analysis.file
    );
}

fn harbour(set: &str, i: usize, extension: &str, settings: &Settings) -> Analysis {
    let name = format!("harbour-range-{set}-{i}.{extension}");
    let rig = (extension == "csv").then(|| rig_of("harbour-range.rig.json"));
    analyse(&name, &read(&name), rig.as_ref(), settings).unwrap_or_else(|p| panic!("{p}"))
}

/// Tables and C3D of the same swings, about every reference, against the committed truth: as
/// under noise, which the samples carry.
#[test]
fn the_harbour_range_samples_give_their_truth_in_both_formats() {
    for set in ["before", "after"] {
        for i in 1..=6 {
            let truth = truth_of(&format!("harbour-range-{set}-{i}"));
            for about in [
                Reference::StanceCentre,
                Reference::Com,
                Reference::CombinedCop,
            ] {
                let settings = Settings {
                    handed: Handed::Left,
                    about,
                    given: given_by(&truth),
                    ..Settings::default()
                };
                for extension in ["csv", "c3d"] {
                    against_truth(&harbour(set, i, extension, &settings), &truth);
                }
            }
        }
    }
}

#[test]
fn the_driver_and_vertical_samples_give_their_truth() {
    for i in 1..=3 {
        let name = format!("driver-right-{i}");
        let truth = truth_of(&name);
        let settings = Settings {
            given: given_by(&truth),
            ..Settings::default()
        };
        let rig = rig_of("driver-right.rig.json");
        let file = format!("{name}.csv");
        let analysis = analyse(&file, &read(&file), Some(&rig), &settings).unwrap();
        against_truth(&analysis, &truth);
    }
    let truth = truth_of("vertical-only");
    let settings = Settings {
        given: given_by(&truth),
        ..Settings::default()
    };
    let rig = rig_of("vertical-only.rig.json");
    let analysis = analyse(
        "vertical-only.csv",
        &read("vertical-only.csv"),
        Some(&rig),
        &settings,
    )
    .unwrap();
    against_truth(&analysis, &truth);
    for id in ["torque_min_nm", "impulse_net_nms", "lead_fa_max_n"] {
        let measure = analysis.measures.iter().find(|m| m.id == id).unwrap();
        let why = measure.value.clone().unwrap_err();
        assert!(why.contains("no horizontal forces"), "{id}: {why}");
    }
}

/// The C3D samples carry their events, the tables a trigger: used without anyone's hand.
#[test]
fn events_come_from_the_file_when_it_has_them() {
    let settings = Settings {
        handed: Handed::Left,
        ..Settings::default()
    };
    let truth = truth_of("harbour-range-before-1");
    let event = |analysis: &Analysis, kind: EventKind| {
        analysis
            .events
            .iter()
            .find(|e| e.kind == kind)
            .cloned()
            .unwrap()
    };
    let from_c3d = harbour("before", 1, "c3d", &settings);
    for (kind, key) in [
        (EventKind::Takeaway, "takeaway_s"),
        (EventKind::Top, "top_s"),
        (EventKind::Impact, "impact_s"),
    ] {
        let event = event(&from_c3d, kind);
        assert_eq!(event.source, "file");
        assert!((event.t_s - truth["events"][key].as_f64().unwrap()).abs() < 0.001);
    }
    let from_table = harbour("before", 1, "csv", &settings);
    let impact = event(&from_table, EventKind::Impact);
    assert_eq!(impact.source, "file");
    assert!((impact.t_s - truth["events"]["impact_s"].as_f64().unwrap()).abs() <= 0.002);
    assert_eq!(event(&from_table, EventKind::Top).source, "estimated");
}

/// The story of the samples: the ground turns K-07 back 90 ms earlier, and the comparison says so.
#[test]
fn the_harbour_range_sets_differ_as_they_were_made_to() {
    let settings = Settings {
        handed: Handed::Left,
        ..Settings::default()
    };
    let set = |name: &str| -> Vec<Analysis> {
        (1..=6)
            .map(|i| harbour(name, i, "c3d", &settings))
            .collect()
    };
    let (a, b) = (set("before"), set("after"));
    let (a, b): (Vec<&Analysis>, Vec<&Analysis>) = (a.iter().collect(), b.iter().collect());
    let found = compare(&a, &b, &Choice::default()).unwrap();
    let row = |id: &str| found.rows.iter().find(|r| r.id == id).unwrap();
    let crossing = row("torque_zero_cross_s").found.as_ref().unwrap();
    assert_eq!(crossing.verdict, Verdict::ClearChange);
    assert!((crossing.change.unwrap() + 0.090).abs() < 0.03);
    let said = sentences(&found, "K-07");
    assert!(
        said[0].starts_with("The ground now turns K-07 back toward the target")
            && said[0].contains("earlier")
            && said[0].contains("a clear change"),
        "{}",
        said[0]
    );
    assert!(said[2].starts_with(
        "6 and 6 swings, taken as one player’s on one occasion, show, of 39 measures, "
    ));
    let listed = findings(&found);
    assert_eq!(listed.first().unwrap().verdict_id, "clear");
    assert!(listed.iter().all(|f| !f.id.ends_with("_per_kg")));
    let torque = found.curves.iter().find(|c| c.name == "torque_nm").unwrap();
    assert!(!torque.tests.as_ref().unwrap()[0].stretches.is_empty());
    // Nothing changes when a set is compared with itself.
    let same = compare(&a, &a, &Choice::default()).unwrap();
    assert!(
        same.rows
            .iter()
            .filter_map(|r| r.found.as_ref().ok())
            .all(|f| matches!(
                f.verdict,
                Verdict::WithinOrdinarySpread | Verdict::NotSettled
            ))
    );
    assert!(
        sentences(&same, "K-07")[0]
            .starts_with("Nothing measured is shown to have changed beyond K-07's ordinary")
    );
}

/// The bad samples that can be read are read; the others say where and what in one line.
#[test]
fn bad_samples_are_refused_or_read_with_one_sentence() {
    let rig = rig_of("bad.rig.json");
    let settings = Settings::default();
    let mut refused = 0;
    let mut names: Vec<String> = std::fs::read_dir(samples())
        .unwrap()
        .filter_map(|e| e.unwrap().file_name().into_string().ok())
        .filter(|n| n.starts_with("bad-") && n.ends_with(".csv"))
        .collect();
    names.sort();
    for name in &names {
        if let Err(problem) = analyse(name, &read(name), Some(&rig), &settings) {
            refused += 1;
            let line = problem.to_string();
            assert!(line.starts_with(&format!("{name}:")), "{line}");
            assert_eq!(line.lines().count(), 1, "{line}");
        }
    }
    assert!(
        names.len() >= 8 && refused >= 3,
        "{names:?}, {refused} refused"
    );
}

/// A film shows an instant no better than its frames; a hand is believed before it, the file after.
#[test]
fn an_event_from_film_carries_the_doubt_of_its_frames() {
    let truth = truth_of("harbour-range-before-1");
    let top_s = truth["events"]["top_s"].as_f64().unwrap();
    let film = Filmed {
        kind: EventKind::Top,
        t_s: top_s + 0.01,
        uncertainty_s: 0.006,
        frames_per_s: 240.0,
    };
    let mut settings = Settings {
        handed: Handed::Left,
        filmed: vec![film],
        ..Settings::default()
    };
    let analysis = harbour("before", 1, "c3d", &settings);
    let top = |analysis: &Analysis| {
        let top = analysis.events.iter().find(|e| e.kind == EventKind::Top);
        top.cloned().unwrap()
    };
    let got = top(&analysis);
    assert_eq!((got.t_s, got.source), (film.t_s, "film"));
    assert_eq!(got.uncertainty_s, film.uncertainty_s);
    assert_eq!(got.how, "set from film, 240 frames a second");
    let backswing = analysis.measures.iter().find(|m| m.id == "backswing_s");
    let backswing = backswing.unwrap();
    assert!(backswing.estimated.is_empty());
    let takeaway_s = truth["events"]["takeaway_s"].as_f64().unwrap();
    assert!((backswing.value.clone().unwrap() - (film.t_s - takeaway_s)).abs() < 0.002);

    settings.given = vec![(EventKind::Top, top_s)];
    let got = top(&harbour("before", 1, "c3d", &settings));
    assert_eq!((got.t_s, got.source), (top_s, "given"));
}

#[test]
fn events_out_of_order_give_no_durations() {
    let bytes = read("harbour-range-before-1.c3d");
    let swing = |settings: &Settings| analyse("swing.c3d", &bytes, None, settings).unwrap();
    let value = |analysis: &Analysis, id: &str| {
        let measure = analysis.measures.iter().find(|m| m.id == id).unwrap();
        measure.value.clone()
    };
    let swung = swing(&Settings {
        handed: Handed::Left,
        ..Settings::default()
    });
    assert!(value(&swung, "downswing_s").unwrap() > 0.2);
    let late_top = swing(&Settings {
        handed: Handed::Left,
        given: vec![(EventKind::Top, 2.2)],
        ..Settings::default()
    });
    assert_eq!(
        value(&late_top, "downswing_s").unwrap_err(),
        "impact is not after the top"
    );
    assert!(value(&late_top, "tempo_ratio").is_err());
    assert!(value(&late_top, "backswing_s").unwrap() > 1.0);
    // Of events in an impossible order nothing that spans the swing is measured, and it is said why.
    let late_takeaway = swing(&Settings {
        handed: Handed::Left,
        given: vec![(EventKind::Takeaway, 1.9), (EventKind::Top, 1.7)],
        ..Settings::default()
    });
    for (analysis, why) in [
        (&late_top, "impact is not after the top"),
        (&late_takeaway, "the top is not after takeaway"),
    ] {
        for id in [
            "impulse_ratio",
            "impulse_negative_nms",
            "impulse_net_lead_shear_nms",
            "torque_min_time_s",
            "torque_zero_cross_s",
            "torque_negative_duration_s",
            "cop_angle_min_deg",
            "lead_fz_max_bw",
            "tempo_ratio",
        ] {
            assert_eq!(value(analysis, id).unwrap_err(), why, "{id}");
        }
        // what is read at one instant does not rest on the order
        assert!(value(analysis, "cop_angle_at_impact_deg").is_ok());
    }
    // Nor is a reversal told that would come after a mere candidate for impact.
    let mut unmarked = footing_app::formats::read("swing.c3d", &bytes, None).unwrap();
    unmarked.recording.marks.clear();
    let early_top = Settings {
        given: vec![(EventKind::Top, 1.2)],
        ..Settings::default()
    };
    let early = footing_app::analyse_loaded("swing.c3d", &unmarked, &early_top).unwrap();
    assert!(early.events.iter().any(|e| e.kind == EventKind::Impact));
    let why = early
        .missing_events
        .iter()
        .find(|m| m.0 == EventKind::Transition);
    assert_eq!(
        why.map(|m| m.1.as_str()),
        Some("the turn away from the target is not stopped before impact")
    );
    // Read with the wrong hand the turn is not stopped before impact: then no instant of that is told.
    let wrong_hand = swing(&Settings::default());
    let at = |kind: EventKind| {
        wrong_hand
            .events
            .iter()
            .find(|e| e.kind == kind)
            .map(|e| e.t_s)
    };
    let impact = at(EventKind::Impact).unwrap();
    assert!(at(EventKind::Transition).is_none_or(|t| t < impact));
}
