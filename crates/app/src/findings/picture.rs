//! The small picture of a row: every swing a dot, means, interval, band of ordinary spread.

use crate::comparison::{MeasureComparison, Row};

/// Places on one scale from 0 (left) to 1 (right).
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Swings of A; empty when only means are known.
    pub a: Vec<f64>,
    /// Swings of B.
    pub b: Vec<f64>,
    /// Mean of A.
    pub mean_a: f64,
    /// Mean of B.
    pub mean_b: f64,
    /// 95 % interval of the change, laid at the mean of A.
    pub interval: Option<(f64, f64)>,
    /// Ordinary spread of single swings about the mean of A.
    pub band: Option<(f64, f64)>,
    /// The picture in words.
    pub alt: String,
}

impl Picture {
    pub(super) fn of(row: &Row, found: &MeasureComparison) -> Option<Self> {
        let (mean_a, mean_b) = (found.a.mean?, found.b.mean?);
        let interval = found.ci95.map(|(lo, hi)| (mean_a + lo, mean_a + hi));
        let band = found.mdc95.map(|m| (mean_a - m, mean_a + m));
        let a: Vec<f64> = row.a.iter().flatten().copied().collect();
        let b: Vec<f64> = row.b.iter().flatten().copied().collect();
        let everything = || {
            a.iter()
                .chain(&b)
                .copied()
                .chain([mean_a, mean_b])
                .chain(interval.into_iter().chain(band).flat_map(|(x, y)| [x, y]))
        };
        let low = everything().fold(f64::INFINITY, f64::min);
        let high = everything().fold(f64::NEG_INFINITY, f64::max);
        let place = |v: f64| {
            if high > low {
                0.04 + 0.92 * (v - low) / (high - low)
            } else {
                0.5
            }
        };
        let pair = |(x, y): (f64, f64)| (place(x), place(y));
        let outside = band.map(|(lo, hi)| mean_b < lo || mean_b > hi);
        Some(Self {
            alt: format!(
                "{} swings of A and {} of B; the mean of B lies {} the band of ordinary spread around the mean of A",
                found.a.n,
                found.b.n,
                match outside {
                    Some(true) => "outside",
                    Some(false) => "inside",
                    None => "where there is not yet",
                }
            ),
            a: a.iter().copied().map(place).collect(),
            b: b.iter().copied().map(place).collect(),
            mean_a: place(mean_a),
            mean_b: place(mean_b),
            interval: interval.map(pair),
            band: band.map(pair),
        })
    }
}
