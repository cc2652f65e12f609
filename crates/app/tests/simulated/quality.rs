//! Quality checks: silent on good swings, heard on bad ones.

use crate::common::{given, loaded};
use footing_app::analysis::{Analysis, Settings};
use footing_app::formats::rig;
use footing_app::{analyse, analyse_loaded};
use footing_core::geometry::Vec3;
use footing_core::quality;
use footing_core::recording::{Plate, Recording};
use footing_simulate::scenario::with_noise;
use footing_simulate::{Bay, Events, Swing, record};
use std::collections::BTreeMap;

const SWINGS: u64 = 500;

fn analysed(recording: Recording, settings: &Settings) -> Analysis {
    analyse_loaded("case", &loaded(recording), settings).expect("there is a player on the plates")
}

fn bay() -> Bay {
    with_noise(Bay::default(), 500.0)
}

/// Half a thousand different good swings of both hands: no check may warn on more than one in a
/// hundred of them, and no more than one in fifty may have any warning at all.
#[test]
fn good_swings_raise_no_alarm() {
    let mut alarms: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut with_any = 0;
    let mut left = 0;
    for seed in 0..SWINGS {
        let swing = Swing::varied(seed);
        let settings = Settings {
            handed: swing.handed,
            mass_kg: (seed % 2 == 0).then_some(swing.mass_kg),
            ..Settings::default()
        };
        left += u64::from(swing.handed == footing_core::frame::Handed::Left);
        let analysis = analysed(record(&swing, &bay(), seed), &settings);
        let mut any = false;
        for note in analysis.notes.iter().filter(|n| n.level != "note") {
            any = true;
            let heard = alarms.entry(note.code).or_default();
            heard.push(format!("{seed}: {} {}", note.level, note.text));
        }
        with_any += u64::from(any);
    }
    println!("{with_any} of {SWINGS} swings ({left} left-handed) with any warning");
    for (code, heard) in &alarms {
        println!("{code}: {}", heard.len());
        for line in heard.iter().take(4) {
            println!("    {line}");
        }
    }
    assert!(left > 100 && left < 400);
    for (code, heard) in &alarms {
        let few = heard.len() as u64 * 100 <= SWINGS;
        assert!(few, "{code} on {} of {SWINGS}", heard.len());
    }
    assert!(with_any * 50 <= SWINGS, "{with_any} of {SWINGS}");
}

fn sample(name: &str) -> Analysis {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let read =
        |name: &str| std::fs::read(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    let rig_name = match name {
        "bad-swapped-feet" => "bad-swapped-feet.rig.json",
        _ => "bad.rig.json",
    };
    let rig = rig::parse(rig_name, &read(rig_name)).unwrap();
    let file = format!("{name}.csv");
    analyse(&file, &read(&file), Some(&rig), &Settings::default()).unwrap()
}

/// The level of a note and its text; `None` when it is not there.
fn heard<'a>(analysis: &'a Analysis, code: &str) -> Option<(&'static str, &'a str)> {
    let note = analysis.notes.iter().find(|n| n.code == code)?;
    Some((note.level, note.text.as_str()))
}

/// Each bad sample is caught by its own check, at its level, with words that name the cause.
#[test]
fn every_bad_sample_is_caught_by_its_check() {
    for (name, code, level, words) in [
        ("bad-swapped-plates", "plates-swapped", "stop", "cables"),
        (
            "bad-swapped-feet",
            "feet-swapped",
            "stop",
            "further from the target",
        ),
        ("bad-not-zeroed", "quiet-residue", "warn", "not zeroed"),
        ("bad-saturated", "saturated", "stop", "Fz of plate 1"),
        ("bad-gap", "gap", "warn", "205 ms pass after 1.495 s"),
        (
            "bad-unit-slip",
            "cop-off-plate",
            "stop",
            "newton millimetres",
        ),
        ("bad-kilonewtons", "units", "stop", "by 1000 (kilonewtons"),
        ("bad-gain", "units", "stop", "by 10 (an amplifier's gain)"),
        ("bad-kilograms", "units", "stop", "by 9.81 (kilograms"),
        ("bad-drift", "drift", "warn", "+26 N vertically"),
        (
            "bad-steps-off",
            "off-plates",
            "stop",
            "nobody is on the plates",
        ),
        (
            "bad-one-plate",
            "plate-idle",
            "stop",
            "the trail foot's plate carries 0 %",
        ),
        (
            "bad-across-plates",
            "feet-across-plates",
            "warn",
            "plate 2 lies 5 mm from its edge toward plate 1",
        ),
        ("bad-near-edge", "cop-near-edge", "warn", "from its edge"),
        ("bad-dead-channel", "axis-missing", "stop", "Fy of plate 2"),
        ("bad-jitter", "jitter", "warn", "320 of 640"),
        ("bad-other-hand", "hand-mirrored", "stop", "other hand"),
        ("bad-clock", "swing-times", "warn", "backswing lasts 1.6"),
        ("bad-shear-gain", "shear-range", "warn", "body weights"),
        ("bad-shear-gain", "shear-ratio", "stop", "along the ground"),
        ("bad-shear-gain", "torque-peak", "warn", "15 to 160 N·m"),
        (
            "bad-shear-gain",
            "impulse-positive",
            "warn",
            "3.0 to 40.0 N·m·s",
        ),
        (
            "bad-twist-gain",
            "free-moment",
            "stop",
            "lead foot's free moment",
        ),
        (
            "bad-weak-plate",
            "trail-fz-peak",
            "warn",
            "trail foot's vertical force",
        ),
    ] {
        let analysis = sample(name);
        let (found, text) = heard(&analysis, code)
            .unwrap_or_else(|| panic!("{name}: no {code} among {:?}", analysis.notes));
        assert_eq!(found, level, "{name}: {text}");
        assert!(text.contains(words), "{name}: {text}");
    }
}

/// Every warning says what was seen and what to do, and none of them speaks of health.
#[test]
fn warnings_have_cause_and_remedy_and_no_alarm() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let mut warnings = 0;
    for fault in footing_simulate::bad::FAULTS {
        let path = folder.join(format!("{}.csv", fault.name));
        let rig = rig::parse(
            "bad.rig.json",
            &std::fs::read(folder.join("bad.rig.json")).unwrap(),
        )
        .unwrap();
        let Ok(analysis) = analyse(
            fault.name,
            &std::fs::read(path).unwrap(),
            Some(&rig),
            &Settings::default(),
        ) else {
            continue;
        };
        for note in &analysis.notes {
            let lower = note.text.to_lowercase();
            for word in ["safe", "risk", "diagnos", "injur", "danger"] {
                assert!(!lower.contains(word), "{}", note.text);
            }
            if !quality::concerns(note.code).is_empty() && note.level != "note" {
                warnings += 1;
                let sentences = note
                    .text
                    .split_inclusive(['.', ';'])
                    .filter(|s| s.trim().len() > 8)
                    .count();
                assert!(sentences >= 2, "{}", note.text);
            }
        }
    }
    assert!(warnings > 20, "{warnings}");
}

fn good(swing: &Swing) -> Recording {
    record(swing, &bay(), 7)
}

fn plate_times(plate: &mut Plate, factor: f64, at: std::ops::Range<usize>) {
    let mut series = vec![&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm];
    if let Some(shear) = &mut plate.shear {
        series.extend([&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm]);
    }
    for values in series {
        values[at.clone()].iter_mut().for_each(|v| *v *= factor);
    }
}

fn level_of(recording: Recording, settings: &Settings, code: &str) -> Option<&'static str> {
    let analysis = analysed(recording, settings);
    heard(&analysis, code).map(|(level, _)| level)
}

/// A typed mass against the plates: silent within 3 %, a warning beyond, a stop beyond 10 %.
#[test]
fn a_typed_mass_is_held_against_the_plates() {
    let swing = Swing::default();
    let said = |typed: f64| {
        let settings = Settings {
            mass_kg: Some(typed),
            ..Settings::default()
        };
        let analysis = analysed(good(&swing), &settings);
        heard(&analysis, "mass-typed").map(|(level, text)| (level, text.to_owned()))
    };
    assert_eq!(said(78.0 * 1.025), None);
    assert_eq!(said(78.0 * 1.04).unwrap().0, "warn");
    assert_eq!(said(78.0 * 0.88).unwrap().0, "stop");
    assert!(said(78.0 * 2.2046).unwrap().1.contains("pounds"));
    // and a slip of units is named by the one factor that fits
    let mut tenth = good(&swing);
    let all = 0..tenth.t_s.len();
    for plate in &mut tenth.plates {
        plate_times(plate, 0.1, all.clone());
    }
    let settings = Settings {
        mass_kg: Some(78.0),
        ..Settings::default()
    };
    let analysis = analysed(tenth, &settings);
    let (level, text) = heard(&analysis, "units").unwrap();
    assert!(level == "stop" && text.contains("by 10 ("), "{text}");
}

#[test]
fn masses_of_one_player_are_compared_between_recordings() {
    let said = |masses: &[Option<f64>]| -> Vec<(usize, &'static str)> {
        quality::between_recordings(masses)
            .into_iter()
            .map(|(i, note)| (i, note.level.name()))
            .collect()
    };
    assert_eq!(said(&[Some(74.0), Some(74.9), None, Some(73.2)]), []);
    assert_eq!(
        said(&[Some(74.0), Some(74.5), None, Some(77.0)]),
        [(3, "warn")]
    );
    assert_eq!(
        said(&[Some(74.0), Some(74.5), Some(60.0), Some(74.1)]),
        [(2, "stop")]
    );
    assert_eq!(said(&[Some(74.0), Some(78.0)]), [(0, "warn"), (1, "warn")]);
    assert_eq!(said(&[Some(74.0)]), []);
    // Both near the middle one, and far from each other.
    assert_eq!(
        said(&[Some(71.9), Some(74.0), Some(76.1)]),
        [(0, "warn"), (2, "warn")]
    );
}

/// Peaks: a plate's gain is wrong for a while in the downswing, so that the weight stays right.
#[test]
fn peaks_beyond_the_limits_are_heard() {
    let swing = Swing::default();
    let settings = Settings {
        given: given(&Events::of(&swing)),
        ..Settings::default()
    };
    let grown = |plates: &[usize], factor: f64| {
        let mut recording = good(&swing);
        let at = |t: f64| recording.t_s.partition_point(|s| *s < t);
        for plate in plates {
            // near each foot's peak: the lead foot's before impact, the trail foot's at the top
            let end = if plates.contains(&0) {
                swing.impact_s()
            } else {
                swing.top_s()
            };
            let wrong = at(end - 0.1)..at(end);
            plate_times(&mut recording.plates[*plate], factor, wrong.clone());
        }
        recording
    };
    assert_eq!(
        level_of(grown(&[0], 2.6), &settings, "lead-fz-peak"),
        Some("warn")
    );
    assert_eq!(
        level_of(grown(&[0], 4.5), &settings, "lead-fz-peak"),
        Some("stop")
    );
    assert_eq!(
        level_of(grown(&[1], 2.5), &settings, "trail-fz-peak"),
        Some("warn")
    );
    assert_eq!(
        level_of(grown(&[1], 5.0), &settings, "trail-fz-peak"),
        Some("stop")
    );
    assert_eq!(
        level_of(grown(&[0, 1], 2.2), &settings, "total-fz-range"),
        Some("warn")
    );
    assert_eq!(
        level_of(grown(&[0, 1], 5.0), &settings, "total-fz-range"),
        Some("stop")
    );
    assert_eq!(
        level_of(grown(&[0, 1], 30.0), &settings, "torque-implausible"),
        Some("stop")
    );
}

/// Moments of nothing, plates in the wrong place, plates that drift between two empty stretches.
#[test]
fn places_and_zeros_are_heard() {
    let swing = Swing::default();
    let settings = Settings::default();
    let mut small = good(&swing);
    for plate in &mut small.plates {
        plate.mx_nm.iter_mut().for_each(|m| *m *= 0.001);
        plate.my_nm.iter_mut().for_each(|m| *m *= 0.001);
    }
    assert_eq!(level_of(small, &settings, "cop-frozen"), Some("stop"));

    let mut far = good(&swing);
    far.plates[0].lab_from_plate.centre_m = Vec3::new(0.9, 0.0, 0.0);
    assert_eq!(level_of(far, &settings, "stance-width"), Some("warn"));

    let empty_first = Bay {
        unloaded_s: Some(0.6),
        ..bay()
    };
    let mut offset = record(&swing, &empty_first, 3);
    offset.plates[1].fz_n.iter_mut().for_each(|f| *f += 25.0);
    assert_eq!(level_of(offset.clone(), &settings, "offset"), Some("note"));
    assert_eq!(
        level_of(offset.clone(), &settings, "quiet-residue"),
        Some("note")
    );
    // more than a tenth of the load is no offset: nothing is taken off, and that is what is said
    for too_much in [100.0, 130.0] {
        let mut heavy = record(&swing, &empty_first, 3);
        heavy.plates[0].fz_n.iter_mut().for_each(|f| *f += too_much);
        let analysis = analysed(heavy, &settings);
        let (level, text) = heard(&analysis, "offset").unwrap();
        assert!(
            level == "stop" && text.contains("it stays in everything"),
            "{text}"
        );
        assert_eq!(heard(&analysis, "zeroed"), None);
    }
    // a preload that was taken off puts no pressure beside the plate
    let mut preloaded = record(&swing, &empty_first, 3);
    preloaded.plates[0]
        .mx_nm
        .iter_mut()
        .for_each(|m| *m += 80.0);
    preloaded.plates[0]
        .my_nm
        .iter_mut()
        .for_each(|m| *m += 40.0);
    let analysis = analysed(preloaded, &settings);
    assert!(heard(&analysis, "zeroed").is_some());
    assert_eq!(heard(&analysis, "cop-off-plate"), None);
    // somebody steps off after the swing, and the plate does not come back to where it was
    let end = offset.t_s.len();
    let rate = offset.rate_hz;
    for k in 0..(0.6 * rate) as usize {
        offset.t_s.push((end + k) as f64 / rate);
        for (index, plate) in offset.plates.iter_mut().enumerate() {
            let drift = if index == 1 { 45.0 } else { 0.0 };
            let noise = plate.fz_n[k] - if index == 1 { 25.0 } else { 0.0 };
            plate.fz_n.push(noise + drift);
            for series in [&mut plate.mx_nm, &mut plate.my_nm] {
                series.push(series[k]);
            }
            let shear = plate.shear.as_mut().unwrap();
            for series in [&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm] {
                series.push(series[k]);
            }
        }
    }
    let analysis = analysed(offset, &settings);
    let (level, text) = heard(&analysis, "drift").unwrap();
    assert!(
        level == "warn" && text.contains("plate 2 drifts: unloaded it reads 20 N"),
        "{text}"
    );
}

/// A plate that was not zeroed along one axis: taking off what quiet stance leaves mends that plate's foot and leaves the
/// other foot's share of the impulse alone.
#[test]
fn what_quiet_stance_leaves_is_taken_from_where_it_is() {
    let swing = Swing::default();
    let settings = Settings {
        zero_quiet: true,
        given: given(&Events::of(&swing)),
        ..Settings::default()
    };
    let clean = analysed(good(&swing), &settings);
    for plate in 0..2 {
        let mut pushed = good(&swing);
        let shear = pushed.plates[plate].shear.as_mut().unwrap();
        shear.fy_n.iter_mut().for_each(|f| *f += 10.0);
        let analysis = analysed(pushed, &settings);
        for id in [
            "impulse_net_nms",
            "impulse_net_lead_shear_nms",
            "impulse_net_trail_shear_nms",
            "impulse_net_lead_free_moment_nms",
            "impulse_net_trail_free_moment_nms",
        ] {
            let value = |of: &Analysis| {
                let measure = of.measures.iter().find(|m| m.id == id);
                measure
                    .unwrap_or_else(|| panic!("{id}"))
                    .value
                    .clone()
                    .unwrap()
            };
            let off = value(&analysis) - value(&clean);
            // The offset acts at the plate's own origin, a few centimetres beside the foot's pressure.
            assert!(off.abs() < 0.3, "plate {plate}, {id}: off by {off}");
        }
    }
}

/// Load that goes to the lead foot in the backswing while the turn is right is unusual, not wrong.
#[test]
fn an_unusual_shift_of_load_is_a_warning() {
    let swing = Swing {
        share_top: 0.72,
        share_impact: 0.60,
        ..Swing::default()
    };
    assert_eq!(
        level_of(good(&swing), &Settings::default(), "load-shift"),
        Some("warn")
    );
}

/// Plates without shear say so in one note.
#[test]
fn absent_horizontal_forces_are_told() {
    let mut recording = good(&Swing::default());
    for plate in &mut recording.plates {
        plate.shear = None;
    }
    let analysis = analysed(recording, &Settings::default());
    let (level, text) = heard(&analysis, "no-shear").unwrap();
    assert!(
        level == "note" && text.contains("plate 1, plate 2"),
        "{text}"
    );
}
