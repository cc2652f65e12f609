//! The wired columns of the table's body as numbers, one walk over the rows.

use super::columns::Columns;
use super::number::parse;
use super::rows::{Prepared, Rows, line_at, line_ends};
use super::sniff::Layout;
use crate::text::shorten;
use crate::{Level, Note, Problem};

/// No plate, clock or trigger reads more than this in any unit; below it no product overflows.
const LARGEST: f64 = 1e15;

/// The numbers of a table.
#[derive(Debug)]
pub(super) struct Body {
    /// One series for each column read, all of the same length, finite.
    pub(super) series: Vec<Vec<f64>>,
    /// What was noticed on the way.
    pub(super) notes: Vec<Note>,
}

/// What to do after a row.
enum Verdict {
    Taken,
    /// Another block of the file begins here.
    BlockEnds,
    /// The file was cut in this row, its last.
    Cut,
}

/// Reads the body.
///
/// # Errors
/// A cell that is no number, a line with too few or too many cells, times that do not rise.
pub(super) fn read(
    name: &str,
    prepared: &Prepared<'_>,
    layout: &Layout,
    columns: &Columns,
) -> Result<Body, Problem> {
    let mut rows = prepared.rows(layout.data_start);
    let expected = expected_rows(prepared, layout);
    let mut body = Body {
        series: columns
            .read
            .iter()
            .map(|_| Vec::with_capacity(expected))
            .collect(),
        notes: Vec::new(),
    };
    let reader = RowReader {
        name,
        prepared,
        layout,
        columns,
        least_width: least_width(layout, columns),
    };
    while rows.step() {
        let line = || line_at(prepared.text(), rows.start());
        match reader.take(&rows, &mut body.series)? {
            Verdict::Taken => {}
            Verdict::BlockEnds => {
                body.notes.push(Note::new(
                    "further-block",
                    Level::Warn,
                    format!(
                        "another block begins in line {} and was not read: the {} samples from line \
                         {} on were; if the recording goes on behind them, save that block as a \
                         file of its own",
                        line(),
                        body.series.first().map_or(0, Vec::len),
                        layout.data_line
                    ),
                ));
                break;
            }
            Verdict::Cut => {
                body.notes.push(Note::new(
                    "truncated",
                    Level::Warn,
                    format!(
                        "the last line, {}, is cut short and was left out: the file may lack more; \
                         export it again",
                        line()
                    ),
                ));
                break;
            }
        }
    }
    Ok(body)
}

/// An upper bound of the rows to come, for one allocation instead of many. A full row takes two
/// bytes a cell, so the series cannot be made larger than four times the text.
fn expected_rows(prepared: &Prepared<'_>, layout: &Layout) -> usize {
    let text = prepared.text().as_bytes();
    let text = text.get(layout.data_start..).unwrap_or_default();
    let lines = usize::try_from(line_ends(text)).unwrap_or(usize::MAX);
    lines
        .saturating_add(1)
        .min(text.len() / (2 * layout.width.max(1)) + 1)
}

/// The fewest cells a row may have: the last that is wired, and the last that is filled in the
/// first row, since some exporters leave out blank cells at a row's end.
fn least_width(layout: &Layout, columns: &Columns) -> usize {
    let wired = columns.read.iter().map(|column| column + 1).max();
    layout.filled.max(wired.unwrap_or(0))
}

struct RowReader<'r> {
    name: &'r str,
    prepared: &'r Prepared<'r>,
    layout: &'r Layout,
    columns: &'r Columns,
    least_width: usize,
}

impl RowReader<'_> {
    fn take(&self, rows: &Rows<'_>, series: &mut [Vec<f64>]) -> Result<Verdict, Problem> {
        if !self.fits(rows) {
            if self.is_cut(rows) && rows.width() < self.layout.width {
                return Ok(Verdict::Cut);
            }
            let after_data = series.first().is_some_and(|values| values.len() > 1);
            if after_data && (rows.after_blank() || !self.has_number(rows)) {
                return match self.goes_on(rows) {
                    Some(line) => Err(self.interrupted(rows, line)),
                    None => Ok(Verdict::BlockEnds),
                };
            }
            return Err(self.unequal(rows));
        }
        let count = series.first().map_or(0, Vec::len);
        for (column, values) in self.columns.read.iter().zip(series.iter_mut()) {
            match parse(rows.cell(*column), self.layout.decimal) {
                Some(value) if value.abs() <= LARGEST => values.push(value),
                value => {
                    for values in series.iter_mut() {
                        values.truncate(count);
                    }
                    if value.is_none() && self.is_cut(rows) {
                        return Ok(Verdict::Cut);
                    }
                    if count > 1 && rows.after_blank() && !self.has_number(rows) {
                        return match self.goes_on(rows) {
                            Some(line) => Err(self.interrupted(rows, line)),
                            None => Ok(Verdict::BlockEnds),
                        };
                    }
                    return Err(self.not_a_number(rows, *column));
                }
            }
        }
        if let Some([before, now]) = self
            .columns
            .time
            .and_then(|slot| series.get(slot)?.last_chunk::<2>())
            && now <= before
        {
            return Err(self.time_stands(rows, *before, *now));
        }
        Ok(Verdict::Taken)
    }

    /// Whether the row is as wide as the table's, or lacks or adds blank cells at its end only.
    fn fits(&self, rows: &Rows<'_>) -> bool {
        let width = rows.width();
        width == self.layout.width
            || (width >= self.least_width && rows.filled_width() <= self.layout.width)
    }

    /// The line in which the table goes on behind a row that is none of it: the first that fits
    /// with a number in every cell to be read. Looked for from the next line end on, as a quote
    /// that never closes would hide all that follows.
    fn goes_on(&self, rows: &Rows<'_>) -> Option<u64> {
        let text = self.prepared.text();
        let rest = text.as_bytes().get(rows.start()..)?;
        let end = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r'))?;
        let mut further = self.prepared.rows(rows.start() + end);
        while further.step() {
            let mut wired = self.columns.read.iter();
            let is_number =
                |column: &usize| parse(further.cell(*column), self.layout.decimal).is_some();
            if self.fits(&further) && wired.all(is_number) {
                return Some(line_at(text, further.start()));
            }
        }
        None
    }

    /// Whether this is the file's last row and no line end follows it: an export that was cut
    /// off.
    fn is_cut(&self, rows: &Rows<'_>) -> bool {
        let text = self.prepared.text().as_bytes();
        let rest = text.get(rows.start()..).unwrap_or_default();
        !rest.iter().any(|byte| matches!(byte, b'\n' | b'\r'))
    }

    fn has_number(&self, rows: &Rows<'_>) -> bool {
        rows.cells()
            .any(|cell| parse(cell, self.layout.decimal).is_some())
    }

    fn line(&self, rows: &Rows<'_>) -> u64 {
        line_at(self.prepared.text(), rows.start())
    }

    fn unequal(&self, rows: &Rows<'_>) -> Problem {
        let (got, expected) = (rows.width(), self.layout.width);
        Problem::new(
            self.name,
            format!(
                "the line has {got} {}",
                if got == 1 { "cell" } else { "cells" }
            ),
            format!("{expected}, as in the table's first line of data"),
            "exporting the file again",
        )
        .at(self.line(rows), None)
    }

    /// A row that is none of the table's, with the table going on behind it.
    fn interrupted(&self, rows: &Rows<'_>, goes_on: u64) -> Problem {
        let expected = self.layout.width;
        let first = rows.cells().find(|cell| !cell.is_empty());
        let first = String::from_utf8_lossy(first.unwrap_or_default());
        let first = first.lines().next().unwrap_or_default();
        let got = rows.width();
        let s = if got == 1 { "" } else { "s" };
        Problem::new(
            self.name,
            format!(
                "this is no line of data ({got} cell{s}, the first \"{}\"), yet data go on in line \
                 {goes_on}",
                shorten(first)
            ),
            format!("{expected} cells of numbers, as in the table's first line of data"),
            "correcting the line, exporting again, or, for a second recording, a file of its own",
        )
        .at(self.line(rows), None)
    }

    fn not_a_number(&self, rows: &Rows<'_>, column: usize) -> Problem {
        let header = match self.layout.headers.get(column).map(|h| shorten(h)) {
            Some(header) if !header.is_empty() => format!("\"{header}\""),
            _ => format!("column #{}", column + 1),
        };
        let cell = String::from_utf8_lossy(rows.cell(column));
        let what = match cell.to_ascii_lowercase().as_str() {
            "" => format!("the cell of {header} is blank"),
            "nan" | "na" | "n/a" | "null" => {
                format!("the cell of {header} is missing (\"{}\")", shorten(&cell))
            }
            _ => format!("the cell of {header} holds \"{}\"", shorten(&cell)),
        };
        let expected = match parse(cell.as_bytes(), self.layout.decimal) {
            Some(_) => "a number that a plate could give",
            None => "a number",
        };
        Problem::new(
            self.name,
            what,
            expected,
            "exporting the recording without gaps, or correcting the cell",
        )
        .at(self.line(rows), Some(column as u64 + 1))
    }

    fn time_stands(&self, rows: &Rows<'_>, before: f64, now: f64) -> Problem {
        let column = self
            .columns
            .time
            .and_then(|slot| self.columns.read.get(slot));
        let (what, hint) = if now == before {
            (
                format!("the time {now} repeats that of the sample before"),
                "\"time\": {\"rate_hz\": …} in the rig, if the times were only rounded",
            )
        } else {
            (
                format!("the time runs backwards, from {before} to {now}"),
                "one recording a file, in the order of time",
            )
        };
        Problem::new(self.name, what, "times that rise from line to line", hint)
            .at(self.line(rows), column.map(|column| *column as u64 + 1))
    }
}
