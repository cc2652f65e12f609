//! The JSON of a rig file, and its checking into a [`Rig`].
//!
//! serde_json adds line and column to every error raised while a value is read, so the checks run
//! inside deserialisation: each plate is refused at its own place in the file. A check's message
//! is written as `what; expected …; try …` and taken apart again by [`problem`].

mod plate;

use super::{
    ColumnRef, Edge, ForceUnit, LengthUnit, Marker, MomentUnit, Rig, TimeSource, TimeUnit, Units,
};
use crate::Problem;
use footing_core::recording::{EventKind, ForceSense};
use plate::WirePlate;
use serde::{Deserialize, Serialize};
use serde_json::error::Category;

const FORMAT: &str = "footing-rig/1";
const HINT: &str = "correcting the rig file here";
/// No laboratory has more; a bound keeps hostile files small.
const MAX_PLATES: usize = 64;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireRig {
    format: WireFormat,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    target_azimuth_deg: Option<f64>,
    #[serde(default)]
    force_sense: Option<WireSense>,
    units: Option<WireUnits>,
    #[serde(skip_serializing_if = "Option::is_none")]
    time: Option<WireTime>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    markers: Vec<WireMarker>,
    plates: Vec<WirePlate>,
}

/// Only one version exists.
#[derive(Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
struct WireFormat;

impl TryFrom<String> for WireFormat {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        if text == FORMAT {
            Ok(Self)
        } else {
            Err(format!(
                "the rig file's format is \"{}\"; expected \"{FORMAT}\"; try a newer Footing, or \
                 writing the rig anew",
                short(&text)
            ))
        }
    }
}

impl From<WireFormat> for String {
    fn from(_: WireFormat) -> Self {
        FORMAT.to_owned()
    }
}

impl Clone for WireFormat {
    fn clone(&self) -> Self {
        Self
    }
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum WireSense {
    OnPlayer,
    OnPlate,
    Auto,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireUnits {
    force: Option<WireForce>,
    moment: Option<WireMoment>,
    length: Option<WireLength>,
    time: Option<WireTimeUnit>,
}

/// A unit at the rim: its name in the file, one of the listed ones.
macro_rules! wire_unit {
    ($wire:ident, $unit:ident, $what:literal) => {
        #[derive(Serialize, Deserialize, Clone)]
        #[serde(try_from = "String", into = "String")]
        struct $wire($unit);

        impl TryFrom<String> for $wire {
            type Error = String;
            fn try_from(text: String) -> Result<Self, String> {
                $unit::from_name(&text).map(Self).ok_or_else(|| {
                    let names: Vec<&str> = $unit::ALL.iter().map(|unit| unit.name()).collect();
                    format!(
                        concat!(
                            "\"{}\" is not a unit of ",
                            $what,
                            "; expected one of {}; try {}"
                        ),
                        short(&text),
                        names.join(", "),
                        HINT
                    )
                })
            }
        }

        impl From<$wire> for String {
            fn from(unit: $wire) -> Self {
                unit.0.name().to_owned()
            }
        }
    };
}

wire_unit!(WireForce, ForceUnit, "force");
wire_unit!(WireMoment, MomentUnit, "moment");
wire_unit!(WireLength, LengthUnit, "length");
wire_unit!(WireTimeUnit, TimeUnit, "time");

#[derive(Serialize, Deserialize, Clone)]
#[serde(try_from = "String", into = "String")]
struct WireColumn(ColumnRef);

impl TryFrom<String> for WireColumn {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        ColumnRef::parse(&text).map(Self).ok_or_else(|| {
            format!(
                "\"{}\" names no column; expected a header's text or a number from \"#1\"; try \
                 {HINT}",
                short(&text)
            )
        })
    }
}

impl From<WireColumn> for String {
    fn from(column: WireColumn) -> Self {
        column.0.to_string()
    }
}

#[derive(Serialize, Deserialize, Clone)]
#[serde(deny_unknown_fields)]
struct WireTimeKeys {
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<WireColumn>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rate_hz: Option<f64>,
}

#[derive(Serialize, Deserialize, Clone)]
#[serde(try_from = "WireTimeKeys", into = "WireTimeKeys")]
struct WireTime(TimeSource);

impl TryFrom<WireTimeKeys> for WireTime {
    type Error = String;
    fn try_from(keys: WireTimeKeys) -> Result<Self, String> {
        match (keys.column, keys.rate_hz) {
            (Some(column), None) => Ok(Self(TimeSource::Column(column.0))),
            (None, Some(rate_hz)) if rate_hz > 0.0 && rate_hz <= 1e6 => {
                Ok(Self(TimeSource::RateHz(rate_hz)))
            }
            (None, Some(rate_hz)) => Err(format!(
                "rate_hz is {rate_hz}; expected a rate above 0 and up to 1000000 Hz; try {HINT}"
            )),
            _ => Err(format!(
                "time must name its source once; expected either \"column\" or \"rate_hz\"; try \
                 {HINT}"
            )),
        }
    }
}

impl From<WireTime> for WireTimeKeys {
    fn from(time: WireTime) -> Self {
        match time.0 {
            TimeSource::Column(column) => Self {
                column: Some(WireColumn(column)),
                rate_hz: None,
            },
            TimeSource::RateHz(rate_hz) => Self {
                column: None,
                rate_hz: Some(rate_hz),
            },
        }
    }
}

#[derive(Serialize, Deserialize, Clone)]
#[serde(try_from = "String", into = "String")]
struct WireEvent(EventKind);

impl TryFrom<String> for WireEvent {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        EventKind::from_id(&text).map(Self).ok_or_else(|| {
            format!(
                "\"{}\" is not an event of a swing; expected one of {}; try {HINT}",
                short(&text),
                EventKind::ALL.map(EventKind::id).join(", ")
            )
        })
    }
}

impl From<WireEvent> for String {
    fn from(event: WireEvent) -> Self {
        event.0.id().to_owned()
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireMarker {
    column: WireColumn,
    event: WireEvent,
    #[serde(default)]
    edge: WireEdge,
    level: f64,
}

#[derive(Serialize, Deserialize, Clone, Copy, Default)]
#[serde(rename_all = "kebab-case")]
enum WireEdge {
    #[default]
    Rising,
    Falling,
}

/// Reads and checks the text of a rig file.
pub(super) fn read(name: &str, text: &str) -> Result<Rig, Problem> {
    if text.trim().is_empty() {
        return Err(Problem::new(
            name,
            "the rig file is empty",
            format!("a JSON object with \"format\": \"{FORMAT}\""),
            "saving the wiring again",
        ));
    }
    let wire: WireRig = serde_json::from_str(text).map_err(|error| problem(name, &error))?;
    if wire.plates.is_empty() || wire.plates.len() > MAX_PLATES {
        return Err(Problem::new(
            name,
            format!("the rig has {} plates", wire.plates.len()),
            format!("1 to {MAX_PLATES}"),
            "adding a plate under \"plates\"",
        ));
    }
    let mut assumed = Vec::new();
    let is_for_table = wire
        .plates
        .iter()
        .any(|plate| plate.plate.wiring.kind().is_some());
    if wire.units.is_none() && is_for_table {
        assumed.push("units: N, N.m, m, s".to_owned());
    }
    let units = units(wire.units, &mut assumed);
    for (index, plate) in wire.plates.iter().enumerate() {
        for what in &plate.assumed {
            assumed.push(format!("plate {}: {what}", index + 1));
        }
    }
    Ok(Rig {
        name: wire.name,
        target_azimuth_deg: wire.target_azimuth_deg,
        force_sense: match wire.force_sense {
            Some(WireSense::OnPlayer) => ForceSense::OnPlayer,
            Some(WireSense::OnPlate) => ForceSense::OnPlate,
            Some(WireSense::Auto) | None => ForceSense::Auto,
        },
        units,
        time: wire.time.map(|time| time.0),
        markers: wire
            .markers
            .into_iter()
            .map(|marker| Marker {
                column: marker.column.0,
                event: marker.event.0,
                edge: match marker.edge {
                    WireEdge::Rising => Edge::Rising,
                    WireEdge::Falling => Edge::Falling,
                },
                level: marker.level,
            })
            .collect(),
        plates: wire.plates.into_iter().map(|plate| plate.plate).collect(),
        assumed,
    })
}

fn units(wire: Option<WireUnits>, assumed: &mut Vec<String>) -> Units {
    let mut units = Units::SI;
    let Some(wire) = wire else {
        return units;
    };
    let mut missing = |given: bool, what: &str| {
        if !given {
            assumed.push(format!("units: {what}"));
        }
    };
    missing(wire.force.is_some(), "force N");
    missing(wire.moment.is_some(), "moment N.m");
    missing(wire.length.is_some(), "length m");
    missing(wire.time.is_some(), "time s");
    units.force = wire.force.map_or(units.force, |unit| unit.0);
    units.moment = wire.moment.map_or(units.moment, |unit| unit.0);
    units.length = wire.length.map_or(units.length, |unit| unit.0);
    units.time = wire.time.map_or(units.time, |unit| unit.0);
    units
}

/// Writes a rig as indented JSON.
pub(super) fn write(rig: &Rig) -> String {
    let wire = WireRig {
        format: WireFormat,
        name: rig.name.clone(),
        target_azimuth_deg: rig.target_azimuth_deg,
        force_sense: Some(match rig.force_sense {
            ForceSense::OnPlayer => WireSense::OnPlayer,
            ForceSense::OnPlate => WireSense::OnPlate,
            ForceSense::Auto => WireSense::Auto,
        }),
        units: Some(WireUnits {
            force: Some(WireForce(rig.units.force)),
            moment: Some(WireMoment(rig.units.moment)),
            length: Some(WireLength(rig.units.length)),
            time: Some(WireTimeUnit(rig.units.time)),
        }),
        time: rig.time.clone().map(WireTime),
        markers: rig
            .markers
            .iter()
            .map(|marker| WireMarker {
                column: WireColumn(marker.column.clone()),
                event: WireEvent(marker.event),
                edge: match marker.edge {
                    Edge::Rising => WireEdge::Rising,
                    Edge::Falling => WireEdge::Falling,
                },
                level: marker.level,
            })
            .collect(),
        plates: rig
            .plates
            .iter()
            .map(|plate| WirePlate {
                plate: plate.clone(),
                assumed: Vec::new(),
            })
            .collect(),
    };
    // Only maps with keys that are not text can fail to become JSON, and there are none here.
    let mut text = serde_json::to_string_pretty(&wire).unwrap_or_default();
    text.push('\n');
    text
}

/// serde_json's error as a [`Problem`] at its place.
fn problem(name: &str, error: &serde_json::Error) -> Problem {
    let full = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    let message = full.strip_suffix(&place).unwrap_or(&full);
    let broken = match error.classify() {
        Category::Syntax | Category::Io => Some("the JSON is broken"),
        Category::Eof => Some("the JSON ends too early"),
        Category::Data => None,
    };
    if let Some(broken) = broken {
        return Problem::new(
            name,
            format!("{broken}: {message}"),
            "well-formed JSON",
            HINT,
        )
        .at(error.line() as u64, Some(error.column() as u64));
    }
    let (what, rest) = match message.split_once("; expected ") {
        Some((what, rest)) => (what, rest),
        None => message
            .split_once(", expected ")
            .unwrap_or((message, "every key of a rig file it needs, each once")),
    };
    let (expected, hint) = rest.split_once("; try ").unwrap_or((rest, HINT));
    let problem = Problem::new(name, what, expected, hint);
    if error.line() == 0 {
        problem
    } else {
        problem.at(error.line() as u64, Some(error.column() as u64))
    }
}

/// Text from the file, short enough for a sentence.
fn short(text: &str) -> String {
    crate::text::shorten(text)
}
