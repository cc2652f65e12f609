//! What is said when a file cannot be read.

use std::fmt;

/// Why a file was refused: one sentence with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The file's name as given.
    pub file: String,
    /// Line from 1, when the place has one.
    pub line: Option<u64>,
    /// Column from 1 (tables: the cell's number), when the place has one.
    pub column: Option<u64>,
    /// What was found.
    pub what: String,
    /// What was expected.
    pub expected: String,
    /// What to do about it.
    pub hint: String,
    /// Whether the file is a table that other wiring of its columns may make readable.
    pub wants_wiring: bool,
}

impl Problem {
    /// A problem of the whole file.
    pub fn new(
        file: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            file: one_line(file.to_owned()),
            line: None,
            column: None,
            what: one_line(what.into()),
            expected: one_line(expected.into()),
            hint: one_line(hint.into()),
            wants_wiring: false,
        }
    }

    /// The same problem of a table whose columns want other wiring, or any.
    #[must_use]
    pub fn for_wiring(mut self) -> Self {
        self.wants_wiring = true;
        self
    }

    /// The same problem at a line, and a column where there is one.
    #[must_use]
    pub fn at(mut self, line: u64, column: Option<u64>) -> Self {
        self.line = Some(line);
        self.column = column;
        self
    }
}

/// Longest part of a refusal, bytes: beyond it a file is being quoted at length.
const LONGEST_PART: usize = 500;

/// Words quoted from a file may hold line feeds or go on for ever; a refusal is one line of bearable
/// length.
fn one_line(text: String) -> String {
    let mut text = if text.contains(char::is_control) {
        text.replace(char::is_control, " ")
    } else {
        text
    };
    if text.len() > LONGEST_PART {
        text.truncate(text.floor_char_boundary(LONGEST_PART));
        text.push('…');
    }
    text
}

impl fmt::Display for Problem {
    /// `file:line:column: what; expected …; try …`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        write!(
            f,
            ": {}; expected {}; try {}",
            self.what, self.expected, self.hint
        )
    }
}

impl std::error::Error for Problem {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_quoted_at_length_is_cut_between_letters() {
        let problem = Problem::new("a.c3d", "é".repeat(3000), "x\ny", "another export");
        let text = problem.to_string();
        assert!(text.len() < 2 * LONGEST_PART, "{}", text.len());
        assert!(text.contains("é…; expected x y; try another export"));
    }
}
