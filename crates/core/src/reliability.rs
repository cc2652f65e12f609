//! Reliability: how well does a measure repeat, and how far may two readings lie apart?
//!
//! Worked examples and their sources are in the tests. Readings are laid out by row: one row a
//! subject (a session, a target), one entry a trial (a judge, a repetition).

use std::fmt;

use crate::compare::distribution::{
    chi_squared_upper_quantile, f_upper_quantile, t_upper_quantile,
};
use crate::compare::summary::summarise;

/// Why a reliability figure could not be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReliabilityError {
    /// Fewer than two rows or two entries a row.
    TooSmall {
        /// Rows.
        rows: usize,
        /// Entries in the first row.
        columns: usize,
    },
    /// A row (or the second list) of another length than the first.
    Ragged {
        /// Its place, from 0.
        row: usize,
        /// Entries of the first row.
        expected: usize,
        /// Entries of this one.
        got: usize,
    },
    /// A reading that is not a finite number.
    NotFinite {
        /// Its row, from 0.
        row: usize,
    },
}

impl fmt::Display for ReliabilityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooSmall { rows, columns } => write!(
                f,
                "expected at least 2 rows of 2 readings, got {rows} of {columns}"
            ),
            Self::Ragged { row, expected, got } => write!(
                f,
                "row {}: expected {expected} readings as in the first, got {got}",
                row + 1
            ),
            Self::NotFinite { row } => write!(
                f,
                "row {}: expected finite readings, got one that is not; leave the row out",
                row + 1
            ),
        }
    }
}

impl std::error::Error for ReliabilityError {}

/// Mean squares of a two-way layout of n rows and k columns, one reading a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanSquares {
    /// Rows, n.
    pub rows: usize,
    /// Columns, k.
    pub columns: usize,
    /// Between rows, df n − 1.
    pub between: f64,
    /// Within rows, df n(k − 1).
    pub within: f64,
    /// Between columns, df k − 1.
    pub columns_between: f64,
    /// Error (rows × columns), df (n − 1)(k − 1).
    pub error: f64,
    /// SD of all readings about their grand mean.
    pub sd_total: f64,
}

/// Analysis of variance of a two-way layout.
///
/// # Errors
/// Fewer than two rows or columns, rows of different length, a reading that is not finite.
pub fn mean_squares(readings: &[Vec<f64>]) -> Result<MeanSquares, ReliabilityError> {
    let (rows, columns) = (readings.len(), readings.first().map_or(0, Vec::len));
    if rows < 2 || columns < 2 {
        return Err(ReliabilityError::TooSmall { rows, columns });
    }
    for (row, entries) in readings.iter().enumerate() {
        if entries.len() != columns {
            return Err(ReliabilityError::Ragged {
                row,
                expected: columns,
                got: entries.len(),
            });
        }
        if entries.iter().any(|v| !v.is_finite()) {
            return Err(ReliabilityError::NotFinite { row });
        }
    }
    let (n, k) = (rows as f64, columns as f64);
    let row_means: Vec<f64> = readings
        .iter()
        .map(|row| row.iter().sum::<f64>() / k)
        .collect();
    let column_means: Vec<f64> = (0..columns)
        .map(|j| readings.iter().map(|row| row[j]).sum::<f64>() / n)
        .collect();
    let grand = row_means.iter().sum::<f64>() / n;
    let (mut total, mut error) = (0.0, 0.0);
    for (row, row_mean) in readings.iter().zip(&row_means) {
        for (value, column_mean) in row.iter().zip(&column_means) {
            total += (value - grand).powi(2);
            error += (value - row_mean - column_mean + grand).powi(2);
        }
    }
    let about_grand = |means: &[f64]| means.iter().map(|m| (m - grand).powi(2)).sum::<f64>();
    let between_columns = n * about_grand(&column_means);
    Ok(MeanSquares {
        rows,
        columns,
        between: k * about_grand(&row_means) / (n - 1.0),
        within: (between_columns + error) / (n * (k - 1.0)),
        columns_between: between_columns / (k - 1.0),
        error: error / ((n - 1.0) * (k - 1.0)),
        sd_total: (total / (n * k - 1.0)).sqrt(),
    })
}

/// An intraclass correlation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Icc {
    /// The estimate.
    pub value: f64,
    /// 95 % confidence interval; `None` when the error is nil.
    pub ci95: Option<(f64, f64)>,
}

/// The six intraclass correlations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Iccs {
    /// One-way, single reading.
    pub icc1: Icc,
    /// Two-way random, absolute agreement, single reading.
    pub icc2: Icc,
    /// Two-way mixed, consistency, single reading.
    pub icc3: Icc,
    /// One-way, mean of k readings.
    pub icc1k: Icc,
    /// Two-way random, absolute agreement, mean of k.
    pub icc2k: Icc,
    /// Two-way mixed, consistency, mean of k.
    pub icc3k: Icc,
}

/// The six intraclass correlations from mean squares; `None` when nothing varies between rows.
///
/// ```text
/// B, W, J, E: mean squares between rows, within rows, between columns, error
/// ICC(1,1) = (B − W)/(B + (k−1)W)                     ICC(1,k) = (B − W)/B
/// ICC(2,1) = (B − E)/(B + (k−1)E + k(J − E)/n)        ICC(2,k) = (B − E)/(B + (J − E)/n)
/// ICC(3,1) = (B − E)/(B + (k−1)E)                     ICC(3,k) = (B − E)/B
/// ```
/// Intervals by F, for ICC(2,·) with Satterthwaite's degrees of freedom.
/// **Source**: Shrout PE, Fleiss JL (1979) Psychol Bull 86(2):420–428.
pub fn iccs(ms: &MeanSquares) -> Option<Iccs> {
    let (n, k) = (ms.rows as f64, ms.columns as f64);
    let (b, w, j, e) = (ms.between, ms.within, ms.columns_between, ms.error);
    if b <= 0.0 {
        return None;
    }
    let single = |f: f64| (f - 1.0) / (f + k - 1.0);
    let average = |f: f64| 1.0 - 1.0 / f;
    let by_f = |error: f64, df_error: f64, of: &dyn Fn(f64) -> f64| {
        let observed = b / error;
        (error > 0.0).then(|| {
            let low = observed / f_upper_quantile(0.025, n - 1.0, df_error);
            let high = observed * f_upper_quantile(0.025, df_error, n - 1.0);
            (of(low), of(high))
        })
    };
    let (df_w, df_e) = (n * (k - 1.0), (n - 1.0) * (k - 1.0));
    let icc2 = (b - e) / (b + (k - 1.0) * e + k * (j - e) / n);
    let ci2 = (e > 0.0).then(|| {
        let f = j / e;
        let kept = n * (1.0 + (k - 1.0) * icc2) - k * icc2;
        let top = df_e * (k * icc2 * f + kept).powi(2);
        let bottom = (n - 1.0) * (k * icc2 * f).powi(2) + kept.powi(2);
        let df = top / bottom;
        let columns = k * j + (k * n - k - n) * e;
        let f_low = f_upper_quantile(0.025, n - 1.0, df);
        let f_high = f_upper_quantile(0.025, df, n - 1.0);
        (
            n * (b - f_low * e) / (f_low * columns + n * b),
            n * (f_high * b - e) / (columns + n * f_high * b),
        )
    });
    // Spearman–Brown carries the limits of a single reading over to the mean of k.
    let stepped_up = |r: f64| k * r / (1.0 + (k - 1.0) * r);
    Some(Iccs {
        icc1: Icc {
            value: (b - w) / (b + (k - 1.0) * w),
            ci95: by_f(w, df_w, &single),
        },
        icc2: Icc {
            value: icc2,
            ci95: ci2,
        },
        icc3: Icc {
            value: (b - e) / (b + (k - 1.0) * e),
            ci95: by_f(e, df_e, &single),
        },
        icc1k: Icc {
            value: average(b / w),
            ci95: by_f(w, df_w, &average),
        },
        icc2k: Icc {
            value: (b - e) / (b + (j - e) / n),
            ci95: ci2.map(|(low, high)| (stepped_up(low), stepped_up(high))),
        },
        icc3k: Icc {
            value: 1.0 - e / b,
            ci95: by_f(e, df_e, &average),
        },
    })
}

/// What one reading is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingError {
    /// Standard error of measurement, in the measure's unit.
    pub sem: f64,
    /// Its 95 % confidence interval.
    pub sem_ci95: (f64, f64),
    /// Minimal detectable change between two single readings.
    pub mdc95: f64,
}

/// Standard error of measurement and minimal detectable change.
///
/// ```text
/// SEM = √E     MDC95 = 1.96·√2·SEM     df = (n − 1)(k − 1)
/// CI: SEM·√(df/χ²_{0.975}) … SEM·√(df/χ²_{0.025})
/// ```
/// Unlike an ICC it does not depend on how much the rows differ from one another. Within a session it
/// holds for within-session noise only: standing anew on the plates is not in it.
/// **Source**: Weir JP (2005) J Strength Cond Res 19(1):231–240.
pub fn reading_error(ms: &MeanSquares) -> ReadingError {
    let df = (ms.rows as f64 - 1.0) * (ms.columns as f64 - 1.0);
    let sem = ms.error.sqrt();
    let limit = |p: f64| sem * (df / chi_squared_upper_quantile(p, df)).sqrt();
    ReadingError {
        sem,
        sem_ci95: (limit(0.025), limit(0.975)),
        mdc95: crate::compare::summary::mdc95(sem),
    }
}

/// Standard error of estimate, `SD·√(ICC(1 − ICC))`: SD of true scores about their best guess from one
/// reading; `None` for an ICC outside 0–1. **Source**: Weir (2005).
pub fn standard_error_of_estimate(sd: f64, icc: f64) -> Option<f64> {
    (0.0..=1.0)
        .contains(&icc)
        .then(|| sd * (icc * (1.0 - icc)).sqrt())
}

/// Standard error of prediction, `SD·√(1 − ICC²)`: SD of a second reading about its best guess from the
/// first; `None` for an ICC outside −1–1. **Source**: Weir (2005).
pub fn standard_error_of_prediction(sd: f64, icc: f64) -> Option<f64> {
    (-1.0..=1.0)
        .contains(&icc)
        .then(|| sd * (1.0 - icc * icc).sqrt())
}

/// Agreement of two ways of measuring the same things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Pairs.
    pub n: usize,
    /// Mean of first − second.
    pub mean: f64,
    /// SD of the differences.
    pub sd: f64,
    /// Standard error of the mean, SD/√n.
    pub mean_se: f64,
    /// 95 % confidence interval of the mean.
    pub mean_ci95: (f64, f64),
    /// Limits of agreement, mean ∓ multiplier·SD.
    pub limits: (f64, f64),
    /// Standard error of each limit, √(3·SD²/n).
    pub limit_se: f64,
    /// 95 % confidence interval of the lower limit.
    pub lower_ci95: (f64, f64),
    /// 95 % confidence interval of the upper limit.
    pub upper_ci95: (f64, f64),
}

/// Limits of agreement. `multiplier` is 1.96, or 2 as in the paper.
///
/// **Source**: Bland JM, Altman DG (1986) Lancet 327(8476):307–310.
///
/// # Errors
/// Fewer than two pairs, lists of different length, a reading that is not finite.
pub fn agreement(
    first: &[f64],
    second: &[f64],
    multiplier: f64,
) -> Result<Agreement, ReliabilityError> {
    let differences = differences(first, second)?;
    let s = summarise(&differences);
    let (Some(mean), Some(sd)) = (s.mean, s.sd) else {
        return Err(ReliabilityError::TooSmall {
            rows: first.len(),
            columns: 2,
        });
    };
    let n = s.n as f64;
    let t = t_upper_quantile(0.025, n - 1.0);
    let about = |centre: f64, half: f64| (centre - half, centre + half);
    let (mean_se, limit_se) = (sd / n.sqrt(), (3.0 * sd * sd / n).sqrt());
    let limits = about(mean, multiplier * sd);
    Ok(Agreement {
        n: s.n,
        mean,
        sd,
        mean_se,
        mean_ci95: about(mean, t * mean_se),
        limits,
        limit_se,
        lower_ci95: about(limits.0, t * limit_se),
        upper_ci95: about(limits.1, t * limit_se),
    })
}

/// Repeatability coefficient of paired replicates, `multiplier·√(Σd²/n)`: the mean difference is
/// taken to be nil. **Source**: Bland and Altman (1986), with multiplier 2.
///
/// # Errors
/// Lists that are empty or of different length, a reading that is not finite.
pub fn repeatability_coefficient(
    first: &[f64],
    second: &[f64],
    multiplier: f64,
) -> Result<f64, ReliabilityError> {
    let d = differences(first, second)?;
    if d.is_empty() {
        return Err(ReliabilityError::TooSmall {
            rows: 0,
            columns: 2,
        });
    }
    Ok(multiplier * (d.iter().map(|d| d * d).sum::<f64>() / d.len() as f64).sqrt())
}

fn differences(first: &[f64], second: &[f64]) -> Result<Vec<f64>, ReliabilityError> {
    if first.len() != second.len() {
        return Err(ReliabilityError::Ragged {
            row: 1,
            expected: first.len(),
            got: second.len(),
        });
    }
    let d: Vec<f64> = first.iter().zip(second).map(|(x, y)| x - y).collect();
    match d.iter().position(|d| !d.is_finite()) {
        Some(row) => Err(ReliabilityError::NotFinite { row }),
        None => Ok(d),
    }
}
