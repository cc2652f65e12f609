//! Which column of the table each channel of the rig is.

use super::label::{NamedUnit, split_header};
use super::sniff::Layout;
use crate::rig::{ColumnRef, Rig, TimeSource, channel_names};
use crate::text::shorten;
use crate::{Level, Note, Problem};
use footing_core::recording::PlateKind;

/// The columns a rig needs, resolved.
#[derive(Debug)]
pub(super) struct Columns {
    /// Columns to read, from 0, without repeats, in the order in which they are needed first.
    pub(super) read: Vec<usize>,
    /// Index in `read` of the time column.
    pub(super) time: Option<usize>,
    /// For each plate, the indices in `read` of its channels.
    pub(super) plates: Vec<Vec<usize>>,
    /// For each marker, its index in `read`.
    pub(super) markers: Vec<usize>,
}

impl Columns {
    fn slot(&mut self, column: usize) -> usize {
        match self.read.iter().position(|known| *known == column) {
            Some(slot) => slot,
            None => {
                self.read.push(column);
                self.read.len() - 1
            }
        }
    }
}

/// Finds every column the rig names.
///
/// # Errors
/// A column that is not there, a name that several columns share, a column used for two channels.
pub(super) fn resolve(name: &str, layout: &Layout, rig: &Rig) -> Result<Columns, Problem> {
    let mut columns = Columns {
        read: Vec::new(),
        time: None,
        plates: Vec::new(),
        markers: Vec::new(),
    };
    let mut used: Vec<(usize, String)> = Vec::new();
    if let Some(TimeSource::Column(column)) = &rig.time {
        let found = find(name, layout, column, "the time")?;
        used.push((found, "the time".to_owned()));
        columns.time = Some(columns.slot(found));
    }
    for (index, plate) in rig.plates.iter().enumerate() {
        let Some(kind) = plate.wiring.kind() else {
            return Err(Problem::new(
                name,
                format!(
                    "the rig's plate {} is a C3D file's and this is a table",
                    index + 1
                ),
                "a rig that wires columns",
                "the rig file made for this table",
            ));
        };
        let mut slots = Vec::new();
        for (channel, column) in channel_names(kind).iter().zip(plate.wiring.columns()) {
            let user = format!("plate {}'s {channel}", index + 1);
            let found = find(name, layout, column, &user)?;
            if let Some((_, other)) = used.iter().find(|(column, _)| *column == found) {
                return Err(Problem::new(
                    name,
                    format!(
                        "the rig wires column {} twice, as {other} and as {user}",
                        found + 1
                    ),
                    "a column of its own for each channel",
                    "correcting the rig file",
                ));
            }
            used.push((found, user));
            slots.push(columns.slot(found));
        }
        columns.plates.push(slots);
    }
    for marker in &rig.markers {
        let user = format!("the {} marker", marker.event.label());
        let found = find(name, layout, &marker.column, &user)?;
        let slot = columns.slot(found);
        columns.markers.push(slot);
    }
    Ok(columns)
}

fn find(name: &str, layout: &Layout, column: &ColumnRef, user: &str) -> Result<usize, Problem> {
    let place = |problem: Problem| match layout.header_line {
        Some(line) => problem.at(line, None),
        None => problem,
    };
    let wanted = match column {
        ColumnRef::Number(number) => {
            let total = layout.width.max(layout.headers.len());
            return number
                .checked_sub(1)
                .filter(|index| *index < total)
                .ok_or_else(|| {
                    Problem::new(
                        name,
                        format!("there is no column #{number}, which the rig wires as {user}"),
                        format!("a column from #1 to #{total}"),
                        "correcting the rig file, or another rig",
                    )
                });
        }
        ColumnRef::Header(wanted) => wanted,
    };
    if layout.headers.is_empty() {
        return Err(Problem::new(
            name,
            format!(
                "the table has no line of names, and the rig wires {user} by the name \"{}\"",
                shorten(wanted)
            ),
            format!("columns by number, \"#1\" to \"#{}\"", layout.width),
            "correcting the rig file, or another rig",
        ));
    }
    if layout.headers.len() < layout.filled {
        let named = layout.headers.len();
        return Err(place(Problem::new(
            name,
            format!(
                "the line of names has {named} cells and the data have {}",
                layout.filled
            ),
            "a name for every column",
            format!("wiring {user} by number instead of by name"),
        )));
    }
    let found = matching(&layout.headers, wanted);
    match found.as_slice() {
        [only] => Ok(*only),
        [] => Err(place(Problem::new(
            name,
            format!(
                "no column is named \"{}\", which the rig wires as {user}",
                shorten(wanted)
            ),
            format!(
                "one of the table's names, such as {}",
                nearest(&layout.headers, wanted)
            ),
            "correcting the rig file, or another rig",
        ))),
        several => {
            let numbers: Vec<String> = several.iter().map(|i| format!("#{}", i + 1)).collect();
            Err(place(Problem::new(
                name,
                format!(
                    "{} columns are named \"{}\", which the rig wires as {user}",
                    several.len(),
                    shorten(wanted)
                ),
                "a name that only one column has",
                format!("a number instead of the name: {}", numbers.join(" or ")),
            )))
        }
    }
}

/// The columns with this name: exactly; else whatever its case, without a unit in brackets and
/// without a comment sign.
pub(super) fn matching(headers: &[String], wanted: &str) -> Vec<usize> {
    let all = |same: &dyn Fn(&str) -> bool| -> Vec<usize> {
        let same = |(index, header): (usize, &String)| same(header.trim()).then_some(index);
        headers.iter().enumerate().filter_map(same).collect()
    };
    let wanted = wanted.trim();
    let exact = all(&|header| header == wanted);
    if !exact.is_empty() {
        return exact;
    }
    let plain = |text: &str| {
        split_header(text.trim_start_matches('#').trim())
            .0
            .to_lowercase()
    };
    let wanted = plain(wanted);
    all(&|header| plain(header) == wanted)
}

/// The names most like the wanted one, quoted.
fn nearest(headers: &[String], wanted: &str) -> String {
    const SHOWN: usize = 6;
    let wanted = shorten(wanted).to_lowercase();
    let mut names: Vec<(usize, String)> = headers
        .iter()
        .filter(|header| !header.trim().is_empty())
        .take(1000)
        .map(|header| shorten(header))
        .map(|header| (distance(&wanted, &header.to_lowercase()), header))
        .collect();
    names.sort_by_key(|(distance, _)| *distance);
    names.truncate(SHOWN);
    let names: Vec<String> = names.into_iter().map(|(_, n)| format!("\"{n}\"")).collect();
    names.join(", ")
}

/// How many letters must be put in, taken out or changed to make one text the other.
///
/// **Source:** Levenshtein VI (1966) Soviet Physics Doklady 10(8):707–710 (from memory).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (cell, y) in row.iter_mut().skip(1).zip(&b) {
            let changed = diagonal + usize::from(x != *y);
            diagonal = *cell;
            left = changed.min(diagonal + 1).min(left + 1);
            *cell = left;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}

/// A note when the table names other units than the rig; the rig's are used.
pub(super) fn compare_units(layout: &Layout, rig: &Rig, columns: &Columns) -> Option<Note> {
    let units = rig.units;
    let force = NamedUnit::Force(units.force);
    let moment = NamedUnit::Moment(units.moment);
    let length = NamedUnit::Length(units.length);
    let mut wired: Vec<(usize, NamedUnit)> = Vec::new();
    wired.extend(columns.time.map(|slot| (slot, NamedUnit::Time(units.time))));
    for (plate, slots) in rig.plates.iter().zip(&columns.plates) {
        let channels: &[NamedUnit] = match plate.wiring.kind() {
            Some(PlateKind::SixComponent) => &[force, force, force, moment, moment, moment],
            Some(PlateKind::ForceCop) => &[force, force, force, length, length, moment],
            Some(PlateKind::EightChannel) => &[force; 8],
            Some(PlateKind::VerticalCop) => &[force, length, length],
            None => &[],
        };
        wired.extend(slots.iter().copied().zip(channels.iter().copied()));
    }
    let disagreeing: Vec<String> = wired
        .into_iter()
        .filter_map(|(slot, in_rig)| {
            let column = *columns.read.get(slot)?;
            let in_table = layout.units.get(column).copied().flatten()?;
            (in_table != in_rig).then(|| {
                let header = layout.headers.get(column).map(|h| shorten(h));
                let header = header.unwrap_or_else(|| format!("#{}", column + 1));
                format!(
                    "{header} is in {} in the table and {} in the rig",
                    in_table.name(),
                    in_rig.name()
                )
            })
        })
        .collect();
    let first = disagreeing.first()?;
    let more = match disagreeing.len() - 1 {
        0 => String::new(),
        more => format!(", and {more} more columns likewise"),
    };
    Some(Note::new(
        "units-disagree",
        Level::Warn,
        format!("{first}{more}; the rig's units were used: check which is right"),
    ))
}
