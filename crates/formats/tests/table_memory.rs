//! Large tables keep the promise of memory that small ones cannot show: beside the 16 MB that are
//! free, inputs of half a megabyte say nothing of the factor.
//!
//! What the system holds for this process is asked for: a counting allocator would need unsafe code,
//! and the one of `tests/fuzz` sees small inputs only.
#![cfg(target_os = "linux")]

use footing_formats::rig::{self, Rig};
use footing_formats::table;
use std::fs;

/// Size of each table.
const BYTES: usize = 40 << 20;
/// What reading may take: this many times the size, and the slack.
const TIMES_SIZE: usize = 4;
const SLACK: usize = 16 << 20;

/// Two plates by number behind a column of time, or at a rate where there is none.
fn two_plates(timed: bool) -> Rig {
    let time = if timed {
        r##"{"column": "#1"}"##
    } else {
        r#"{"rate_hz": 1000}"#
    };
    let plate = |foot: &str, x: f64, first: usize| {
        let columns: Vec<String> = ["fx", "fy", "fz", "mx", "my", "mz"]
            .iter()
            .enumerate()
            .map(|(i, name)| format!(r##""{name}": "#{}""##, first + i))
            .collect();
        format!(
            r#"{{"foot": "{foot}", "kind": "six-component", "columns": {{{}}},
                "x_azimuth_deg": 0, "z_axis": "up", "centre_m": [{x}, 0, 0],
                "moment_point_m": [0, 0, 0]}}"#,
            columns.join(", ")
        )
    };
    let first = if timed { 2 } else { 1 };
    let text = format!(
        r#"{{"format": "footing-rig/1", "force_sense": "auto", "target_azimuth_deg": 0,
            "units": {{"force": "N", "moment": "N.m", "length": "m", "time": "s"}},
            "time": {time}, "plates": [{}, {}]}}"#,
        plate("lead", 0.3, first),
        plate("trail", -0.3, first + 6)
    );
    rig::parse("two.rig.json", text.as_bytes()).unwrap_or_else(|problem| panic!("{problem}"))
}

/// Rows until the table is as large as it should be.
fn table_of(row: impl Fn(usize, &mut String)) -> String {
    let mut text = String::with_capacity(BYTES + 4096);
    let mut i = 0;
    while text.len() < BYTES {
        row(i, &mut text);
        text.push('\n');
        i += 1;
    }
    text
}

/// A time and twelve channels with three decimals, as exporters write them.
fn customary(between: &str, mark: char) -> String {
    table_of(|i, text| {
        let mut row = format!("{}.{:03}", i / 1000, i % 1000);
        for channel in 0..12 {
            let value = (i * 7 + channel * 131) % 900_000;
            row += &format!("{between}{}.{:03}", value / 1000, value % 1000);
        }
        *text += &row.replace('.', &mark.to_string());
    })
}

/// Twelve digits: every two bytes of it become eight, and a time besides where the rig gives a rate:
/// 4⅓ times its size, the most a table can grow by, within the promise up to 48 MB. In an encoding
/// other than UTF-8, or between blanks, it takes its own size once more for the text made of it, within
/// the promise up to 12 MB only. Plates write no bare digits.
fn digits() -> String {
    table_of(|i, text| {
        for channel in 0..12 {
            if channel > 0 {
                text.push(',');
            }
            text.push(char::from(b'1' + ((i + channel) % 9) as u8));
        }
    })
}

/// A line of `/proc/self/status`, bytes: `VmRSS` is held now, `VmHWM` was held at the most.
fn held(what: &str) -> usize {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|line| line.starts_with(what)).unwrap();
    let kilobytes = line.split_whitespace().nth(1).unwrap();
    kilobytes.parse::<usize>().unwrap() << 10
}

fn read(what: &str, bytes: &[u8], timed: bool) {
    let wiring = two_plates(timed);
    // Proc(5): 5 sets the most held back to what is held.
    fs::write("/proc/self/clear_refs", "5").unwrap();
    let before = held("VmRSS");
    let loaded = table::read("large.csv", bytes, Some(&wiring));
    let peak = held("VmHWM").saturating_sub(before);
    let loaded = loaded.unwrap_or_else(|problem| panic!("{what}: {problem}"));
    let samples = loaded.recording.t_s.len();
    // Twelve channels and the time: what came out was held at the end, or nothing was measured.
    assert!(
        peak >= samples * 13 * 8,
        "{what}: {peak} bytes for {samples} samples"
    );
    let most = TIMES_SIZE * bytes.len() + SLACK;
    let size = bytes.len();
    assert!(
        peak <= most,
        "{what}: {peak} bytes for {size}, at most {most}"
    );
    println!("{what}: {:.2} times its size", peak as f64 / size as f64);
}

/// One test, one table after the other: what is held is the whole process's.
#[test]
fn tables_of_forty_megabytes_are_read_within_four_times_their_size() {
    read("comma", customary(",", '.').as_bytes(), true);
    read("aligned", customary("   ", '.').as_bytes(), true);
    let mut latin = b"T,Fx\xe91,b,c,d,e,f,g,h,i,j,k,l\n".to_vec();
    latin.extend(customary(",", '.').into_bytes());
    read("Windows-1252", &latin, true);
    drop(latin);
    read("digits", digits().as_bytes(), false);
}
