//! Named sets of files: recordings, the rig that explains them, and their truth.

use footing_core::recording::PlateKind;
use serde_json::{Map, Value, json};

use crate::bad;
use crate::bad_moves;
use crate::bay::{Bay, sample};
use crate::c3d_out::{C3dStyle, c3d};
use crate::csv_out::{MM, N, N_M, S, TableStyle, TableUnits, pretty, rig, table};
use crate::players::{Side, driver_right, harbour_range};
use crate::session::three_swings;
use crate::swing::Swing;
use crate::truth::{About, Events, truth};

/// A file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutFile {
    /// Its name, without a folder.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl OutFile {
    /// A file of this name and content.
    pub fn new(name: impl Into<String>, content: impl Into<Vec<u8>>) -> Self {
        Self {
            name: name.into(),
            bytes: content.into(),
        }
    }
}

/// Names [`scenario`] knows.
pub fn scenario_names() -> Vec<&'static str> {
    let mut names = vec!["harbour-range", "driver-right", "vertical-only"];
    names.extend(bad::FAULTS.iter().map(|fault| fault.name));
    names.extend(bad_moves::NAMES);
    names.push("three-swings");
    names.push("bench");
    names
}

/// The files of a scenario; the same name and seed always give the same bytes. `None` when the
/// name is not one of [`scenario_names`].
pub fn scenario(name: &str, seed: u64) -> Option<Vec<OutFile>> {
    Some(match name {
        "harbour-range" => harbour(seed),
        "driver-right" => driver(seed),
        "vertical-only" => vertical(seed),
        "three-swings" => long(seed),
        "bench" => bench(seed),
        other if bad_moves::NAMES.contains(&other) => bad_moves::files(other, seed)?,
        other => {
            let fault = bad::FAULTS.iter().find(|fault| fault.name == other)?;
            bad::files(fault, seed)
        }
    })
}

/// Plates with the noise of a good laboratory.
pub fn with_noise(mut bay: Bay, rate_hz: f64) -> Bay {
    bay.rate_hz = rate_hz;
    bay.force_noise_n = 0.6;
    bay.moment_noise_nm = 0.05;
    bay
}

/// A truth file: events on the recording's clock and every measure about all three axes, to six
/// decimals.
pub fn truth_file(recordings: &[&str], swing: &Swing, bay: &Bay, more: Value) -> String {
    let six = |value: f64| json!((value * 1e6).round() / 1e6 + 0.0);
    let events = Events::of(swing).later(bay.swing_start_s());
    let measures: Map<String, Value> = About::ALL
        .into_iter()
        .map(|about| {
            let found: Map<String, Value> = truth(swing, about)
                .measures
                .into_iter()
                .map(|(id, value)| (id, six(value)))
                .collect();
            (about.name().to_string(), Value::Object(found))
        })
        .collect();
    let mut file = json!({
        "format": "footing-truth/1",
        "files": recordings,
        "handed": swing.handed.name(),
        "events": {
            "address_s": six(events.address_s),
            "takeaway_s": six(events.takeaway_s),
            "arm_level_s": six(events.arm_level_s),
            "top_s": six(events.top_s),
            "transition_s": six(events.transition_s),
            "impact_s": six(events.impact_s),
            "finish_s": six(events.finish_s),
        },
        "measures": measures,
    });
    if let (Some(file), Value::Object(more)) = (file.as_object_mut(), more) {
        file.extend(more);
    }
    pretty(&file)
}

/// The events a camera system would write into a C3D file.
fn event_list(swing: &Swing, bay: &Bay) -> Vec<(String, f64)> {
    let events = Events::of(swing).later(bay.swing_start_s());
    vec![
        ("Takeaway".to_string(), events.takeaway_s),
        ("Top".to_string(), events.top_s),
        ("Impact".to_string(), events.impact_s),
    ]
}

/// K-07 before and after the rehearsal: twelve swings as tables (500 Hz, six-component plates,
/// trigger at impact) with one rig file, and the same swings as C3D (250 Hz, type 2, integers,
/// events).
fn harbour(seed: u64) -> Vec<OutFile> {
    let mut table_bay = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 90.0, 0.0, true).moved((1.2, 0.6)),
        500.0,
    );
    table_bay.impact_mark = true;
    let c3d_bay = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, false).moved((0.27, 0.3)),
        250.0,
    );
    let style = TableStyle::default();
    let mut files = vec![OutFile::new(
        "harbour-range.rig.json",
        rig("Harbour Range, bay 1", &table_bay, &style),
    )];
    let mut sets = Vec::new();
    for (side, set, label) in [(Side::Before, "A", "before"), (Side::After, "B", "after")] {
        let mut names = Vec::new();
        for (index, swing) in harbour_range(side, seed).iter().enumerate() {
            let stem = format!("harbour-range-{label}-{}", index + 1);
            let noise = noise_seed(seed, set, index);
            let csv_name = format!("{stem}.csv");
            let c3d_name = format!("{stem}.c3d");
            files.push(OutFile::new(
                csv_name.clone(),
                table(&table_bay, &sample(swing, &table_bay, noise), &style),
            ));
            files.push(OutFile::new(
                c3d_name.clone(),
                c3d(
                    &c3d_bay,
                    &sample(swing, &c3d_bay, noise),
                    &C3dStyle {
                        point_rate_hz: 50.0,
                        events: event_list(swing, &c3d_bay),
                        ..C3dStyle::default()
                    },
                ),
            ));
            files.push(OutFile::new(
                format!("{stem}.truth.json"),
                truth_file(
                    &[&csv_name, &c3d_name],
                    swing,
                    &table_bay,
                    json!({ "scenario": "harbour-range", "seed": seed, "set": set, "label": label }),
                ),
            ));
            names.push(c3d_name);
        }
        sets.push(json!({ "set": set, "label": label, "files": names }));
    }
    files.push(OutFile::new(
        "index.json",
        pretty(&json!({
            "format": "footing-samples/1",
            "player": {
                "name": "K-07", "handed": "left", "mass_kg": 74, "club": "7-iron",
                "place": "Harbour Range",
            },
            "target_azimuth_deg": 0,
            "sets": sets,
        })),
    ));
    files
}

/// A seed of its own for each recording's noise.
fn noise_seed(seed: u64, set: &str, index: usize) -> u64 {
    let set = u64::from(set.bytes().next().unwrap_or(0));
    seed.wrapping_mul(1_000_003)
        .wrapping_add(1000 * set)
        .wrapping_add(index as u64)
}

/// Three driver swings of a right-handed player: force and centre of pressure in millimetres,
/// semicolons and decimal commas, one rig file; the first also as C3D from eight-channel plates.
fn driver(seed: u64) -> Vec<OutFile> {
    let mut bay = with_noise(
        Bay::two_plates(PlateKind::ForceCop, 0.0, 90.0, true).moved((-0.8, 2.1)),
        500.0,
    );
    bay.impact_mark = true;
    let style = TableStyle {
        delimiter: ';',
        decimal_comma: true,
        unit_row: true,
        units: TableUnits {
            force: N,
            moment: N_M,
            length: MM,
            time: S,
        },
        ..TableStyle::default()
    };
    let eight = with_noise(
        Bay::two_plates(PlateKind::EightChannel, 0.0, 180.0, false),
        250.0,
    );
    let mut files = vec![OutFile::new(
        "driver-right.rig.json",
        rig("Driver bay, force and centre of pressure", &bay, &style),
    )];
    for (index, swing) in driver_right(seed).iter().enumerate() {
        let stem = format!("driver-right-{}", index + 1);
        let noise = noise_seed(seed, "D", index);
        let mut names = vec![format!("{stem}.csv")];
        files.push(OutFile::new(
            names[0].clone(),
            table(&bay, &sample(swing, &bay, noise), &style),
        ));
        if index == 0 {
            names.push(format!("{stem}.c3d"));
            files.push(OutFile::new(
                names[1].clone(),
                c3d(
                    &eight,
                    &sample(swing, &eight, noise),
                    &C3dStyle {
                        point_rate_hz: 50.0,
                        events: event_list(swing, &eight),
                        ..C3dStyle::default()
                    },
                ),
            ));
        }
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        files.push(OutFile::new(
            format!("{stem}.truth.json"),
            truth_file(
                &names,
                swing,
                &bay,
                json!({ "scenario": "driver-right", "seed": seed }),
            ),
        ));
    }
    files
}

/// One swing on plates that measure vertical force and centre of pressure only: no torque.
fn vertical(seed: u64) -> Vec<OutFile> {
    let swing = &driver_right(seed)[0];
    let bay = with_noise(
        Bay::two_plates(PlateKind::VerticalCop, 0.0, 0.0, true),
        500.0,
    );
    let style = TableStyle::default();
    vec![
        OutFile::new(
            "vertical-only.rig.json",
            rig("Vertical force and centre of pressure only", &bay, &style),
        ),
        OutFile::new(
            "vertical-only.csv",
            table(&bay, &sample(swing, &bay, noise_seed(seed, "V", 0)), &style),
        ),
        OutFile::new(
            "vertical-only.truth.json",
            truth_file(
                &["vertical-only.csv"],
                swing,
                &bay,
                json!({
                    "scenario": "vertical-only",
                    "seed": seed,
                    "note": "shear was there but these plates did not measure it: from the file, torque, impulse and shear measures must be absent",
                }),
            ),
        ),
    ]
}

/// One long recording of a right-handed player: three driver swings with two waggles and a practice
/// half move between them, as C3D (250 Hz, type 2, integers, no events).
fn long(seed: u64) -> Vec<OutFile> {
    let Ok(swings) = <[Swing; 3]>::try_from(driver_right(seed)) else {
        unreachable!("driver_right makes three swings");
    };
    let session = three_swings(swings);
    let bay = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, false),
        250.0,
    );
    let six = |value: f64| json!((value * 1e6).round() / 1e6 + 0.0);
    let movements: Vec<Value> = session
        .events()
        .into_iter()
        .map(|(movement, events)| {
            json!({
                "what": movement.name(),
                "takeaway_s": six(events.takeaway_s),
                "top_s": six(events.top_s),
                "transition_s": six(events.transition_s),
                "impact_s": six(events.impact_s),
                "finish_s": six(events.finish_s),
            })
        })
        .collect();
    vec![
        OutFile::new(
            "three-swings.c3d",
            c3d(
                &bay,
                &session.sample(&bay, noise_seed(seed, "L", 0)),
                &C3dStyle {
                    point_rate_hz: 50.0,
                    ..C3dStyle::default()
                },
            ),
        ),
        OutFile::new(
            "three-swings.movements.json",
            pretty(&json!({
                "format": "footing-movements/1",
                "files": ["three-swings.c3d"],
                "handed": "right",
                "scenario": "three-swings",
                "seed": seed,
                "movements": movements,
            })),
        ),
    ]
}

/// One long recording for timing: 10 s at 1000 Hz.
fn bench(seed: u64) -> Vec<OutFile> {
    let mut swing = harbour_range(Side::After, seed).remove(0);
    swing.quiet_s = 5.0;
    swing.still_s = 9.999 - swing.finish_s();
    let mut bay = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, true),
        1000.0,
    );
    bay.impact_mark = true;
    let style = TableStyle {
        decimals: 4,
        ..TableStyle::default()
    };
    vec![
        OutFile::new("bench.rig.json", rig("Bench", &bay, &style)),
        OutFile::new(
            "bench.csv",
            table(
                &bay,
                &sample(&swing, &bay, noise_seed(seed, "T", 0)),
                &style,
            ),
        ),
        OutFile::new(
            "bench.truth.json",
            truth_file(
                &["bench.csv"],
                &swing,
                &bay,
                json!({ "scenario": "bench", "seed": seed }),
            ),
        ),
    ]
}
