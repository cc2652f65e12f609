//! The conclusions again, from the numbers they rest on.
//!
//! ```text
//! n, mean, SD of each set ──▶ change, 95 % interval, t, g, spread, MDC95, verdict
//! at_least / arrangements ──▶ permutation p          lag-1 r ──▶ effective number of swings
//! ```
//! What needs single swings cannot be had again and is empty: the swings worth a second look.

use footing_core::compare::permutation::{PermutationP, Scheme, Visited};
use footing_core::compare::sequence::{Lag1, effective_swings};
use footing_core::compare::summary::Summary;
use footing_core::compare::{MeasureComparison, from_summaries, rows::holm};

use crate::shared::{Moments, SharedMeasure};

/// Everything that was said of one measure, but for the Holm-adjusted p (see [`comparisons`]) and the
/// odd swings.
pub fn comparison(measure: &SharedMeasure) -> MeasureComparison {
    let (a, b) = (summary(&measure.a), summary(&measure.b));
    let pairs = measure.sd_of_differences.map(|sd| Summary {
        n: a.n.min(b.n),
        mean: a.mean.zip(b.mean).map(|(a, b)| b - a),
        sd: Some(sd),
    });
    MeasureComparison {
        p_permutation: permutation(measure),
        lag1: measure.lag1_r.map(|r| lag1(r, a.n, b.n)),
        ..from_summaries(a, b, pairs)
    }
}

/// All measures, with Holm's adjustment over all of them.
pub fn comparisons(measures: &[SharedMeasure]) -> Vec<MeasureComparison> {
    let mut found: Vec<_> = measures.iter().map(comparison).collect();
    let p: Vec<_> = found
        .iter()
        .map(|row| row.p_permutation.map(|p| p.p))
        .collect();
    for (row, adjusted) in found.iter_mut().zip(holm(&p)) {
        row.p_holm = adjusted;
    }
    found
}

fn summary(moments: &Moments) -> Summary {
    Summary {
        n: moments.n as usize,
        mean: moments.mean,
        sd: moments.sd,
    }
}

fn permutation(measure: &SharedMeasure) -> Option<PermutationP> {
    let counted = measure.permutation?;
    let (a, b) = (measure.a.n as usize, measure.b.n as usize);
    let scheme = if measure.sd_of_differences.is_some() {
        Scheme::Signs(a)
    } else {
        Scheme::Splits {
            first: a,
            all: a + b,
        }
    };
    let visited = Visited {
        arrangements: u64::from(counted.arrangements),
        exact: counted.exact,
    };
    Some(PermutationP::from_count(
        u64::from(counted.at_least),
        visited,
        scheme,
    ))
}

/// See `footing_core::compare::sequence::lag1`.
fn lag1(r: f64, n_a: usize, n_b: usize) -> Lag1 {
    let neighbours = |n: usize| if n > 2 { n - 1 } else { 0 };
    Lag1 {
        r,
        neighbours: neighbours(n_a) + neighbours(n_b),
        effective_n: (effective_swings(n_a, r), effective_swings(n_b, r)),
    }
}
