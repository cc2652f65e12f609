//! Quality checks: silent on good swings, heard on bad ones.

use crate::common::{given, loaded};
use footing_app::analysis::{Analysis, Settings};
use footing_app::formats::rig;
use footing_app::{analyse, analyse_loaded};
use footing_core::quality;
use footing_core::recording::{Plate, Recording};
use footing_simulate::scenario::with_noise;
use footing_simulate::{Bay, Events, Swing, record};
use std::collections::BTreeMap;

const SWINGS: u64 = 500;

pub fn analysed(recording: Recording, settings: &Settings) -> Analysis {
    analyse_loaded("case", &loaded(recording), settings).expect("there is a player on the plates")
}

pub fn bay() -> Bay {
    with_noise(Bay::default(), 500.0)
}

/// Half a thousand different good swings of both hands, every third from a stance opened or closed by up
/// to 15°: no more than one in a hundred of them may have any warning at all.
#[test]
fn good_swings_raise_no_alarm() {
    let mut alarms: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut with_any = 0;
    let mut left = 0;
    for seed in 0..SWINGS {
        let square = Swing::varied(seed);
        let swing = Swing {
            stance_angle_deg: square.stance_angle_deg * if seed % 3 == 0 { 2.5 } else { 1.0 },
            ..square
        };
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
    assert!(with_any * 100 <= SWINGS, "{with_any} of {SWINGS}");
}

fn sample(name: &str, settings: &Settings) -> Analysis {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let read =
        |name: &str| std::fs::read(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    if footing_simulate::bad_moves::NAMES.contains(&name) {
        let file = format!("{name}.c3d");
        return analyse(&file, &read(&file), None, settings).unwrap();
    }
    let own = format!("{name}.rig.json");
    let rig_name = if folder.join(&own).is_file() {
        &own
    } else {
        "bad.rig.json"
    };
    let rig = rig::parse(rig_name, &read(rig_name)).unwrap();
    let file = format!("{name}.csv");
    analyse(&file, &read(&file), Some(&rig), settings).unwrap()
}

/// The level of a note and its text; `None` when it is not there.
pub fn heard<'a>(analysis: &'a Analysis, code: &str) -> Option<(&'static str, &'a str)> {
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
        (
            "bad-target",
            "target-direction",
            "warn",
            "it is 37°, and along the feet it would be 2°",
        ),
        ("bad-noisy", "noisy", "warn", "takeaway is known to ±"),
        ("bad-apart", "stance-width", "warn", "The feet press 1.1"),
        (
            "bad-weak-lead-plate",
            "lead-fz-peak",
            "warn",
            "lead foot's vertical force",
        ),
        (
            "bad-dropout",
            "total-fz-range",
            "warn",
            "total vertical force falls to",
        ),
        (
            "bad-twist-unit",
            "torque-implausible",
            "stop",
            "nobody exceeds",
        ),
        ("bad-offset", "offset", "warn", "With nobody on it plate 1"),
        ("bad-frozen", "cop-frozen", "stop", "newton millimetres"),
        ("bad-load-shift", "load-shift", "warn", "to the lead foot"),
        (
            "bad-restless",
            "no-quiet-stance",
            "warn",
            "never stands still",
        ),
        ("bad-half-move", "no-swing", "stop", "a half move"),
        ("bad-no-swing", "no-swing", "stop", "a half move"),
        (
            "bad-events",
            "events-out-of-order",
            "stop",
            "top (2.120 s) does not come before impact",
        ),
    ] {
        let analysis = sample(name, &Settings::default());
        let (found, text) = heard(&analysis, code)
            .unwrap_or_else(|| panic!("{name}: no {code} among {:?}", analysis.notes));
        assert_eq!(found, level, "{name}: {text}");
        assert!(text.contains(words), "{name}: {text}");
    }
}

/// The sample that weighs too much is told from the others, and from the mass that was typed.
#[test]
fn the_heavy_sample_is_told_from_the_others() {
    let typed = Settings {
        mass_kg: Some(78.0),
        ..Settings::default()
    };
    let heavy = sample("bad-heavy", &typed);
    let (level, text) = heard(&heavy, "mass-typed").unwrap();
    assert!(level == "stop" && text.contains("13 % more"), "{text}");
    let names = ["bad-jitter", "bad-heavy", "bad-target", "bad-gap"];
    let masses = names.map(|name| sample(name, &Settings::default()).mass_kg.map(|m| m.0));
    let notes = quality::between_recordings(&masses);
    assert_eq!(notes.len(), 1, "{notes:?}");
    let (index, note) = &notes[0];
    assert_eq!(
        (*index, note.code, note.level.name()),
        (1, "mass-differs", "stop")
    );
}

pub fn good(swing: &Swing) -> Recording {
    record(swing, &bay(), 7)
}

pub fn plate_times(plate: &mut Plate, factor: f64, at: std::ops::Range<usize>) {
    let mut series = vec![&mut plate.fz_n, &mut plate.mx_nm, &mut plate.my_nm];
    if let Some(shear) = &mut plate.shear {
        series.extend([&mut shear.fx_n, &mut shear.fy_n, &mut shear.mz_nm]);
    }
    for values in series {
        values[at.clone()].iter_mut().for_each(|v| *v *= factor);
    }
}

pub fn level_of(recording: Recording, settings: &Settings, code: &str) -> Option<&'static str> {
    let analysis = analysed(recording, settings);
    heard(&analysis, code).map(|(level, _)| level)
}

/// A typed mass against the plates: silent within 2 %, a note within 3 %, a warning beyond, a stop beyond 10 %.
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
    assert_eq!(said(78.0 * 1.015), None);
    assert_eq!(said(78.0 * 1.025).unwrap().0, "note");
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

/// The target direction is held against the feet, for either hand and whichever way it is off.
#[test]
fn a_wrong_target_direction_is_heard() {
    use footing_core::frame::Handed;
    for handed in [Handed::Right, Handed::Left] {
        let swing = Swing {
            handed,
            stance_angle_deg: 0.0,
            ..Swing::default()
        };
        for (off_deg, expected) in [
            (0.0, None),
            (15.0, None),
            (-15.0, None),
            (37.0, Some("warn")),
            (-37.0, Some("warn")),
            (60.0, Some("stop")),
        ] {
            let settings = Settings {
                handed,
                target_azimuth_deg: Some(off_deg),
                ..Settings::default()
            };
            let analysis = analysed(good(&swing), &settings);
            let found = heard(&analysis, "target-direction");
            assert_eq!(found.map(|f| f.0), expected, "{handed:?} {off_deg}");
            if let Some((_, text)) = found {
                let set = footing_core::printed::fixed(off_deg, 0);
                assert!(
                    text.contains(&format!("{:.0}° off the target line", f64::abs(off_deg)))
                        && text
                            .contains(&format!("it is {set}°, and along the feet it would be 0°")),
                    "{text}"
                );
            }
        }
    }
}

/// Noise that drowns a takeaway is told, a good laboratory's is not.
#[test]
fn noise_is_heard() {
    let swing = Swing::default();
    let level = |noise_n: f64| {
        let bay = Bay {
            force_noise_n: noise_n,
            moment_noise_nm: noise_n / 20.0,
            ..Bay::default()
        };
        level_of(record(&swing, &bay, 5), &Settings::default(), "noisy")
    };
    assert_eq!(level(0.6), None);
    assert_eq!(level(3.0), None);
    assert_eq!(level(8.0), Some("warn"));
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
