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

/// How many bytes the parts of a workbook come to. Each must be whole, every place that a sheet names must
/// lie on a sheet, and no part may announce more texts than it has room for: the reader of workbooks
/// reckons with them unchecked.
fn unpacked(name: &str, parts: Archive) -> Result<usize, Problem> {
    let mut in_all = 0;
    for part in parts.entries {
        let bytes = part.bytes.map_err(|problem| Problem {
            file: name.to_owned(),
            what: format!(
                "the workbook cannot be read, {} in it: {}",
                part.path, problem.what
            ),
            ..problem
        })?;
        if let Some(place) = misplaced(&bytes) {
            return Err(Problem::new(
                name,
                format!(
                    "the workbook cannot be read: {} in it names the cells \"{}\"",
                    part.path,
                    text::shorten(&place)
                ),
                "cells between A1 and XFD1048576",
                HINT,
            ));
        }
        if let Some(count) = announced(&bytes) {
            return Err(Problem::new(
                name,
                format!(
                    "the workbook cannot be read: {} in it announces {} texts and has {} bytes",
                    part.path,
                    text::shorten(&count),
                    bytes.len()
                ),
                "as many texts as it holds",
                HINT,
            ));
        }
        in_all += bytes.len();
    }
    Ok(in_all)
}

/// The number of texts that a part announces, if they cannot all be in it.
fn announced(xml: &[u8]) -> Option<String> {
    if !holds(xml, b"sst") {
        return None;
    }
    // The shortest text is `<si/>`.
    let most = xml.len() / 5;
    let fits = |count: &&[u8]| {
        let count = str::from_utf8(count).ok();
        count.is_some_and(|count| count.parse::<usize>().is_ok_and(|n| n <= most))
    };
    values(xml, &[b"uniqueCount"])
        .find(|count| !fits(count))
        .map(|count| String::from_utf8_lossy(count).into_owned())
}

fn holds(xml: &[u8], word: &[u8]) -> bool {
    xml.windows(word.len()).any(|window| window == word)
}

/// The first place in a sheet's XML that lies on no sheet.
fn misplaced(xml: &[u8]) -> Option<String> {
    if !holds(xml, b"sheetData") && !holds(xml, b"dimension") {
        return None;
    }
    values(xml, &[b"r", b"ref"])
        .find(|value| !fits(value))
        .map(|value| String::from_utf8_lossy(value).into_owned())
}

/// What the attributes of these names are set to, wherever they stand.
fn values<'a>(xml: &'a [u8], names: &'a [&[u8]]) -> impl Iterator<Item = &'a [u8]> {
    let equals = xml.iter().enumerate().filter(|(_, byte)| **byte == b'=');
    equals.filter_map(move |(at, _)| {
        let before = xml[..at].trim_ascii_end();
        let named = |name: &&[u8]| {
            let above = before.strip_suffix(*name).and_then(<[u8]>::last);
            above.is_some_and(|byte| !byte.is_ascii_alphanumeric() && *byte != b':')
        };
        let value = xml[at + 1..].trim_ascii_start();
        let quote = value.first().filter(|byte| b"\"'".contains(byte))?;
        let end = value[1..].iter().position(|byte| byte == quote);
        let value = &value[1..][..end.unwrap_or(value.len() - 1)];
        names.iter().any(named).then_some(value)
    })
}

/// Whether a place such as `B7`, `7` or `A1:C9` has no more letters and digits than a sheet's, and its
/// end is not before its start.
fn fits(place: &[u8]) -> bool {
    let mut last = (0, 0);
    place.split(|byte| *byte == b':').all(|corner| {
        let letters = corner.iter().take_while(|b| b.is_ascii_alphabetic());
        let letters = letters.fold((0, 0_u32), |(n, column), letter| {
            let value = u32::from(letter.to_ascii_uppercase() - b'A') + 1;
            (n + 1, column.wrapping_mul(26).wrapping_add(value))
        });
        let digits = corner.iter().skip(letters.0);
        let digits =
            digits
                .take_while(|b| b.is_ascii_digit())
                .fold((0, 0_u32), |(n, row), digit| {
                    let value = u32::from(digit - b'0');
                    (n + 1, row.wrapping_mul(10).wrapping_add(value))
                });
        let onward = letters.1 >= last.0 && digits.1 >= last.1;
        last = (letters.1, digits.1);
        letters.0 <= 3 && digits.0 <= 7 && onward
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_beyond_a_sheet_are_found_however_they_are_written() {
        let sheet = |inner: &str| format!("<worksheet><sheetData>{inner}</sheetData></worksheet>");
        for good in [
            "<row r=\"1048576\"><c r=\"XFD1048576\"/></row>",
            "<dimension ref='A1:C9'/><c  r = \"b7\" s=\"99999999\"/>",
            "<x r:id=\"rId1234567890\"/>",
        ] {
            assert_eq!(misplaced(sheet(good).as_bytes()), None, "{good}");
        }
        for (bad, place) in [
            ("<c r=\"ABCD1\"/>", "ABCD1"),
            ("<c\nr = 'A12345678'/>", "A12345678"),
            ("<dimension ref=\"B2:A3\"/>", "B2:A3"),
            ("<row r=\"99999999", "99999999</sheetData></worksheet>"),
        ] {
            assert_eq!(misplaced(sheet(bad).as_bytes()).as_deref(), Some(place));
        }
        // A part that is no sheet may call what it likes by these letters.
        assert_eq!(misplaced(b"<a r=\"somewhere\"/>"), None);
    }

    #[test]
    fn more_texts_than_there_is_room_for_are_found() {
        let part = |count: &str| format!("<sst count=\"9\" uniqueCount={count}><si/><si/></sst>");
        for good in ["\"2\"", "'1'", "\"8\""] {
            assert_eq!(announced(part(good).as_bytes()), None, "{good}");
        }
        for bad in [
            "99999",
            "9999999999999",
            "99999999999999999999999",
            "+9999999",
            "&#57;9",
            "",
        ] {
            let quoted = format!("\"{bad}\"");
            assert_eq!(announced(part(&quoted).as_bytes()).as_deref(), Some(bad));
        }
        // What is no list of texts may count what it likes.
        assert_eq!(announced(b"<a uniqueCount=\"99999\"/>"), None);
    }
}
