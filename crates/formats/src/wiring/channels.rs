//! A table's columns thinned out, for a live view of what is being wired.

use crate::Problem;
use crate::table::Survey;

/// Points of a preview.
const PREVIEW: usize = 256;

/// What a table holds, column by column.
#[derive(Debug, Clone, PartialEq)]
pub struct Channels {
    /// How the table is written, in words.
    pub written: String,
    /// Rows of data.
    pub rows: usize,
    /// Which row (from 0) each preview point is.
    pub preview_rows: Vec<usize>,
    /// The columns in order, at most 256.
    pub columns: Vec<Column>,
    /// Cells in a row, more than `columns` in very wide tables.
    pub width: usize,
    /// See [`super::fingerprint`].
    pub fingerprint: String,
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// How a rig names it: its header, or `#7`.
    pub reference: String,
    /// Its header as it stands; empty where there is none.
    pub header: String,
    /// The unit the table names, as rig files write it.
    pub unit: Option<&'static str>,
    /// Least and greatest value seen; `None` when no cell is a number.
    pub span: Option<(f64, f64)>,
    /// Kept samples that hold no number.
    pub missing: usize,
    /// The column thinned out; NaN where a cell holds no number, for a canvas.
    pub preview: Vec<f64>,
}

/// Looks a table's columns over.
///
/// # Errors
/// As [`crate::table::sniff`].
pub fn channels(name: &str, bytes: &[u8]) -> Result<Channels, Problem> {
    let survey = Survey::of(name, bytes)?;
    let step = survey.rows_kept.len().div_ceil(PREVIEW).max(1);
    let columns = survey
        .series
        .iter()
        .enumerate()
        .map(|(column, values)| {
            let numbers = || values.iter().copied().filter(|value| value.is_finite());
            let least = numbers().fold(f64::INFINITY, f64::min);
            let greatest = numbers().fold(f64::NEG_INFINITY, f64::max);
            Column {
                reference: survey.reference(column).to_string(),
                header: survey.headers().get(column).cloned().unwrap_or_default(),
                unit: survey
                    .units
                    .get(column)
                    .copied()
                    .flatten()
                    .map(|unit| unit.name()),
                span: (least <= greatest).then_some((least, greatest)),
                missing: values.len() - numbers().count(),
                preview: values.iter().step_by(step).copied().collect(),
            }
        })
        .collect();
    Ok(Channels {
        written: survey.written(),
        rows: survey.rows,
        preview_rows: survey.rows_kept.iter().step_by(step).copied().collect(),
        columns,
        width: survey.width(),
        fingerprint: super::fingerprint::of(&survey),
    })
}
