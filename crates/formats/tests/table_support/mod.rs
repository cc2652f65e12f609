//! Tables and rigs for tests: the same numbers written in many ways.
#![allow(dead_code, reason = "each test binary uses its own part of this")]

use footing_core::recording::Recording;
use footing_formats::rig::{self, Rig};
use footing_formats::{Level, Loaded, read};

/// The rig of the contract's example, for tables with the names of [`HEADERS`].
pub const RIG: &str = r##"{
  "format": "footing-rig/1",
  "name": "One plate",
  "target_azimuth_deg": 30,
  "force_sense": "auto",
  "units": { "force": "N", "moment": "N.m", "length": "m", "time": "s" },
  "time": { "column": "Time" },
  "markers": [ { "column": "Trigger", "event": "impact", "edge": "rising", "level": 2.5 } ],
  "plates": [
    { "foot": "lead", "kind": "six-component",
      "columns": { "fx": "Fx", "fy": "Fy", "fz": "Fz", "mx": "Mx", "my": "My", "mz": "Mz" },
      "x_azimuth_deg": 0, "z_axis": "up",
      "centre_m": [0.3, 0.0, 0.0], "moment_point_m": [0, 0, -0.04],
      "size_m": [0.4, 0.6] }
  ]
}"##;

pub const HEADERS: [&str; 8] = ["Time", "Fx", "Fy", "Fz", "Mx", "My", "Mz", "Trigger"];

pub fn rig() -> Rig {
    parse_rig(RIG)
}

pub fn parse_rig(text: &str) -> Rig {
    rig::parse("test.rig.json", text.as_bytes()).unwrap_or_else(|problem| panic!("{problem}"))
}

/// Forty samples at 1000 Hz; no two numbers alike, signs and magnitudes mixed.
pub fn rows() -> Vec<Vec<f64>> {
    (0..40)
        .map(|i| {
            let x = f64::from(i);
            vec![
                x / 1000.0,
                -31.25 + x * 0.5,
                12.75 - x,
                741.125 + x * 1.5,
                -0.0625 * x - 3.5,
                14.25 + 0.03125 * x,
                -2.5 + 0.25 * x,
                if i < 25 { 0.5 } else { 4.5 },
            ]
        })
        .collect()
}

/// Writes a table.
pub fn table(delimiter: &str, decimal: char, line_end: &str) -> String {
    let cell = |value: &f64| value.to_string().replace('.', &decimal.to_string());
    let mut text = HEADERS.join(delimiter) + line_end;
    for row in rows() {
        let cells: Vec<String> = row.iter().map(cell).collect();
        text += &(cells.join(delimiter) + line_end);
    }
    text
}

/// Reads a table that must be readable.
pub fn load(text: impl AsRef<[u8]>, rig: &Rig) -> Loaded {
    let loaded = read("t.csv", text.as_ref(), Some(rig));
    let loaded = loaded.unwrap_or_else(|problem| panic!("{problem}"));
    for note in &loaded.notes {
        // What a person should worry about comes with what to do about it.
        let remedies = [
            "check",
            "export it again",
            "give the rig",
            "correct",
            "wire",
            "save",
        ];
        let says = remedies.iter().any(|remedy| note.text.contains(remedy));
        assert!(says || note.level == Level::Note, "{}", note.text);
    }
    loaded
}

/// The sentence with which a table is refused.
pub fn refusal(text: impl AsRef<[u8]>, rig: &Rig) -> String {
    match read("t.csv", text.as_ref(), Some(rig)) {
        Ok(loaded) => panic!("read as {}", loaded.format),
        Err(problem) => problem.to_string(),
    }
}

/// The codes of the notes.
pub fn codes(loaded: &Loaded) -> Vec<&str> {
    loaded.notes.iter().map(|note| note.code).collect()
}

/// What every reader promises of a recording.
pub fn assert_invariants(recording: &Recording) {
    let samples = recording.t_s.len();
    assert!(samples >= 2 && !recording.plates.is_empty());
    assert!(recording.rate_hz.is_finite() && recording.rate_hz > 0.0);
    assert!(recording.t_s.windows(2).all(|pair| pair[0] < pair[1]));
    assert!(recording.t_s.iter().all(|t| t.is_finite()));
    for plate in &recording.plates {
        let mut series = vec![&plate.fz_n, &plate.mx_nm, &plate.my_nm];
        if let Some(shear) = &plate.shear {
            series.extend([&shear.fx_n, &shear.fy_n, &shear.mz_nm]);
        }
        for values in series {
            assert_eq!(values.len(), samples);
            assert!(values.iter().all(|value| value.is_finite()));
        }
    }
}
