//! Tables of text with the rig file that explains them.

use footing_core::recording::{FootRole, ForceSense};
use serde_json::{Value, json};

use crate::bay::{Bay, Channels, channel_names, first_sample_from};

/// Units of a table. Each name is the one rig files use; the factor is SI per unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableUnits {
    /// Force.
    pub force: Unit,
    /// Moment.
    pub moment: Unit,
    /// Centre of pressure.
    pub length: Unit,
    /// Time.
    pub time: Unit,
}

/// One unit of measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Its name in a rig file.
    pub name: &'static str,
    /// SI per unit.
    pub si: f64,
    /// Decimals needed beyond those of the SI unit for the same resolution.
    pub more_decimals: i32,
}

const fn unit(name: &'static str, si: f64, more_decimals: i32) -> Unit {
    Unit {
        name,
        si,
        more_decimals,
    }
}

/// Newton.
pub const N: Unit = unit("N", 1.0, 0);
/// Kilonewton.
pub const KN: Unit = unit("kN", 1000.0, 3);
/// Pound-force (NIST SP 811, exact).
pub const LBF: Unit = unit("lbf", 4.448_221_615_260_5, 1);
/// Kilogram-force.
pub const KGF: Unit = unit("kgf", 9.806_65, 1);
/// Newton metre.
pub const N_M: Unit = unit("N.m", 1.0, 0);
/// Newton millimetre.
pub const N_MM: Unit = unit("N.mm", 0.001, -3);
/// Pound-force foot: lbf × 0.3048 m.
pub const LBF_FT: Unit = unit("lbf.ft", 4.448_221_615_260_5 * 0.3048, 1);
/// Metre.
pub const M: Unit = unit("m", 1.0, 0);
/// Centimetre.
pub const CM: Unit = unit("cm", 0.01, -2);
/// Millimetre.
pub const MM: Unit = unit("mm", 0.001, -3);
/// Inch.
pub const INCH: Unit = unit("in", 0.0254, -1);
/// Second.
pub const S: Unit = unit("s", 1.0, 0);
/// Millisecond.
pub const MS: Unit = unit("ms", 0.001, -3);

impl TableUnits {
    /// N, N·m, m, s.
    pub const SI: Self = Self {
        force: N,
        moment: N_M,
        length: M,
        time: S,
    };
}

/// How a table is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableStyle {
    /// Between columns.
    pub delimiter: char,
    /// Decimal comma instead of point.
    pub decimal_comma: bool,
    /// Units of the numbers.
    pub units: TableUnits,
    /// A second line with the units under the names.
    pub unit_row: bool,
    /// Line end of the old world.
    pub crlf: bool,
    /// Decimals of a force in newtons; moments get one more, lengths (m) and times (s) four more.
    pub decimals: i32,
}

impl Default for TableStyle {
    fn default() -> Self {
        Self {
            delimiter: ',',
            decimal_comma: false,
            units: TableUnits::SI,
            unit_row: false,
            crlf: false,
            decimals: 1,
        }
    }
}

/// Which unit a channel is in, and decimals beyond those of a force.
fn unit_of(channel: &str, units: TableUnits) -> (Unit, i32) {
    match channel {
        "cop_x" | "cop_y" => (units.length, 4),
        "mx" | "my" | "mz" | "tz" => (units.moment, 1),
        _ => (units.force, 0),
    }
}

/// The header text of a channel of plate `number` (from 1).
pub fn column_name(channel: &str, number: usize) -> String {
    let text = match channel {
        "cop_x" => "Cx".to_string(),
        "cop_y" => "Cy".to_string(),
        other => {
            let (first, rest) = other.split_at(1);
            format!("{}{rest}", first.to_uppercase())
        }
    };
    if text.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{text}_{number}")
    } else {
        format!("{text}{number}")
    }
}

/// Fixed decimals, no negative zero.
fn number(value: f64, decimals: i32, comma: bool) -> String {
    let decimals = usize::try_from(decimals).unwrap_or(0);
    let mut text = format!("{value:.decimals$}");
    if text.starts_with('-') && text.chars().all(|c| matches!(c, '-' | '0' | '.')) {
        text.remove(0);
    }
    if comma { text.replace('.', ",") } else { text }
}

/// The table, header first: time, every channel of every plate, and a 0/5 V trigger column that
/// rises at the first sample at or after impact when the bay has an impact mark.
pub fn table(bay: &Bay, channels: &Channels, style: &TableStyle) -> String {
    let end = if style.crlf { "\r\n" } else { "\n" };
    let delimiter = style.delimiter.to_string();
    let time = style.units.time;
    let mut names = vec!["Time".to_string()];
    let mut unit_names = vec![time.name.to_string()];
    for (index, plate) in bay.plates.iter().enumerate() {
        for channel in channel_names(plate.kind) {
            names.push(column_name(channel, index + 1));
            unit_names.push(unit_of(channel, style.units).0.name.to_string());
        }
    }
    if bay.impact_mark {
        names.push("Trigger".to_string());
        unit_names.push("V".to_string());
    }
    let mut text = names.join(&delimiter) + end;
    if style.unit_row {
        text += &(unit_names.join(&delimiter) + end);
    }
    let trigger = first_sample_from(bay, channels.impact_s);
    let pulse = (0.02 * bay.rate_hz).ceil() as usize;
    for (i, t) in channels.t_s.iter().enumerate() {
        let mut cells = vec![number(
            t / time.si,
            style.decimals + 4 + time.more_decimals,
            style.decimal_comma,
        )];
        for (plate, stored) in bay.plates.iter().zip(&channels.plates) {
            for (channel, values) in channel_names(plate.kind).iter().zip(stored) {
                let (unit, more) = unit_of(channel, style.units);
                cells.push(number(
                    values[i] / unit.si,
                    style.decimals + more + unit.more_decimals,
                    style.decimal_comma,
                ));
            }
        }
        if bay.impact_mark {
            let on = (trigger..trigger + pulse).contains(&i);
            cells.push(if on { "5" } else { "0" }.to_string());
        }
        text += &(cells.join(&delimiter) + end);
    }
    text
}

/// The rig file for [`table`], pretty-printed JSON.
pub fn rig(name: &str, bay: &Bay, style: &TableStyle) -> String {
    let plates: Vec<Value> = bay
        .plates
        .iter()
        .enumerate()
        .map(|(index, plate)| {
            let columns: serde_json::Map<String, Value> = channel_names(plate.kind)
                .iter()
                .map(|channel| (channel.to_string(), json!(column_name(channel, index + 1))))
                .collect();
            let mut entry = json!({
                "foot": match plate.foot {
                    FootRole::Lead => "lead",
                    FootRole::Trail => "trail",
                    FootRole::Both | FootRole::Unassigned => "both",
                },
                "kind": plate.kind.name(),
                "columns": columns,
                "x_azimuth_deg": plate.x_azimuth_deg,
                "z_axis": if plate.z_up { "up" } else { "down" },
                "centre_m": [
                    rounded(plate.centre_m.x), rounded(plate.centre_m.y), rounded(plate.centre_m.z)
                ],
                "size_m": [plate.size_m.0, plate.size_m.1],
            });
            let point = plate.moment_point_m;
            match plate.kind.name() {
                "six-component" => entry["moment_point_m"] = json!([point.x, point.y, point.z]),
                "eight-channel" => {
                    entry["moment_point_m"] = json!([point.x, point.y, point.z]);
                    entry["sensor_offset_m"] =
                        json!([plate.sensor_offset_m.0, plate.sensor_offset_m.1]);
                }
                _ => {}
            }
            entry
        })
        .collect();
    let markers = if bay.impact_mark {
        json!([{ "column": "Trigger", "event": "impact", "edge": "rising", "level": 2.5 }])
    } else {
        json!([])
    };
    let rig = json!({
        "format": "footing-rig/1",
        "name": name,
        "target_azimuth_deg": bay.target_azimuth_deg,
        "force_sense": match bay.declared_sense {
            ForceSense::OnPlayer => "on-player",
            ForceSense::OnPlate => "on-plate",
            ForceSense::Auto => "auto",
        },
        "units": {
            "force": style.units.force.name,
            "moment": style.units.moment.name,
            "length": style.units.length.name,
            "time": style.units.time.name,
        },
        "time": { "column": "Time" },
        "markers": markers,
        "plates": plates,
    });
    pretty(&rig)
}

/// A tenth of a micrometre: hides the last bits of a turned position.
fn rounded(value: f64) -> f64 {
    (value * 1e7).round() / 1e7 + 0.0
}

/// JSON with a final line end.
pub fn pretty(value: &Value) -> String {
    // A `Value` has string keys and finite numbers only: it always prints.
    format!("{value:#}\n")
}
