//! Rows by RFC 4180: comma, CRLF, quotes where needed, an empty cell for what is absent.

use std::io::Write;

/// A table that is being written.
pub(super) struct Table<'a>(csv::Writer<&'a mut dyn Write>);

impl<'a> Table<'a> {
    pub(super) fn new(out: &'a mut dyn Write) -> Self {
        let writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(out);
        Self(writer)
    }

    /// One row; all have the same number of cells.
    pub(super) fn row(&mut self, cells: &[String]) -> csv::Result<()> {
        self.0.write_record(cells)
    }

    /// What was written reaches `out`.
    pub(super) fn done(mut self) -> csv::Result<()> {
        Ok(self.0.flush()?)
    }
}
