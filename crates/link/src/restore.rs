//! The conclusions again, from the numbers they rest on.
//!
//! ```text
//! n, mean, SD of each set ──▶ change, 95 % interval, t, g, spread, MDC95, verdict
//! at_least / arrangements ──▶ permutation p          lag-1 r ──▶ effective number of swings
//! ```
//! What needs single swings cannot be had again and is empty: the swings worth a second look.

use footing_core::compare::difference::{Difference, TTest, welch};
use footing_core::compare::distribution::{t_two_sided, t_upper_quantile};
use footing_core::compare::effect::{hedges_g, hedges_g_paired};
use footing_core::compare::permutation::{PermutationP, Scheme, Visited};
use footing_core::compare::sequence::Lag1;
use footing_core::compare::summary::{Summary, mdc95, pooled_sd};
use footing_core::compare::verdict::{FEWEST_SWINGS, Verdict, more_pairs, more_swings, verdict};
use footing_core::compare::{Design, MeasureComparison, rows::holm};

use crate::shared::{Moments, SharedMeasure};

/// Everything that was said of one measure, but for the Holm-adjusted p (see [`comparisons`]) and the
/// odd swings.
pub fn comparison(measure: &SharedMeasure) -> MeasureComparison {
    let (a, b) = (summary(&measure.a), summary(&measure.b));
    let spread = pooled_sd(&a, &b);
    let mdc95 = spread.map(mdc95);
    let change = a.mean.zip(b.mean).map(|(a, b)| b - a);
    let pairs = measure.sd_of_differences.map(|sd| Summary {
        n: a.n.min(b.n),
        mean: change,
        sd: Some(sd),
    });
    let (design, difference, effect) = match pairs {
        None => (
            Design::Separate,
            welch(&a, &b),
            change
                .zip(spread)
                .and_then(|(change, sd)| hedges_g(change, sd, a.n, b.n)),
        ),
        Some(pairs) => (
            Design::Paired,
            paired(&pairs),
            change
                .zip(pairs.sd)
                .and_then(|(change, sd)| hedges_g_paired(change, sd, pairs.n)),
        ),
    };
    let verdict = conclude(&a, &b, difference.as_ref(), mdc95);
    let more_swings = match (verdict, difference, mdc95) {
        (Verdict::NotSettled, Some(d), Some(mdc95)) => match &pairs {
            None => more_swings(&a, &b, d.change, mdc95),
            Some(pairs) => more_pairs(pairs, d.change, mdc95),
        },
        _ => None,
    };
    let test = difference.and_then(|d| d.test);
    MeasureComparison {
        design,
        a,
        b,
        change,
        ci95: difference.map(|d| d.ci95),
        t: test.map(|t| t.t),
        df: test.map(|t| t.df),
        p_t: test.map(|t| t.p),
        p_permutation: permutation(measure),
        p_holm: None,
        effect,
        spread,
        mdc95,
        lag1: measure.lag1_r.map(|r| lag1(r, a.n, b.n)),
        odd: Vec::new(),
        no_spread: spread == Some(0.0),
        verdict,
        more_swings,
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

/// Mean of paired differences from its summary; SE = SD_d/√n, df = n − 1. **Source**: Student
/// (1908) Biometrika 6:1–25.
fn paired(pairs: &Summary) -> Option<Difference> {
    let (change, sd) = pairs.mean.zip(pairs.sd)?;
    let df = pairs.df();
    if df < 1.0 {
        return None;
    }
    let standard_error = sd / (pairs.n as f64).sqrt();
    let half = t_upper_quantile(0.025, df) * standard_error;
    Some(Difference {
        change,
        standard_error,
        ci95: (change - half, change + half),
        test: (standard_error > 0.0).then(|| {
            let t = change / standard_error;
            TTest {
                t,
                df,
                p: t_two_sided(t, df),
            }
        }),
    })
}

fn conclude(
    a: &Summary,
    b: &Summary,
    difference: Option<&Difference>,
    mdc95: Option<f64>,
) -> Verdict {
    match (difference, mdc95) {
        (Some(d), Some(mdc95)) if a.n >= FEWEST_SWINGS && b.n >= FEWEST_SWINGS => {
            verdict(d.change, d.ci95, mdc95)
        }
        _ => Verdict::TooFewSwings,
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
    let worth = |n: usize| {
        let n = n as f64;
        if r > 0.0 {
            n * (1.0 - r) / (1.0 + r)
        } else {
            n
        }
    };
    Lag1 {
        r,
        neighbours: neighbours(n_a) + neighbours(n_b),
        effective_n: (worth(n_a), worth(n_b)),
    }
}
