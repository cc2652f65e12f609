//! Tables of numbers, wired by a rig file.
//!
//! The way of a table: [`crate::text`] makes bytes text, `sniff` finds out how it is written,
//! `columns` finds the columns the rig names, `body` reads them, `wire` turns them into plates.

mod body;
mod columns;
mod label;
mod number;
mod rows;
mod sniff;
#[cfg(feature = "wiring")]
mod survey;
mod wire;

pub use label::NamedUnit;
pub use number::Decimal;
pub use rows::Delimiter;
#[cfg(feature = "wiring")]
pub(crate) use survey::{Survey, Unknown};

use crate::{Level, Loaded, Note, Problem, rig, rig::Rig, text};
use std::borrow::Cow;

/// How a table is written and what it holds, found out from its text alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Sniffed {
    /// What stands between cells.
    pub delimiter: Delimiter,
    /// What stands before a fraction.
    pub decimal: Decimal,
    /// The lines above the names, or above the data where there are no names.
    pub preamble: Vec<String>,
    /// Line of the names, from 1; `None` for a table without names.
    pub header_line: Option<u64>,
    /// Names by column; empty for a table without names.
    pub headers: Vec<String>,
    /// Units by column where the table names them, in a row of their own or after a name.
    pub units: Vec<Option<NamedUnit>>,
    /// Line of the first row of data, from 1.
    pub data_line: u64,
    /// Cells in the first row of data.
    pub columns: usize,
    /// Lines from the first row of data to the end of the file, blank ones left out.
    pub rows: usize,
}

/// Finds out how a table is written.
///
/// # Errors
/// A file that is empty, no text, or holds no lines of numbers.
pub fn sniff(name: &str, bytes: &[u8]) -> Result<Sniffed, Problem> {
    let text = table_text(name, bytes)?;
    let layout = layout(name, &text)?;
    let first = layout.header_line.unwrap_or(layout.data_line);
    let above = usize::try_from(first.saturating_sub(1)).unwrap_or(usize::MAX);
    let prepared = rows::Prepared::new(&text, layout.delimiter, layout.quoting);
    let mut walk = prepared.rows(layout.data_start);
    let mut count = 0;
    while walk.step() {
        count += 1;
    }
    Ok(Sniffed {
        delimiter: layout.delimiter,
        decimal: layout.decimal,
        preamble: rows::lines(&text).take(above).map(str::to_owned).collect(),
        header_line: layout.header_line,
        headers: layout.headers,
        units: layout.units,
        data_line: layout.data_line,
        columns: layout.width,
        rows: count,
    })
}

/// Reads a table.
///
/// # Errors
/// See [`crate::read`].
pub fn read(name: &str, bytes: &[u8], rig: Option<&Rig>) -> Result<Loaded, Problem> {
    let text = table_text(name, bytes)?;
    let layout = layout(name, &text)?;
    let Some(rig) = rig else {
        return Err(no_rig(name, &layout));
    };
    let columns = columns::resolve(name, &layout, rig).map_err(Problem::for_wiring)?;
    let prepared = rows::Prepared::new(&text, layout.delimiter, layout.quoting);
    let body = body::read(name, &prepared, &layout, &columns)?;
    let (recording, body_notes) = wire::recording(name, rig, &columns, body)?;
    let mut notes: Vec<Note> = rig
        .assumed
        .iter()
        .map(|what| {
            Note::new(
                "rig-assumes",
                Level::Note,
                format!("the rig does not say; assumed: {what}"),
            )
        })
        .collect();
    notes.extend(columns::compare_units(&layout, rig, &columns));
    notes.extend(body_notes);
    Ok(Loaded {
        format: format!("Table, {}", written(&layout)),
        recording,
        notes,
    })
}

/// How a table is written, in words.
fn written(layout: &sniff::Layout) -> String {
    let decimal = match layout.decimal {
        Decimal::Point => "decimal point",
        Decimal::Comma => "decimal comma",
    };
    format!("{}, {decimal}", layout.delimiter.name())
}

/// The text of what should be a table.
fn table_text<'b>(name: &str, bytes: &'b [u8]) -> Result<Cow<'b, str>, Problem> {
    if rig::looks_like(name, bytes) {
        return Err(Problem::new(
            name,
            "this is a rig file",
            "a recording",
            "giving it as the rig, beside a recording",
        ));
    }
    let is_named_c3d = name.to_ascii_lowercase().ends_with(".c3d");
    let text = text::decode(name, bytes);
    if is_named_c3d && !bytes.is_empty() {
        let holds = match &text {
            Ok(_) => "text",
            Err(why) if why.what.ends_with("a picture") => "a picture",
            Err(_) => "other data",
        };
        return Err(Problem::new(
            name,
            format!("the name says C3D and the file holds {holds}"),
            "a C3D file",
            "exporting it again, or naming it for what it is",
        ));
    }
    text
}

fn layout(name: &str, text: &str) -> Result<sniff::Layout, Problem> {
    if text.trim().is_empty() {
        return Err(Problem::new(
            name,
            "the file is empty",
            "a table of numbers",
            "exporting the recording again",
        ));
    }
    sniff::layout(text).ok_or_else(|| {
        Problem::new(
            name,
            "no lines of numbers were found",
            "a table: lines of numbers, under at most a few hundred lines of other text",
            "exporting the samples, not only the header",
        )
    })
}

fn no_rig(name: &str, layout: &sniff::Layout) -> Problem {
    const SHOWN: usize = 16;
    let names: Vec<String> = layout
        .headers
        .iter()
        .take(SHOWN)
        .map(|header| format!("\"{}\"", text::shorten(header)))
        .collect();
    let holds = if names.is_empty() {
        format!("{} columns without names", layout.width)
    } else if layout.headers.len() > SHOWN {
        format!(
            "{} and {} more",
            names.join(", "),
            layout.headers.len() - SHOWN
        )
    } else {
        names.join(", ")
    };
    Problem::new(
        name,
        format!("a table says nothing about its plates; its columns are {holds}"),
        "a rig file that wires the columns",
        "--rig, or the wiring on the page",
    )
    .for_wiring()
}
