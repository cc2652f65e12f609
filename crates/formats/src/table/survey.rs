//! A table looked over as a whole, without a rig: every column, thinned out.

use super::label::{NamedUnit, split_header, unknown_unit};
use super::number::parse;
use super::rows::{Prepared, line_ends, lines};
use super::sniff::Layout;
use super::{columns, layout, table_text};
use crate::Problem;
use crate::rig::{ColumnRef, Rig};

/// Rows kept of each column: enough to see a swing, little enough for any table.
const MOST_SAMPLES: usize = 2048;
/// Columns looked at.
const MOST_COLUMNS: usize = 256;

/// A table looked over.
pub(crate) struct Survey {
    layout: Layout,
    /// Names without their units, by column; blank where there is none.
    pub(crate) names: Vec<String>,
    /// Units by column where the table names them.
    pub(crate) units: Vec<Option<NamedUnit>>,
    /// What stands where a unit would and is none known here, by column.
    pub(crate) unknown: Vec<Option<Unknown>>,
    /// What a row above the names says of each column; blank where nothing.
    pub(crate) groups: Vec<String>,
    /// The lines above the names.
    pub(crate) preamble: Vec<String>,
    /// Every column thinned out, NaN where a cell holds no number.
    pub(crate) series: Vec<Vec<f64>>,
    /// Which row of the table each kept sample is, from 0.
    pub(crate) rows_kept: Vec<usize>,
    /// Rows of the first block of data.
    pub(crate) rows: usize,
    /// Whether two rows in a row have equal cells in the column, seen over all rows.
    pub(crate) repeats: Vec<bool>,
}

/// What stands where a unit would, and is none known here.
pub(crate) enum Unknown {
    /// In the row of units: it can be nothing else.
    InRow(String),
    /// In brackets or behind a stroke: it may be the name of a plate too.
    Behind(String),
}

impl Survey {
    /// Looks a table over.
    ///
    /// # Errors
    /// As [`super::sniff`].
    pub(crate) fn of(name: &str, bytes: &[u8]) -> Result<Self, Problem> {
        Self::look(name, bytes, true)
    }

    /// Looks at the names and units only: no samples.
    ///
    /// # Errors
    /// As [`super::sniff`].
    pub(crate) fn of_names(name: &str, bytes: &[u8]) -> Result<Self, Problem> {
        Self::look(name, bytes, false)
    }

    fn look(name: &str, bytes: &[u8], with_samples: bool) -> Result<Self, Problem> {
        let text = table_text(name, bytes)?;
        let layout = layout(name, &text)?;
        let prepared = Prepared::new(&text, layout.delimiter, layout.quoting);
        let width = layout.width.min(MOST_COLUMNS);
        let ahead = prepared.text().as_bytes().get(layout.data_start..);
        let ahead = usize::try_from(ahead.map_or(0, line_ends)).unwrap_or(usize::MAX);
        let stride = ahead.saturating_add(1).div_ceil(MOST_SAMPLES).max(1);
        let mut series: Vec<Vec<f64>> = vec![Vec::new(); width];
        let mut repeats = vec![false; width];
        let mut before: Vec<Vec<u8>> = vec![Vec::new(); width];
        let mut rows_kept = Vec::new();
        let mut rows = 0;
        let mut walk = prepared.rows(layout.data_start);
        while with_samples && walk.step() {
            let fits = walk.width() == layout.width || walk.filled_width() == layout.filled;
            if !fits || walk.after_blank() && parse(walk.cell(0), layout.decimal).is_none() {
                break;
            }
            if rows % stride == 0 {
                for (column, values) in series.iter_mut().enumerate() {
                    let value = parse(walk.cell(column), layout.decimal);
                    values.push(value.filter(|v| v.is_finite()).unwrap_or(f64::NAN));
                }
                rows_kept.push(rows);
            }
            // Rounded times repeat only now and then: every row must be looked at.
            for (column, before) in before.iter_mut().enumerate() {
                let cell = walk.cell(column);
                if before == cell {
                    if let Some(repeats) = repeats.get_mut(column) {
                        *repeats = true;
                    }
                } else {
                    before.clear();
                    before.extend_from_slice(cell);
                }
            }
            rows += 1;
        }
        let first = layout.header_line.unwrap_or(layout.data_line);
        let above = usize::try_from(first.saturating_sub(1)).unwrap_or(usize::MAX);
        let preamble: Vec<String> = lines(&text).take(above).map(str::to_owned).collect();
        let groups = groups(&layout, &preamble, width);
        let mut names = vec![String::new(); width];
        let mut units: Vec<Option<NamedUnit>> = (0..width)
            .map(|column| layout.units.get(column).copied().flatten())
            .collect();
        let unknown = (0..width)
            .map(|column| {
                let cell = layout.unit_row.get(column).map(|cell| cell.trim());
                let in_row =
                    cell.filter(|cell| !cell.is_empty() && NamedUnit::parse(cell).is_none());
                in_row
                    .map(|cell| Unknown::InRow(cell.to_owned()))
                    .or_else(|| {
                        let behind = unknown_unit(layout.headers.get(column)?)?;
                        Some(Unknown::Behind(behind.to_owned()))
                    })
            })
            .collect();
        for ((name, unit), header) in names.iter_mut().zip(&mut units).zip(&layout.headers) {
            let (plain, bracketed) = split_header(header);
            let (plain, trailing) = match bracketed {
                Some(_) => (plain, None),
                None => trailing_unit(plain),
            };
            *unit = unit.or(bracketed).or(trailing);
            *name = plain.to_owned();
        }
        Ok(Self {
            names,
            units,
            unknown,
            groups,
            preamble,
            series,
            rows_kept,
            rows,
            repeats,
            layout,
        })
    }

    /// How a rig should name a column: by its header where only it has that header.
    pub(crate) fn reference(&self, column: usize) -> ColumnRef {
        let number = ColumnRef::Number(column + 1);
        if self.layout.headers.len() < self.layout.filled {
            return number;
        }
        let Some(header) = self.layout.headers.get(column) else {
            return number;
        };
        match ColumnRef::parse(header) {
            Some(by_name @ ColumnRef::Header(_))
                if columns::matching(&self.layout.headers, header) == [column] =>
            {
                by_name
            }
            _ => number,
        }
    }

    /// Whether every column the rig names is there, once.
    pub(crate) fn fits(&self, name: &str, rig: &Rig) -> bool {
        columns::resolve(name, &self.layout, rig).is_ok()
    }

    /// How the table is written.
    pub(crate) fn written(&self) -> String {
        super::written(&self.layout)
    }

    /// Header texts as they stand; empty for a table without names.
    pub(crate) fn headers(&self) -> &[String] {
        &self.layout.headers
    }

    /// Units of every column, those beyond the ones looked at included.
    pub(crate) fn all_units(&self) -> &[Option<NamedUnit>] {
        &self.layout.units
    }

    /// Cells in a row.
    pub(crate) fn width(&self) -> usize {
        self.layout.width
    }
}

/// A name with its unit behind a stroke, a comma, a low line or "in": `Fz / N`, `Mx_Nmm`.
fn trailing_unit(header: &str) -> (&str, Option<NamedUnit>) {
    for mark in [" in ", "/", ",", "_", " "] {
        let Some((name, unit)) = header.rsplit_once(mark) else {
            continue;
        };
        // One lower-case letter behind a low line or a blank may be an axis or a foot.
        let risky = matches!(mark, "_" | " ")
            && matches!(
                unit.trim(),
                "m" | "in"
                    | "v"
                    | "w"
                    | "h"
                    | "min"
                    | "ft"
                    | "au"
                    | "dm"
                    | "mn"
                    | "um"
                    | "us"
                    | "px"
            );
        if let (Some(unit), false) = (NamedUnit::parse(unit), risky)
            && !name.trim().is_empty()
        {
            return (name.trim_end(), Some(unit));
        }
    }
    (header, None)
}

/// The row above the names, when it names what several columns belong to, carried forward over
/// the blank cells behind each name.
fn groups(layout: &Layout, preamble: &[String], width: usize) -> Vec<String> {
    let none = vec![String::new(); width];
    let Some(last) = preamble.last() else {
        return none;
    };
    let prepared = Prepared::new(last, layout.delimiter, layout.quoting);
    let mut walk = prepared.rows(0);
    if layout.header_line.is_none() || !walk.step() {
        return none;
    }
    let cells: Vec<String> = walk
        .cells()
        .map(|cell| String::from_utf8_lossy(cell).into_owned())
        .collect();
    let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
    let far = cells.iter().rposition(|cell| !cell.is_empty()).unwrap_or(0);
    let numeric = walk
        .cells()
        .any(|cell| parse(cell, layout.decimal).is_some());
    if numeric || filled == 0 || far < 2 || far >= layout.width {
        return none;
    }
    let mut now = String::new();
    let mut cells = cells.into_iter();
    (0..width)
        .map(|_| {
            if let Some(cell) = cells.next().filter(|cell| !cell.is_empty()) {
                now = cell;
            }
            now.clone()
        })
        .collect()
}
