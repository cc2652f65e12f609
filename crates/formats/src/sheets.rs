//! Spreadsheet workbooks (`.xlsx`): the sheet that holds the numbers, as the text of a table.
//!
//! **Source:** ECMA-376, Office Open XML; read by `calamine`.

use crate::{Problem, archive};
use calamine::{Cell, DataRef, Reader, Xlsx};
use std::io::Cursor;

/// Columns a sheet may use.
const MOST_COLUMNS: u32 = 1024;
/// Cells a sheet may use.
const MOST_CELLS: usize = 8_000_000;
/// Sheets looked at.
const MOST_SHEETS: usize = 64;

const HINT: &str = "saving the sheet as CSV in the program it comes from";

/// Whether these bytes are a workbook this can read.
pub fn looks_like(bytes: &[u8]) -> bool {
    archive::is_workbook(bytes)
}

/// The sheet with the most numbers as comma-separated text, numbers with a decimal point and as
/// precise as the workbook holds them, so that [`crate::table`] can read it. Clock times become
/// seconds.
///
/// # Errors
/// A workbook that is damaged, protected by a password, too large, or without numbers.
pub fn to_table(bytes: &[u8]) -> Result<String, Problem> {
    const NAME: &str = "the workbook";
    // Unpacking within limits first: the reader of workbooks has none.
    archive::entries(NAME, bytes)?;
    let damaged = |error: calamine::XlsxError| {
        Problem::new(
            NAME,
            format!("the workbook cannot be read: {error}"),
            "a whole .xlsx workbook without a password",
            HINT,
        )
    };
    let mut workbook = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut best: Option<(usize, String)> = None;
    for sheet in workbook.sheet_names().into_iter().take(MOST_SHEETS) {
        // A sheet of charts has no cells.
        let Ok(mut cells) = workbook.worksheet_cells_reader(&sheet) else {
            continue;
        };
        let mut table = Table::default();
        while let Some(cell) = cells.next_cell().map_err(damaged)? {
            table.take(&cell)?;
        }
        let (numbers, text) = table.finish();
        if best.as_ref().is_none_or(|(most, _)| numbers > *most) {
            best = Some((numbers, text));
        }
    }
    match best {
        Some((numbers, text)) if numbers > 0 => Ok(text),
        _ => Err(Problem::new(
            NAME,
            "no sheet of the workbook holds numbers",
            "a sheet with a line of names and lines of numbers",
            "exporting the samples, not only the header",
        )),
    }
}

/// A sheet being written as text.
#[derive(Default)]
struct Table {
    text: String,
    row: u32,
    column: u32,
    numbers: usize,
    cells: usize,
}

impl Table {
    fn take(&mut self, cell: &Cell<DataRef<'_>>) -> Result<(), Problem> {
        let (row, column) = cell.get_position();
        let text = match cell.get_value() {
            DataRef::Empty | DataRef::Error(_) => return Ok(()),
            DataRef::Float(value) => number(*value),
            DataRef::Int(value) => value.to_string(),
            DataRef::Bool(value) => u8::from(*value).to_string(),
            DataRef::DateTime(moment) => number(moment.as_f64() * 86_400.0),
            DataRef::String(text) => quoted(text),
            DataRef::SharedString(text) => quoted(text),
            DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => quoted(text),
        };
        self.cells += 1;
        // Cells stand in reading order; a file that breaks it would need them all kept.
        let back = row < self.row || row == self.row && column < self.column;
        if column >= MOST_COLUMNS || self.cells > MOST_CELLS || back {
            return Err(Problem::new(
                "the workbook",
                format!(
                    "its sheet is too large or out of order at row {}, column {}",
                    row + 1,
                    column + 1
                ),
                format!("cells row by row, at most {MOST_COLUMNS} columns and {MOST_CELLS} cells"),
                HINT,
            ));
        }
        if row > self.row {
            // One blank line stands for any number of them.
            let lines = if self.text.is_empty() {
                0
            } else {
                (row - self.row).min(2)
            };
            self.text.extend(std::iter::repeat_n('\n', lines as usize));
            (self.row, self.column) = (row, 0);
        }
        self.text
            .extend(std::iter::repeat_n(',', (column - self.column) as usize));
        self.column = column;
        self.numbers += usize::from(!matches!(
            cell.get_value(),
            DataRef::String(_) | DataRef::SharedString(_)
        ));
        self.text += &text;
        Ok(())
    }

    fn finish(mut self) -> (usize, String) {
        self.text.push('\n');
        (self.numbers, self.text)
    }
}

/// The shortest text that is this number.
fn number(value: f64) -> String {
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
