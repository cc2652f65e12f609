//! Finding out how a table is written: delimiter, decimal mark, where names, units and data are.
//!
//! Every delimiter the first lines offer is tried with both decimal marks; the pair wins that
//! turns the most cells of one run of equally wide lines into numbers. Cells that are not numbers
//! count against it.

use super::label::{NamedUnit, split_header};
use super::number::{Decimal, parse};
use super::rows::{Delimiter, Prepared, Rows, line_at, lines};
use std::ops::Range;

/// How much of a file is looked at.
const HEAD_BYTES: usize = 64 * 1024;
/// How many rows of it.
const HEAD_ROWS: usize = 300;
/// How many delimiters beyond the usual ones are tried.
const RARE_DELIMITERS: usize = 4;

/// How many different characters are counted in search of them.
const KNOWN_CHARACTERS: usize = 64;

/// How a table is written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub(super) delimiter: Delimiter,
    pub(super) decimal: Decimal,
    pub(super) quoting: bool,
    /// Line of the names, from 1, when there is one.
    pub(super) header_line: Option<u64>,
    /// Names by column; empty without a header.
    pub(super) headers: Vec<String>,
    /// Units by column where the table names them.
    pub(super) units: Vec<Option<NamedUnit>>,
    /// The row of units under the names as it stands; empty without one.
    #[cfg(feature = "wiring")]
    pub(super) unit_row: Vec<String>,
    /// The first row of data: its byte in the prepared text, and its line from 1.
    pub(super) data_start: usize,
    pub(super) data_line: u64,
    /// Cells in the first row of data.
    pub(super) width: usize,
    /// The same up to the last that is not blank.
    pub(super) filled: usize,
}

/// What one row of the head looks like under one delimiter.
struct Row {
    start: usize,
    width: usize,
    filled: usize,
    /// Cells that are numbers, with a decimal point and with a decimal comma.
    numbers: [usize; 2],
    /// Cells that are not blank.
    texts: usize,
}

impl Row {
    fn is_data(&self, decimal: usize) -> bool {
        self.numbers(decimal) * 2 > self.texts
    }

    fn numbers(&self, decimal: usize) -> usize {
        self.numbers.get(decimal).copied().unwrap_or(0)
    }

    fn is_as_wide_as(&self, other: &Self) -> bool {
        self.width == other.width || self.filled == other.filled
    }
}

/// A run of data rows under one delimiter and decimal mark.
struct Run {
    rows: Range<usize>,
    score: usize,
}

/// How the table is written; `None` when nothing in it looks like lines of numbers.
pub(super) fn layout(text: &str) -> Option<Layout> {
    let head = head(text);
    // A stray quote in the lines above the table swallows all that follows it: try without.
    [true, false]
        .into_iter()
        .find_map(|quoting| best(head, quoting))
}

fn best(head: &str, quoting: bool) -> Option<Layout> {
    let mut best: Option<(usize, Layout)> = None;
    for delimiter in candidates(head) {
        let prepared = Prepared::new(head, delimiter, quoting);
        let rows = survey(&prepared);
        for (index, decimal) in [Decimal::Point, Decimal::Comma].into_iter().enumerate() {
            let Some(run) = longest_run(&rows, index) else {
                continue;
            };
            if best.as_ref().is_some_and(|(score, _)| *score >= run.score) {
                continue;
            }
            let Some(first) = first_data_row(&rows, &run, index) else {
                continue;
            };
            let layout = describe(head, &prepared, &rows, first, delimiter, decimal, quoting);
            if let Some(layout) = layout {
                best = Some((run.score, layout));
            }
        }
    }
    best.map(|(_, layout)| layout)
}

/// The head of a text, cut at the end of a line.
fn head(text: &str) -> &str {
    if text.len() <= HEAD_BYTES {
        return text;
    }
    let cut = text.floor_char_boundary(HEAD_BYTES);
    let head = text.get(..cut).unwrap_or(text);
    match head.rfind(['\n', '\r']) {
        Some(end) => head.get(..=end).unwrap_or(head),
        None => head,
    }
}

/// Delimiters worth trying, the likelier of equals first.
fn candidates(head: &str) -> Vec<Delimiter> {
    const USUAL: [char; 4] = ['\t', ';', ',', '|'];
    let mut counts: Vec<(char, usize)> = Vec::new();
    for c in head.chars() {
        if c.is_alphanumeric()
            || c.is_whitespace()
            || c.is_control()
            || matches!(c, '+' | '-' | '.' | '"' | '\'' | '\u{2212}')
            || USUAL.contains(&c)
        {
            continue;
        }
        if let Some((_, count)) = counts.iter_mut().find(|(known, _)| *known == c) {
            *count += 1;
        } else if counts.len() < KNOWN_CHARACTERS {
            counts.push((c, 1));
        }
    }
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let rare = counts.into_iter().map(|(c, _)| c).take(RARE_DELIMITERS);
    USUAL
        .into_iter()
        .filter(|c| head.contains(*c))
        .chain(rare)
        .map(Delimiter::Char)
        .chain([Delimiter::Blanks, Delimiter::None])
        .collect()
}

fn survey(prepared: &Prepared<'_>) -> Vec<Row> {
    let mut rows = prepared.rows(0);
    let mut seen = Vec::new();
    while seen.len() < HEAD_ROWS && rows.step() {
        let count = |decimal| {
            rows.cells()
                .filter(|cell| parse(cell, decimal).is_some())
                .count()
        };
        seen.push(Row {
            start: rows.start(),
            width: rows.width(),
            filled: rows.filled_width(),
            numbers: [count(Decimal::Point), count(Decimal::Comma)],
            texts: rows.cells().filter(|cell| !cell.is_empty()).count(),
        });
    }
    seen
}

/// The run of equally wide data rows that holds the most numbers.
fn longest_run(rows: &[Row], decimal: usize) -> Option<Run> {
    let mut best: Option<Run> = None;
    let mut from = 0;
    while let Some(first) = rows.get(from) {
        if !first.is_data(decimal) {
            from += 1;
            continue;
        }
        let tail = rows.get(from..).unwrap_or_default();
        let length = tail
            .iter()
            .take_while(|row| row.is_data(decimal) && row.is_as_wide_as(first))
            .count();
        let score = tail
            .iter()
            .take(length)
            .map(|row| {
                let numbers = row.numbers(decimal);
                (2 * numbers).saturating_sub(row.texts)
            })
            .sum();
        if best.as_ref().is_none_or(|best| score > best.score) {
            best = Some(Run {
                rows: from..from + length,
                score,
            });
        }
        from += length.max(1);
    }
    best
}

/// Where data begin: rows of the run's shape may stand above a damaged row, and must not be taken
/// for a preamble, or the damage would go unsaid. Rows of a word and its numbers, one a column
/// (`Rate (Hz):  1000  1000 …`), are a preamble where the names stand below them.
fn first_data_row(rows: &[Row], run: &Run, decimal: usize) -> Option<usize> {
    let main = rows.get(run.rows.start)?;
    let above = rows.get(..run.rows.start)?;
    let full =
        |row: &Row| row.is_data(decimal) && row.numbers(decimal) * 2 >= main.numbers(decimal);
    let pure = |row: &Row| full(row) && row.numbers(decimal) == row.texts;
    let names = above
        .iter()
        .rposition(|row| row.numbers(decimal) == 0 && row.texts * 2 >= main.width)
        .filter(|names| {
            !above
                .iter()
                .take(*names)
                .any(|row| pure(row) && row.is_as_wide_as(main))
        });
    let least = names.map_or(0, |names| names + 1);
    let mut first = above
        .iter()
        .skip(least)
        .position(|row| full(row) && row.is_as_wide_as(main))
        .map_or(run.rows.start, |at| least + at);
    while let Some(above) = first.checked_sub(1)
        && above >= least
        && rows.get(above).is_some_and(full)
    {
        first = above;
    }
    Some(first)
}

fn describe(
    head: &str,
    prepared: &Prepared<'_>,
    rows: &[Row],
    first: usize,
    delimiter: Delimiter,
    decimal: Decimal,
    quoting: bool,
) -> Option<Layout> {
    let row = rows.get(first)?;
    let cells = |index: usize| -> Option<(u64, Vec<String>)> {
        let above = rows.get(index)?;
        let line = line_at(prepared.text(), above.start);
        Some((
            line,
            header_cells(head, prepared, above.start, line, delimiter, row.width),
        ))
    };
    let above = first.checked_sub(1).and_then(cells);
    let further = first.checked_sub(2).and_then(cells);
    let (names, unit_row) = match (above, further) {
        (Some(units), Some(names)) if are_units(&units.1) && are_names(&names.1, row.width) => {
            (Some(names), units.1)
        }
        (Some(names), _) if are_names(&names.1, row.width) => (Some(names), Vec::new()),
        _ => (None, Vec::new()),
    };
    let (header_line, headers) =
        names.map_or((None, Vec::new()), |(line, cells)| (Some(line), cells));
    let columns = row.width.max(headers.len());
    let units = (0..columns)
        .map(|column| {
            unit_row
                .get(column)
                .and_then(|text| NamedUnit::parse(text))
                .or_else(|| {
                    headers
                        .get(column)
                        .and_then(|header| split_header(header).1)
                })
        })
        .collect();
    Some(Layout {
        delimiter,
        decimal,
        quoting,
        header_line,
        headers,
        units,
        #[cfg(feature = "wiring")]
        unit_row,
        data_start: row.start,
        data_line: line_at(prepared.text(), row.start),
        width: row.width,
        filled: row.filled,
    })
}

/// The cells of a line above the data, as text. Names in aligned columns may hold single blanks:
/// where splitting at every blank gives too many, wider gaps are taken.
fn header_cells(
    head: &str,
    prepared: &Prepared<'_>,
    start: usize,
    line: u64,
    delimiter: Delimiter,
    width: usize,
) -> Vec<String> {
    let mut rows: Rows<'_> = prepared.rows(start);
    if !rows.step() {
        return Vec::new();
    }
    let filled = rows.filled_width();
    let mut cells: Vec<String> = rows
        .cells()
        .take(filled)
        .map(|cell| String::from_utf8_lossy(cell).into_owned())
        .collect();
    if delimiter == Delimiter::Blanks && cells.len() > width {
        let index = usize::try_from(line.saturating_sub(1)).unwrap_or(usize::MAX);
        let original = lines(head).nth(index).unwrap_or_default();
        let gaps: Vec<String> = original
            .split("  ")
            .flat_map(|part| part.split('\t'))
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect();
        if gaps.len() == width {
            cells = gaps;
        } else if cells.len() == width + 1 && cells.first().is_some_and(|cell| cell == "#") {
            cells.remove(0);
        }
    }
    if let Some(first) = cells.first_mut() {
        // A comment sign before the first name is not part of it.
        let plain = first.trim_start_matches('#').trim_start();
        if !plain.is_empty() && plain.len() != first.len() {
            *first = plain.to_owned();
        }
    }
    cells
}

/// Whether a line is the row of units under the names.
fn are_units(cells: &[String]) -> bool {
    let texts = cells.iter().filter(|cell| !cell.is_empty());
    let known = texts
        .clone()
        .filter(|cell| NamedUnit::parse(cell).is_some())
        .count();
    known > 0 && known * 2 >= texts.count()
}

/// Whether a line is the row of names: as many as the columns, or nearly.
fn are_names(cells: &[String], width: usize) -> bool {
    let texts = cells.iter().filter(|cell| !cell.is_empty()).count();
    texts > 0 && texts * 2 >= width
}
