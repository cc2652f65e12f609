//! Recordings with one fault each, as they come from real laboratories.

use footing_core::recording::{FootRole, PlateKind};
use serde_json::json;

use crate::bay::{Bay, Channels, sample};
use crate::csv_out::{N_MM, TableStyle, TableUnits, rig, table};
use crate::scenario::{OutFile, truth_file, with_noise};
use crate::swing::Swing;

/// A fault and what it is.
pub struct Fault {
    /// Scenario and file name.
    pub name: &'static str,
    /// What is wrong with the file, in words.
    pub what: &'static str,
    kind: Kind,
}

enum Kind {
    Truncated,
    MissingColumn,
    TimeBackwards,
    NotANumber,
    SwappedPlates,
    SwappedFeet,
    NotZeroed,
    Saturated,
    Gap,
    UnitSlip,
}

/// Every fault there is a sample of.
pub const FAULTS: [Fault; 10] = [
    Fault {
        name: "bad-truncated",
        what: "the file ends in the middle of line 449",
        kind: Kind::Truncated,
    },
    Fault {
        name: "bad-missing-column",
        what: "the column Mz2, which the rig file names, is missing",
        kind: Kind::MissingColumn,
    },
    Fault {
        name: "bad-time-backwards",
        what: "from line 302 on, time has jumped back by half a second",
        kind: Kind::TimeBackwards,
    },
    Fault {
        name: "bad-not-a-number",
        what: "line 250 holds the text OVER in column Fy1",
        kind: Kind::NotANumber,
    },
    Fault {
        name: "bad-swapped-plates",
        what: "the two plates' cables are exchanged: lead columns hold the trail foot",
        kind: Kind::SwappedPlates,
    },
    Fault {
        name: "bad-swapped-feet",
        what: "the rig file gives the lead foot the plate further from the target",
        kind: Kind::SwappedFeet,
    },
    Fault {
        name: "bad-not-zeroed",
        what: "plate 1 was never zeroed: Fx reads 30 N, Fz 60 N and Mz 8 N·m too much",
        kind: Kind::NotZeroed,
    },
    Fault {
        name: "bad-saturated",
        what: "Fz1 is clipped at 80 % of its peak",
        kind: Kind::Saturated,
    },
    Fault {
        name: "bad-gap",
        what: "forty samples (0.2 s) are missing before line 302",
        kind: Kind::Gap,
    },
    Fault {
        name: "bad-unit-slip",
        what: "moments are in N·mm though the rig file says N·m",
        kind: Kind::UnitSlip,
    },
];

/// The files of one faulty recording: table, rig (the same for all faults
/// but that of the rig itself) and the truth of the
/// swing that was made.
pub fn files(fault: &Fault, seed: u64) -> Vec<OutFile> {
    let swing = Swing::default();
    let clean = with_noise(
        Bay::two_plates(PlateKind::SixComponent, 0.0, 0.0, true),
        200.0,
    );
    let style = TableStyle::default();
    let channels = sample(&swing, &clean, seed);
    let text = table(&clean, &channels, &style);
    let faulty = match fault.kind {
        Kind::Truncated => {
            let keep: usize = text.split_inclusive('\n').take(448).map(str::len).sum();
            text[..keep + 31].to_string()
        }
        Kind::MissingColumn => map_cells(&text, |_, cells| {
            cells.remove(12);
        }),
        Kind::TimeBackwards => map_cells(&text, |line, cells| {
            if line >= 302 {
                cells[0] = format!("{:.5}", (line - 2) as f64 / clean.rate_hz - 0.5);
            }
        }),
        Kind::NotANumber => map_cells(&text, |line, cells| {
            if line == 250 {
                cells[2] = "OVER".to_string();
            }
        }),
        Kind::SwappedPlates => {
            let mut exchanged = channels;
            exchanged.plates.swap(0, 1);
            table(&clean, &exchanged, &style)
        }
        Kind::NotZeroed => {
            let mut bay = clean.clone();
            bay.plates[0].offsets = [30.0, 0.0, 60.0, 0.0, 0.0, 8.0, 0.0, 0.0];
            table(&clean, &sample(&swing, &bay, seed), &style)
        }
        Kind::Saturated => table(&clean, &clipped(channels), &style),
        Kind::Gap => text
            .split_inclusive('\n')
            .enumerate()
            .filter(|(index, _)| !(301..341).contains(index))
            .map(|(_, line)| line)
            .collect(),
        // The table is sound; its rig file is not.
        Kind::SwappedFeet => text,
        Kind::UnitSlip => {
            let slipped = TableStyle {
                units: TableUnits {
                    moment: N_MM,
                    ..TableUnits::SI
                },
                ..style
            };
            table(&clean, &channels, &slipped)
        }
    };
    let mut said = clean.clone();
    let mut rig_name = "bad.rig.json".to_string();
    if matches!(fault.kind, Kind::SwappedFeet) {
        said.plates[0].foot = FootRole::Trail;
        said.plates[1].foot = FootRole::Lead;
        rig_name = format!("{}.rig.json", fault.name);
    }
    let csv_name = format!("{}.csv", fault.name);
    vec![
        OutFile::new(rig_name, rig("Bay of the bad samples", &said, &style)),
        OutFile::new(csv_name.clone(), faulty),
        OutFile::new(
            format!("{}.truth.json", fault.name),
            truth_file(
                &[&csv_name],
                &swing,
                &clean,
                json!({ "scenario": fault.name, "seed": seed, "fault": fault.what }),
            ),
        ),
    ]
}

/// Changes the cells of each line; lines are counted from 1, the header is line 1.
fn map_cells(text: &str, change: impl Fn(usize, &mut Vec<String>)) -> String {
    text.lines()
        .enumerate()
        .map(|(index, line)| {
            let mut cells: Vec<String> = line.split(',').map(str::to_string).collect();
            change(index + 1, &mut cells);
            cells.join(",") + "\n"
        })
        .collect()
}

fn clipped(mut channels: Channels) -> Channels {
    let fz = &mut channels.plates[0][2];
    let limit = 0.8 * fz.iter().fold(0.0_f64, |peak, v| peak.max(*v));
    for value in fz.iter_mut() {
        *value = value.min(limit);
    }
    channels
}
