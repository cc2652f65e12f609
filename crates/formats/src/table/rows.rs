//! Text to rows of cells, by the `csv` crate, with the place of each row.

use super::number::trim;
use std::borrow::Cow;

/// What stands between the cells of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// One character.
    Char(char),
    /// Any run of spaces and tabs: aligned columns.
    Blanks,
    /// Nothing: one cell a line.
    None,
}

impl Delimiter {
    /// A word for messages.
    pub fn name(self) -> String {
        match self {
            Self::Char(',') => "comma".to_owned(),
            Self::Char(';') => "semicolon".to_owned(),
            Self::Char('\t') => "tab".to_owned(),
            Self::Char(other) => format!("\"{other}\""),
            Self::Blanks => "aligned by blanks".to_owned(),
            Self::None => "one column".to_owned(),
        }
    }
}

/// ASCII's own unit separator stands in for what the `csv` crate cannot take as a delimiter.
const UNIT_SEPARATOR: u8 = 0x1f;

/// A text made ready for [`Rows`]: line for line the original.
pub(super) struct Prepared<'t> {
    text: Cow<'t, str>,
    delimiter: u8,
    /// Whether a quote at the start of a cell opens a quoted cell.
    quoting: bool,
}

impl<'t> Prepared<'t> {
    pub(super) fn new(text: &'t str, delimiter: Delimiter, quoting: bool) -> Self {
        let (text, delimiter) = match delimiter {
            Delimiter::Char(c) if c.is_ascii() => (Cow::Borrowed(text), c as u8),
            Delimiter::Char(c) => (Cow::Owned(text.replace(c, "\u{1f}")), UNIT_SEPARATOR),
            Delimiter::Blanks => (Cow::Owned(collapse_blanks(text)), UNIT_SEPARATOR),
            Delimiter::None => (Cow::Borrowed(text), UNIT_SEPARATOR),
        };
        Self {
            text,
            delimiter,
            quoting,
        }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// The rows from a byte of the prepared text on.
    pub(super) fn rows(&self, from: usize) -> Rows<'_> {
        let text = self.text.get(from..).unwrap_or_default();
        Rows {
            reader: csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .quoting(self.quoting)
                .delimiter(self.delimiter)
                .from_reader(text.as_bytes()),
            text: self.text.as_bytes(),
            from,
            record: csv::ByteRecord::new(),
            start: from,
            after_blank: false,
        }
    }
}

fn collapse_blanks(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut pending = false;
    let mut at_start = true;
    for c in text.chars() {
        match c {
            ' ' | '\t' | '\u{a0}' => pending = true,
            '\n' | '\r' => {
                out.push(c);
                (pending, at_start) = (false, true);
            }
            c => {
                if pending && !at_start {
                    out.push(char::from(UNIT_SEPARATOR));
                }
                out.push(c);
                (pending, at_start) = (false, false);
            }
        }
    }
    out
}

/// A walk over rows; rows without any text are skipped and remembered.
pub(super) struct Rows<'p> {
    reader: csv::Reader<&'p [u8]>,
    text: &'p [u8],
    from: usize,
    record: csv::ByteRecord,
    start: usize,
    after_blank: bool,
}

impl Rows<'_> {
    /// Steps to the next row that holds something; `false` at the end.
    pub(super) fn step(&mut self) -> bool {
        self.after_blank = false;
        loop {
            // A flexible reader of bytes in memory has nothing to fail at.
            if !matches!(self.reader.read_byte_record(&mut self.record), Ok(true)) {
                return false;
            }
            // The crate notes a record's place before it skips the line ends in front of it.
            let noted = self.record.position().map_or(0, csv::Position::byte);
            let noted = self
                .from
                .saturating_add(usize::try_from(noted).unwrap_or(usize::MAX));
            let gap = self.text.get(noted..).unwrap_or_default();
            let ends = gap
                .iter()
                .take_while(|b| matches!(b, b'\r' | b'\n'))
                .count();
            self.start = noted.saturating_add(ends);
            let before = noted.checked_sub(1).and_then(|at| self.text.get(at));
            let half_of_crlf = before == Some(&b'\r') && gap.first() == Some(&b'\n');
            self.after_blank |= ends > usize::from(half_of_crlf);
            if self.record.iter().any(|cell| !trim(cell).is_empty()) {
                return true;
            }
            self.after_blank = true;
        }
    }

    /// How many cells the row has.
    pub(super) fn width(&self) -> usize {
        self.record.len()
    }

    /// How many cells the row has up to the last that is not blank.
    pub(super) fn filled_width(&self) -> usize {
        let blank = |cell: &&[u8]| trim(cell).is_empty();
        let trailing = (0..self.record.len())
            .rev()
            .map_while(|index| self.record.get(index).filter(blank))
            .count();
        self.record.len().saturating_sub(trailing)
    }

    /// A cell, blanks trimmed; blank when the row has no such cell.
    pub(super) fn cell(&self, index: usize) -> &[u8] {
        self.record.get(index).map_or(&[], trim)
    }

    /// The row's cells, blanks trimmed.
    pub(super) fn cells(&self) -> impl Iterator<Item = &[u8]> {
        self.record.iter().map(trim)
    }

    /// The byte of the prepared text at which the row starts.
    pub(super) fn start(&self) -> usize {
        self.start
    }

    /// Whether at least one blank line, or line of blank cells, stands before the row.
    pub(super) fn after_blank(&self) -> bool {
        self.after_blank
    }
}

/// The number, from 1, of the line that a byte is on; a line ends in LF, CR or CR LF.
pub(super) fn line_at(text: &str, byte: usize) -> u64 {
    let before = text.as_bytes().get(..byte).unwrap_or(text.as_bytes());
    line_ends(before) + 1
}

/// The lines of a text, whatever they end in.
pub(super) fn lines(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let text = rest?;
        let Some((line, after)) = text.split_once(['\n', '\r']) else {
            rest = None;
            return Some(text);
        };
        let is_crlf = text.as_bytes().get(line.len()) == Some(&b'\r');
        rest = Some(
            after
                .strip_prefix('\n')
                .filter(|_| is_crlf)
                .unwrap_or(after),
        );
        Some(line)
    })
}

/// How many lines end in these bytes. Counting each byte by itself lets the compiler take many at
/// once: a walk that remembers the byte before costs more than reading the numbers does.
pub(super) fn line_ends(text: &[u8]) -> u64 {
    let count = |wanted: u8| text.iter().filter(|byte| **byte == wanted).count();
    let (feeds, returns) = (count(b'\n'), count(b'\r'));
    let pairs = if returns == 0 || feeds == 0 {
        0
    } else {
        text.windows(2).filter(|pair| pair == b"\r\n").count()
    };
    (feeds + returns - pairs) as u64
}

#[cfg(test)]
mod tests {
    use super::{Delimiter, Prepared, line_at, line_ends, lines};

    #[test]
    fn lines_end_in_three_ways() {
        for (text, ends) in [
            ("", 0),
            ("a", 0),
            ("a\n", 1),
            ("\r\n", 1),
            ("\n\r", 2),
            ("\r\r\n\n", 3),
        ] {
            assert_eq!(line_ends(text.as_bytes()), ends, "{text:?}");
            assert_eq!(lines(text).count() as u64, ends + 1, "{text:?}");
        }
        assert_eq!(line_at("a\r\nb\rc\nd", 3), 2);
        assert_eq!(line_at("a\r\nb\rc\nd", 7), 4);
    }

    #[test]
    fn rows_know_their_line_and_the_blank_above() {
        for end in ["\n", "\r", "\r\n"] {
            let text = ["", "1,2", "3,4", "", "5,6", " , ", "7,8"].join(end);
            let prepared = Prepared::new(&text, Delimiter::Char(','), true);
            let mut rows = prepared.rows(0);
            let mut seen = Vec::new();
            while rows.step() {
                let cell = String::from_utf8_lossy(rows.cell(0)).into_owned();
                seen.push((cell, line_at(&text, rows.start()), rows.after_blank()));
            }
            let row = |cell: &str, line, after_blank| (cell.to_owned(), line, after_blank);
            let expected = [
                row("1", 2, true),
                row("3", 3, false),
                row("5", 5, true),
                row("7", 7, true),
            ];
            assert_eq!(seen, expected, "{end:?}");
        }
    }
}
