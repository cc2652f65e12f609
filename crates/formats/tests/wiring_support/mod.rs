//! One simulated swing written the way many exports write it, with the truth about each.
#![allow(dead_code, reason = "each test binary uses its own part of this")]

mod names;
mod places;
mod units;
mod variants;

pub use variants::all;

use footing_core::frame::Handed;
use footing_core::recording::{FootRole, PlateKind, Recording};
use footing_formats::rig::{ForceUnit, LengthUnit, MomentUnit, TimeUnit, Units};
use footing_simulate::bay::{Channels, channel_names, recording_of, sample};
use footing_simulate::{Bay, Swing};

/// One column to be written.
#[derive(Clone)]
pub struct Cell {
    pub header: String,
    pub unit: &'static str,
    pub values: Vec<f64>,
    pub decimals: usize,
    /// Plate and channel, in the rig format's order; `None` for anything else.
    pub channel: Option<(usize, usize)>,
    pub is_time: bool,
}

/// A table to be written.
#[derive(Clone)]
pub struct Sheet {
    pub name: String,
    pub swing: Swing,
    pub bay: Bay,
    pub units: Units,
    pub columns: Vec<Cell>,
    /// Lines above the names.
    pub preamble: Vec<String>,
    /// A row above the names, one cell a column.
    pub groups: Option<Vec<String>>,
    pub header: bool,
    pub unit_row: bool,
    pub delimiter: char,
    pub comma: bool,
    pub crlf: bool,
    pub after: String,
    pub encoding: Encoding,
    pub handed: Option<Handed>,
    /// Plates nobody stands on: they must be left out.
    pub idle: Vec<usize>,
    /// Whether its forces are in a unit that no rig holds.
    pub unit_beyond_rigs: bool,
    /// Whether no rig can say how its forces are counted: all that can be done is to ask.
    pub beyond_rigs: bool,
    /// The column that marks impact, by its header, and the first sample in which it does.
    pub impact: Option<(&'static str, usize)>,
    /// The rate of a table without a clock that rises.
    pub rate: Option<f64>,
    pub truth: Recording,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Encoding {
    Utf8,
    Utf8Mark,
    Utf16,
    Windows,
}

/// 200 samples a second: enough for a swing, little enough for a hundred tables.
pub const RATE: f64 = 200.0;

pub fn bay(kind: PlateKind) -> Bay {
    let mut bay = Bay::two_plates(kind, 0.0, 0.0, true);
    bay.rate_hz = RATE;
    bay.force_noise_n = 0.4;
    bay.moment_noise_nm = 0.04;
    bay
}

impl Sheet {
    /// Time and every channel in SI, named by `header(channel, plate)`.
    pub fn new(name: &str, bay: Bay, header: impl Fn(&str, usize) -> String) -> Self {
        let swing = Swing::default();
        Self::of(name, swing, bay, header)
    }

    pub fn of(name: &str, swing: Swing, bay: Bay, header: impl Fn(&str, usize) -> String) -> Self {
        let channels = sample(&swing, &bay, 7);
        let truth = recording_of(&bay, &channels);
        let Channels { t_s, plates, .. } = channels;
        let mut columns = vec![Cell {
            header: "Time".to_owned(),
            unit: "s",
            values: t_s,
            decimals: 4,
            channel: None,
            is_time: true,
        }];
        for (index, (plate, stored)) in bay.plates.iter().zip(plates).enumerate() {
            let names = channel_names(plate.kind);
            for (channel, (text, values)) in names.iter().zip(stored).enumerate() {
                let (unit, decimals) = match *text {
                    "mx" | "my" | "mz" | "tz" => ("N m", 3),
                    "cop_x" | "cop_y" => ("m", 5),
                    _ => ("N", 2),
                };
                columns.push(Cell {
                    header: header(text, index + 1),
                    unit,
                    values,
                    decimals,
                    channel: Some((index, channel)),
                    is_time: false,
                });
            }
        }
        Self {
            name: name.to_owned(),
            swing,
            bay,
            units: Units::SI,
            columns,
            preamble: Vec::new(),
            groups: None,
            header: true,
            unit_row: false,
            delimiter: ',',
            comma: false,
            crlf: false,
            after: String::new(),
            encoding: Encoding::Utf8,
            handed: None,
            idle: Vec::new(),
            unit_beyond_rigs: false,
            beyond_rigs: false,
            impact: None,
            rate: None,
            truth,
        }
    }

    /// The same numbers in other units.
    pub fn in_units(
        mut self,
        force: ForceUnit,
        moment: MomentUnit,
        length: LengthUnit,
        time: TimeUnit,
    ) -> Self {
        self.units = Units {
            force,
            moment,
            length,
            time,
        };
        for cell in &mut self.columns {
            let (one, name): (f64, &'static str) = match cell.unit {
                "N" => (force.to_si(1.0), force.name()),
                "N m" => (moment.to_si(1.0), moment.name()),
                "m" => (length.to_si(1.0), length.name()),
                "s" => (time.to_si(1.0), time.name()),
                _ => continue,
            };
            for value in &mut cell.values {
                *value /= one;
            }
            let more = one.log10().ceil() as i32;
            cell.decimals = usize::try_from(cell.decimals as i32 + more).unwrap_or(0);
            cell.unit = name;
        }
        self
    }

    /// The forces in something that no rig holds: newtons over `newtons`.
    pub fn forces_in(mut self, unit: &'static str, newtons: f64) -> Self {
        for cell in self.columns.iter_mut().filter(|cell| cell.unit == "N") {
            cell.values.iter_mut().for_each(|value| *value /= newtons);
            cell.decimals += 3;
            cell.unit = unit;
        }
        self.unit_beyond_rigs = true;
        self
    }

    /// Another word for a unit.
    pub fn call(mut self, unit: &str, word: &'static str) -> Self {
        for cell in self.columns.iter_mut().filter(|cell| cell.unit == unit) {
            cell.unit = word;
        }
        self
    }

    /// Units behind the names, by a pattern such as `" [%]"`.
    pub fn units_behind(mut self, pattern: &str) -> Self {
        for cell in &mut self.columns {
            if !cell.unit.is_empty() {
                cell.header += &pattern.replace('%', cell.unit);
            }
        }
        self
    }

    /// An extra column.
    pub fn with(mut self, header: &str, unit: &'static str, value: impl Fn(usize) -> f64) -> Self {
        let n = self.truth.t_s.len();
        self.columns.push(Cell {
            header: header.to_owned(),
            unit,
            values: (0..n).map(value).collect(),
            decimals: 3,
            channel: None,
            is_time: false,
        });
        self
    }

    pub fn without_time(mut self) -> Self {
        self.columns.retain(|cell| !cell.is_time);
        self.rate = Some(RATE);
        self
    }

    pub fn without(mut self, header: &str) -> Self {
        self.columns.retain(|cell| !cell.header.contains(header));
        self
    }

    pub fn change(mut self, change: impl FnOnce(&mut Self)) -> Self {
        change(&mut self);
        self
    }

    pub fn bytes(&self) -> Vec<u8> {
        let end = if self.crlf { "\r\n" } else { "\n" };
        let delimiter = self.delimiter.to_string();
        let mut text = String::new();
        for line in &self.preamble {
            text += &(line.clone() + end);
        }
        if let Some(groups) = &self.groups {
            text += &(groups.join(&delimiter) + end);
        }
        let row = |cells: Vec<String>| cells.join(&delimiter) + end;
        if self.header {
            text += &row(self.columns.iter().map(|c| c.header.clone()).collect());
        }
        if self.unit_row {
            text += &row(self.columns.iter().map(|c| c.unit.to_owned()).collect());
        }
        for i in 0..self.truth.t_s.len() {
            let cells = self.columns.iter().map(|cell| {
                let number = format!("{:.*}", cell.decimals, cell.values[i]);
                if self.comma {
                    number.replace('.', ",")
                } else {
                    number
                }
            });
            text += &row(cells.collect());
        }
        text += &self.after;
        match self.encoding {
            Encoding::Utf8 => text.into_bytes(),
            Encoding::Utf8Mark => [b"\xef\xbb\xbf".to_vec(), text.into_bytes()].concat(),
            Encoding::Utf16 => {
                let units = std::iter::once(0xfeff).chain(text.encode_utf16());
                units.flat_map(u16::to_le_bytes).collect()
            }
            Encoding::Windows => text
                .chars()
                .map(|c| u8::try_from(u32::from(c)).expect("a letter of Windows-1252"))
                .collect(),
        }
    }

    /// The column (from 0) of each channel of a plate, in the rig format's order.
    pub fn columns_of(&self, plate: usize) -> Vec<usize> {
        let kind = self.bay.plates[plate].kind;
        let count = channel_names(kind).len();
        (0..count)
            .filter_map(|channel| {
                let wanted = Some((plate, channel));
                self.columns.iter().position(|cell| cell.channel == wanted)
            })
            .collect()
    }

    pub fn role(&self, plate: usize) -> FootRole {
        self.bay.plates[plate].foot
    }
}
