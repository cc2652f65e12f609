//! `footing inspect`.

use std::fmt::Display;
use std::io::{self, Write};

use footing_app::formats::Problem;
use footing_app::formats::rig::Rig;
use footing_app::inspection::{Inspection, PlateInspection, inspect};
use footing_app::view::number::fixed;

use crate::args::InspectArgs;
use crate::files::{self, Input};
use crate::measure::in_file;
use crate::notes::sentence;
use crate::text::{number, one_line, section};

/// Inspects every file; refused ones are handed to `refuse`, the others are printed.
///
/// # Errors
/// When `out` cannot be written.
pub fn run(
    args: &InspectArgs,
    out: &mut impl Write,
    refuse: &mut impl FnMut(&dyn Display),
) -> io::Result<()> {
    let mut inspected = Vec::new();
    let mut asked = args.files.len();
    match files::inputs(&args.files, args.rig.as_deref()) {
        Ok(inputs) => {
            asked = inputs.recordings.len();
            for input in &inputs.recordings {
                match look(input, inputs.rig.as_ref()) {
                    Ok(one) => inspected.push(one),
                    Err(problem) => refuse(&problem),
                }
            }
        }
        Err(problem) => refuse(&problem),
    }
    if !args.json {
        let blocks: Vec<String> = inspected.iter().map(words).collect();
        return write!(out, "{}", blocks.join("\n"));
    }
    let documents: Vec<InspectionOut> = inspected.iter().map(InspectionOut::new).collect();
    match (asked, documents.as_slice()) {
        (1, []) => Ok(()),
        (1, [one]) => {
            serde_json::to_writer_pretty(&mut *out, one)?;
            writeln!(out)
        }
        _ => {
            serde_json::to_writer_pretty(&mut *out, &documents)?;
            writeln!(out)
        }
    }
}

fn look(input: &Input, rig: Option<&Rig>) -> Result<Inspection, Problem> {
    let Input { typed, name, .. } = input;
    let inspected = input.bytes().and_then(|bytes| inspect(name, &bytes, rig));
    inspected.map_err(|problem| in_file(problem, name, typed))
}

#[derive(serde::Serialize)]
struct InspectionOut<'a> {
    file: &'a str,
    format: &'a str,
    rate_hz: f64,
    samples: usize,
    duration_s: f64,
    quiet_fz_n: Option<f64>,
    plates: Vec<PlateOut<'a>>,
    combined: CombinedOut,
    events: Vec<MarkOut<'a>>,
    notes: Vec<NoteOut<'a>>,
}

#[derive(serde::Serialize)]
struct NoteOut<'a> {
    code: &'a str,
    level: &'a str,
    text: &'a str,
}

#[derive(serde::Serialize)]
struct PlateOut<'a> {
    label: &'a str,
    kind: &'static str,
    peak_fz_n: f64,
    cop_at_peak_fz_mm: Option<[f64; 2]>,
    free_moment_nm: Option<[f64; 2]>,
    corners_mm: Option<[[f64; 3]; 4]>,
}

#[derive(serde::Serialize)]
struct CombinedOut {
    peak_fz_n: f64,
    torque_about_combined_cop_nm: Option<[f64; 2]>,
    impulse_ns: [Option<f64>; 3],
}

#[derive(serde::Serialize)]
struct MarkOut<'a> {
    label: &'a str,
    t_s: f64,
    event: Option<&'static str>,
}

impl<'a> InspectionOut<'a> {
    fn new(inspection: &'a Inspection) -> Self {
        Self {
            file: &inspection.file,
            format: &inspection.format,
            rate_hz: inspection.rate_hz,
            samples: inspection.samples,
            duration_s: inspection.duration_s,
            quiet_fz_n: inspection.quiet_fz_n,
            plates: inspection
                .plates
                .iter()
                .map(|p| PlateOut {
                    label: &p.label,
                    kind: p.kind,
                    peak_fz_n: p.peak_fz_n,
                    cop_at_peak_fz_mm: p.cop_at_peak_fz_mm,
                    free_moment_nm: p.free_moment_nm,
                    corners_mm: p.corners_mm,
                })
                .collect(),
            combined: CombinedOut {
                peak_fz_n: inspection.combined.peak_fz_n,
                torque_about_combined_cop_nm: inspection.combined.torque_about_combined_cop_nm,
                impulse_ns: inspection.combined.impulse_ns,
            },
            events: inspection
                .events
                .iter()
                .map(|(label, t_s, event)| MarkOut {
                    label,
                    t_s: *t_s,
                    event: *event,
                })
                .collect(),
            notes: inspection
                .notes
                .iter()
                .map(|n| NoteOut {
                    code: n.code,
                    level: n.level.name(),
                    text: &n.text,
                })
                .collect(),
        }
    }
}

fn range(values: Option<[f64; 2]>, unit: &str) -> String {
    values.map_or_else(
        || "absent".to_owned(),
        |[low, high]| format!("{} … {} {unit}", number(low), number(high)),
    )
}

fn plate_row(plate: &PlateInspection) -> Vec<String> {
    vec![
        one_line(&plate.label),
        plate.kind.to_owned(),
        format!("peak {} N", number(plate.peak_fz_n)),
        plate.cop_at_peak_fz_mm.map_or_else(
            || "centre of pressure there absent".to_owned(),
            |[x, y]| {
                format!(
                    "centre of pressure there x {} mm, y {} mm",
                    number(x),
                    number(y)
                )
            },
        ),
        format!("free moment {}", range(plate.free_moment_nm, "N·m")),
    ]
}

fn words(inspection: &Inspection) -> String {
    let combined = &inspection.combined;
    let quiet = inspection.quiet_fz_n.map_or_else(
        || "nobody stands still".to_owned(),
        |n| format!("quiet stance {} N", number(n)),
    );
    let mut out = format!(
        "{} — {}\n  {} Hz, {} samples, {:.3} s, {quiet}\n",
        one_line(&inspection.file),
        one_line(&inspection.format),
        inspection.rate_hz,
        inspection.samples,
        inspection.duration_s,
    );
    let plates: Vec<Vec<String>> = inspection.plates.iter().map(plate_row).collect();
    section(
        &mut out,
        "Plates (lab frame, z up, ground on player, no filter)",
        &plates,
    );
    let impulse = combined
        .impulse_ns
        .map(|j| j.map_or_else(|| "absent".to_owned(), number));
    let together = [
        vec![
            "peak".to_owned(),
            format!("{} N", number(combined.peak_fz_n)),
        ],
        vec![
            "torque about the combined centre of pressure".to_owned(),
            range(combined.torque_about_combined_cop_nm, "N·m"),
        ],
        vec![
            "impulse x, y, z".to_owned(),
            format!("{} N·s", impulse.join(", ")),
        ],
    ];
    section(&mut out, "Together", &together);
    let events: Vec<Vec<String>> = inspection
        .events
        .iter()
        .map(|(label, t, event)| {
            vec![
                one_line(label),
                format!("{} s", fixed(*t, 3)),
                event.unwrap_or("not an event of a swing").to_owned(),
            ]
        })
        .collect();
    section(&mut out, "Events in the file", &events);
    let notes: Vec<Vec<String>> = inspection
        .notes
        .iter()
        .map(|n| vec![n.level.name().to_owned(), sentence(&n.text)])
        .collect();
    section(&mut out, "Notes", &notes);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use footing_app::inspection::Combined;
    use serde_json::json;

    fn example() -> Inspection {
        Inspection {
            file: "jump.c3d".to_owned(),
            format: "C3D, Intel, float".to_owned(),
            rate_hz: 2000.0,
            samples: 4000,
            duration_s: 1.9995,
            quiet_fz_n: Some(753.43),
            plates: vec![PlateInspection {
                label: "plate 1".to_owned(),
                kind: "six-component",
                peak_fz_n: 6281.581,
                cop_at_peak_fz_mm: Some([300.32, 502.0]),
                free_moment_nm: Some([-63.9571, 30.1119]),
                corners_mm: None,
            }],
            combined: Combined {
                peak_fz_n: 6281.0,
                torque_about_combined_cop_nm: None,
                impulse_ns: [None, None, Some(6026.133)],
            },
            events: vec![
                ("IMPACT".to_owned(), 1.25, Some("impact")),
                ("CALL".to_owned(), -0.5, None),
            ],
            notes: vec![],
        }
    }

    #[test]
    fn the_promised_fields() {
        let value = serde_json::to_value(InspectionOut::new(&example())).unwrap();
        assert_eq!(
            value,
            json!({
                "file": "jump.c3d", "format": "C3D, Intel, float", "rate_hz": 2000.0,
                "samples": 4000, "duration_s": 1.9995, "quiet_fz_n": 753.43,
                "plates": [{
                    "label": "plate 1", "kind": "six-component", "peak_fz_n": 6281.581,
                    "cop_at_peak_fz_mm": [300.32, 502.0], "free_moment_nm": [-63.9571, 30.1119],
                    "corners_mm": null
                }],
                "combined": {
                    "peak_fz_n": 6281.0, "torque_about_combined_cop_nm": null,
                    "impulse_ns": [null, null, 6026.133]
                },
                "events": [
                    {"label": "IMPACT", "t_s": 1.25, "event": "impact"},
                    {"label": "CALL", "t_s": -0.5, "event": null}
                ],
                "notes": []
            })
        );
    }

    #[test]
    fn words_carry_units() {
        let text = words(&example());
        for part in [
            "jump.c3d — C3D, Intel, float\n  2000 Hz, 4000 samples, 2.000 s, quiet stance 753.4 N\n",
            "peak 6281.6 N  centre of pressure there x 300.3 mm, y 502.0 mm  free moment −63.96 … 30.11 N·m",
            "torque about the combined centre of pressure  absent",
            "impulse x, y, z                               absent, absent, 6026.1 N·s",
            "IMPACT  1.250 s   impact",
            "CALL    −0.500 s  not an event of a swing",
        ] {
            assert!(text.contains(part), "{part:?} not in\n{text}");
        }
    }
}
