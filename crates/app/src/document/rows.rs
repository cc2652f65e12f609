//! One row a measure.

use std::io::Write;

use super::table::Table;
use crate::comparison::{Comparison, MeasureComparison, MoreSwings, Row, Stands};
use crate::findings::verdict_words;

type Column = (&'static str, fn(&Row) -> String);

const COLUMNS: [Column; 28] = [
    ("measure", |row| row.id.to_owned()),
    ("name", |row| row.label.to_owned()),
    ("unit", |row| row.unit.to_owned()),
    ("a_n", |row| of(row, |m| Some(m.a.n))),
    ("a_mean", |row| of(row, |m| m.a.mean)),
    ("a_sd", |row| of(row, |m| m.a.sd)),
    ("b_n", |row| of(row, |m| Some(m.b.n))),
    ("b_mean", |row| of(row, |m| m.b.mean)),
    ("b_sd", |row| of(row, |m| m.b.sd)),
    ("change", |row| of(row, |m| m.change)),
    ("ci95_low", |row| of(row, |m| m.ci95.map(|(low, _)| low))),
    ("ci95_high", |row| of(row, |m| m.ci95.map(|(_, high)| high))),
    ("p_permutation", |row| {
        of(row, |m| m.p_permutation.map(|p| p.p))
    }),
    ("p_holm", |row| of(row, |m| m.p_holm)),
    ("p_t", |row| of(row, |m| m.p_t)),
    ("stands", |row| of(row, |_| row.stands.map(Stands::holds))),
    ("stands_p", |row| of(row, |_| row.stands.map(|s| s.p))),
    ("hedges_g", |row| {
        of(row, |m| m.effect.map(|effect| effect.g))
    }),
    ("spread", |row| of(row, |m| m.spread)),
    ("sd_of_differences", |row| {
        of(row, |_| row.sd_of_differences)
    }),
    ("mdc95", |row| of(row, |m| m.mdc95)),
    ("lag1_r", |row| of(row, |m| m.lag1.map(|lag| lag.r))),
    ("verdict", |row| of(row, |m| Some(verdict_words(m.verdict)))),
    ("more_swings", |row| of(row, more_swings)),
    ("estimated", |row| of(row, |_| Some(row.estimated))),
    ("absent", |row| {
        row.found.as_ref().err().cloned().unwrap_or_default()
    }),
    ("a_swings", |row| swings(&row.a)),
    ("b_swings", |row| swings(&row.b)),
];

/// What was found of a measure, as a cell.
fn of<T: ToString>(row: &Row, value: impl Fn(&MeasureComparison) -> Option<T>) -> String {
    let found = row.found.as_ref().ok();
    found
        .and_then(value)
        .map(|v| v.to_string())
        .unwrap_or_default()
}

fn more_swings(found: &MeasureComparison) -> Option<String> {
    found.more_swings.map(|more| match more {
        MoreSwings::Each(n) => n.to_string(),
        MoreSwings::BeyondCap => "more than 200".to_owned(),
    })
}

/// Single swings in one cell, so that the columns are the same for sets of any size.
fn swings(values: &[Option<f64>]) -> String {
    let all = values
        .iter()
        .map(|value| value.map_or("absent".to_owned(), |v| v.to_string()));
    all.collect::<Vec<_>>().join(" ")
}

/// Writes the measures of a comparison, one row each.
///
/// # Errors
/// When `out` cannot be written.
pub fn rows(out: &mut dyn Write, comparison: &Comparison) -> csv::Result<()> {
    let mut table = Table::new(out);
    table.row(&COLUMNS.map(|(name, _)| name.to_owned()))?;
    for row in &comparison.rows {
        table.row(&COLUMNS.map(|(_, cell)| cell(row)))?;
    }
    table.done()
}
