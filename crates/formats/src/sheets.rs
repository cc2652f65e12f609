//! Spreadsheet workbooks (`.xlsx`): the sheets that hold recordings, as the text of tables.
//!
//! **Source:** ECMA-376, Office Open XML; read by `calamine`.

use crate::archive::{self, Archive};
use crate::{Problem, text};
use calamine::{Cell, DataRef, Reader, SheetType, SheetVisible, Xlsx};
use std::io::Cursor;

/// Columns a sheet may use.
const MOST_COLUMNS: u32 = 1024;
/// Cells a sheet may use.
const MOST_CELLS: usize = 8_000_000;
/// Sheets looked at.
const MOST_SHEETS: usize = 64;
/// A sheet beside the largest is a recording too when so many of its lines hold numbers: half a
/// second at the slowest plates, more than a summary of a session has.
const FEWEST_LINES: usize = 50;
/// Text beyond what the workbook itself holds, bytes: a long word may stand in many cells.
const TEXT_SLACK: usize = 1 << 20;

const HINT: &str = "saving the sheet as CSV in the program it comes from";

/// Whether these bytes are a workbook this can read.
pub fn looks_like(bytes: &[u8]) -> bool {
    archive::is_workbook(bytes)
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// Its cells as comma-separated text, numbers with a decimal point and as precise as the
    /// workbook holds them, so that [`crate::table`] can read it. Clock times become seconds.
    pub text: String,
}

/// The recordings of a workbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Workbook {
    /// The sheet with the most numbers and every other that holds at least 50 lines of them, in the
    /// workbook's order.
    pub sheets: Vec<Sheet>,
    /// Names of sheets that hold numbers and are no recordings, and of hidden sheets.
    pub left_out: Vec<String>,
}

/// Reads a workbook. `room` is how many bytes may still be unpacked, as in [`archive::open`].
///
/// # Errors
/// A workbook that is damaged, protected by a password, too large, or without numbers.
pub fn read(name: &str, bytes: &[u8], room: &mut usize) -> Result<Workbook, Problem> {
    // Unpacking within limits first: the reader of workbooks has none.
    let parts = archive::open(name, bytes, room)?;
    if parts.entries.iter().any(|e| e.path == "xl/workbook.bin") {
        return Err(Problem::new(
            name,
            "it is a workbook in the binary form .xlsb",
            "a workbook in the form .xlsx",
            HINT,
        ));
    }
    let mut text_room = unpacked(name, parts)? + TEXT_SLACK;
    let damaged = |error: calamine::XlsxError| {
        Problem::new(
            name,
            format!("the workbook cannot be read: {error}"),
            "a whole .xlsx workbook without a password",
            HINT,
        )
    };
    let mut workbook = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let (mut found, mut left_out) = (Vec::new(), Vec::new());
    for sheet in workbook.sheets_metadata().to_vec() {
        let shown = text::shorten(&sheet.name);
        if sheet.typ != SheetType::WorkSheet {
            continue;
        }
        if sheet.visible != SheetVisible::Visible || found.len() == MOST_SHEETS {
            left_out.push(shown);
            continue;
        }
        let mut cells = workbook
            .worksheet_cells_reader(&sheet.name)
            .map_err(damaged)?;
        let mut table = Table::new(name, text_room);
        while let Some(cell) = cells.next_cell().map_err(damaged)? {
            table.take(&cell)?;
        }
        table.finish();
        text_room -= table.text.len().min(text_room);
        if table.numbers > 0 {
            found.push((shown, table));
        }
    }
    let most = found.iter().map(|(_, table)| table.numbers).max();
    let mut sheets = Vec::new();
    for (shown, table) in found {
        if Some(table.numbers) == most || table.lines >= FEWEST_LINES {
            let (name, text) = (shown, table.text);
            sheets.push(Sheet { name, text });
        } else {
            left_out.push(shown);
        }
    }
    if sheets.is_empty() {
        return Err(Problem::new(
            name,
            "no sheet of the workbook holds numbers",
            "a sheet with a line of names and lines of numbers",
            "exporting the samples, not only the header",
        ));
    }
    Ok(Workbook { sheets, left_out })
}

/// How many bytes the parts of a workbook come to.
fn unpacked(name: &str, parts: Archive) -> Result<usize, Problem> {
    let mut bytes = 0;
    for part in parts.entries {
        bytes += part
            .bytes
            .map_err(|problem| Problem {
                file: name.to_owned(),
                what: format!(
                    "the workbook cannot be read, {} in it: {}",
                    part.path, problem.what
                ),
                ..problem
            })?
            .len();
    }
    Ok(bytes)
}

/// A sheet being written as text.
struct Table<'a> {
    file: &'a str,
    /// Bytes the text may have.
    room: usize,
    text: String,
    row: u32,
    column: u32,
    cells: usize,
    /// Cells that are numbers, and those of them in this row.
    numbers: usize,
    here: usize,
    /// Rows with at least two numbers.
    lines: usize,
}

impl<'a> Table<'a> {
    fn new(file: &'a str, room: usize) -> Self {
        Self {
            file,
            room,
            text: String::new(),
            row: 0,
            column: 0,
            cells: 0,
            numbers: 0,
            here: 0,
            lines: 0,
        }
    }

    fn take(&mut self, cell: &Cell<DataRef<'_>>) -> Result<(), Problem> {
        let (row, column) = cell.get_position();
        let (text, is_number) = match cell.get_value() {
            DataRef::Empty | DataRef::Error(_) => return Ok(()),
            DataRef::Float(value) => (number(*value), true),
            DataRef::Int(value) => (value.to_string(), true),
            DataRef::Bool(value) => (u8::from(*value).to_string(), true),
            DataRef::DateTime(moment) => (number(moment.as_f64() * 86_400.0), true),
            DataRef::String(text) => (quoted(text), false),
            DataRef::SharedString(text) => (quoted(text), false),
            DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => (quoted(text), false),
        };
        self.cells += 1;
        // Cells stand in reading order; a file that breaks it would need them all kept.
        let back = row < self.row || row == self.row && column < self.column;
        let full = self.text.len() + text.len() + MOST_COLUMNS as usize > self.room;
        if column >= MOST_COLUMNS || self.cells > MOST_CELLS || back || full {
            return Err(Problem::new(
                self.file,
                format!(
                    "a sheet of it is too large or out of order at row {}, column {}",
                    u64::from(row) + 1,
                    u64::from(column) + 1
                ),
                format!("cells row by row, at most {MOST_COLUMNS} columns and {MOST_CELLS} cells"),
                HINT,
            ));
        }
        if row > self.row {
            // One blank line stands for any number of them.
            let feeds = if self.text.is_empty() {
                0
            } else {
                (row - self.row).min(2)
            };
            self.text.extend(std::iter::repeat_n('\n', feeds as usize));
            (self.row, self.column) = (row, 0);
            self.end_row();
        }
        self.text
            .extend(std::iter::repeat_n(',', (column - self.column) as usize));
        self.column = column;
        self.numbers += usize::from(is_number);
        self.here += usize::from(is_number);
        self.text += &text;
        Ok(())
    }

    fn end_row(&mut self) {
        self.lines += usize::from(self.here > 1);
        self.here = 0;
    }

    fn finish(&mut self) {
        self.end_row();
        self.text.push('\n');
    }
}

/// The shortest text that is this number.
fn number(value: f64) -> String {
    if value != 0.0 && !(1e-7..1e16).contains(&value.abs()) {
        return format!("{value:e}");
    }
    format!("{value}")
}

fn quoted(text: &str) -> String {
    let plain = text.replace(['\r', '\n'], " ");
    if plain.contains([',', '"', ';', '\t']) {
        format!("\"{}\"", plain.replace('"', "\"\""))
    } else {
        plain
    }
}
