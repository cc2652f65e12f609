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
        }
    }

    /// The same problem at a line, and a column where there is one.
    #[must_use]
    pub fn at(mut self, line: u64, column: Option<u64>) -> Self {
        self.line = Some(line);
        self.column = column;
        self
    }
}

/// Words quoted from a file may hold line feeds; a refusal is one line.
fn one_line(text: String) -> String {
    if text.contains(char::is_control) {
        text.replace(char::is_control, " ")
    } else {
        text
    }
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
