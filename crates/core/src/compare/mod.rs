//! Is it a real change? Two sets of swings of one player, one measure at a time.
//!
//! ```text
//! values of set A, values of set B ──▶ compare ──▶ MeasureComparison
//!   summary        n, mean, SD, pooled spread, MDC95
//!   difference     B − A with Welch's (or the paired) 95 % interval, t, df, p
//!   permutation    exact p, or drawn from a seed with its own error
//!   effect         Hedges' g with an exact interval
//!   sequence       lag-1 correlation, swings worth a second look
//!   verdict        one of five, and how many more swings would settle it
//!   rows           Holm's adjustment over the rows of a table
//! ```
//!
//! The swings are repeated measures of one golfer: whatever is said here is said of this golfer on
//! this day, not of golfers and not of lasting learning. How often an unchanged player is told of a
//! change, measured on invented swings:
#![doc = include_str!("../../docs/false-alarms.md")]

pub mod difference;
pub mod distribution;
pub mod effect;
pub mod permutation;
pub mod rows;
pub mod sequence;
pub mod summary;
pub mod verdict;

use std::fmt;

use difference::Difference;
use effect::Effect;
use permutation::{PermutationP, PermutationPlan};
use sequence::{Lag1, OddSwing};
use summary::Summary;
use verdict::{FEWEST_SWINGS, MoreSwings, Verdict};

/// How the two sets belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Design {
    /// Two separate sets: first one, then the other.
    Separate,
    /// Swing i of A belongs with swing i of B, as when the two ways are swung in turn.
    Paired,
}

/// One of the two sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The first set, such as "before".
    A,
    /// The second set, such as "after".
    B,
}

/// Everything there is to say about one measure in two sets. What cannot be had is `None`; no number in
/// here is ever NaN or infinite.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureComparison {
    /// How the sets belong together.
    pub design: Design,
    /// The first set.
    pub a: Summary,
    /// The second set.
    pub b: Summary,
    /// Mean of B − mean of A, in the measure's unit.
    pub change: Option<f64>,
    /// 95 % confidence interval of the change: Welch's, or of the paired differences.
    pub ci95: Option<(f64, f64)>,
    /// t of the same test.
    pub t: Option<f64>,
    /// Its degrees of freedom.
    pub df: Option<f64>,
    /// Its two-sided p: Welch's, or of the paired t test.
    pub p_t: Option<f64>,
    /// Permutation p: splits of the two sets, or sign flips of the pairs.
    pub p_permutation: Option<PermutationP>,
    /// `p_permutation` adjusted for the number of rows read together; set by [`compare_rows`].
    pub p_holm: Option<f64>,
    /// Standardised change, Hedges' g.
    pub effect: Option<Effect>,
    /// Pooled within-set SD.
    pub spread: Option<f64>,
    /// Minimal detectable change between two single swings, 1.96·√2·spread.
    pub mdc95: Option<f64>,
    /// Resemblance of neighbouring swings.
    pub lag1: Option<Lag1>,
    /// Swings worth a second look, at most one a set.
    pub odd: Vec<(Side, OddSwing)>,
    /// All swings of each set are alike to the last digit: intervals have no width, and the
    /// measure is likelier a constant than a measurement.
    pub no_spread: bool,
    /// The verdict; it rests on `change`, `ci95` and `mdc95`.
    pub verdict: Verdict,
    /// When the verdict is "not settled": how many more swings would settle it at this spread.
    pub more_swings: Option<MoreSwings>,
}

/// Why a comparison could not be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CompareError {
    /// A value that is not a finite number; absent values are to be left out beforehand.
    NotFinite {
        /// The set it is in.
        side: Side,
        /// Its place, from 0.
        index: usize,
        /// What was found there.
        got: f64,
    },
    /// Pairs need as many swings in B as in A.
    UnequalPairs {
        /// Swings in A.
        a: usize,
        /// Swings in B.
        b: usize,
    },
}

impl fmt::Display for CompareError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { side, index, got } => write!(
                f,
                "set {side:?}, swing {}: expected a finite number, got {got}; leave the swing out",
                index + 1
            ),
            Self::UnequalPairs { a, b } => write!(
                f,
                "pairs need as many swings in both sets: expected {a} in B as in A, got {b}; \
                 compare them as separate sets"
            ),
        }
    }
}

impl std::error::Error for CompareError {}

/// Compares one measure in two sets, values in the order the swings were made.
///
/// Any number of swings will do, none included: what cannot be had is absent and the verdict is then
/// [`Verdict::TooFewSwings`].
///
/// # Errors
/// A value that is not finite; in the paired design, sets of different length.
///
/// # Examples
/// ```
/// use footing_core::compare::{Design, compare, permutation::PermutationPlan, verdict::Verdict};
///
/// let before = [61.2, 58.7, 63.5, 60.1, 59.4, 62.0, 57.9, 61.8];
/// let after = [64.9, 66.3, 63.8, 67.1, 65.0, 62.7, 66.8, 65.4];
/// let found = compare(&before, &after, Design::Separate, &PermutationPlan::default())?;
/// assert_eq!(found.verdict, Verdict::ChangeOnAverage);
/// assert!((found.change.unwrap() - 4.675).abs() < 1e-9);
/// assert!((found.mdc95.unwrap() - 4.714).abs() < 1e-3);
/// # Ok::<(), footing_core::compare::CompareError>(())
/// ```
pub fn compare(
    a: &[f64],
    b: &[f64],
    design: Design,
    plan: &PermutationPlan,
) -> Result<MeasureComparison, CompareError> {
    for (side, values) in [(Side::A, a), (Side::B, b)] {
        if let Some(index) = values.iter().position(|v| !v.is_finite()) {
            let got = values[index];
            return Err(CompareError::NotFinite { side, index, got });
        }
    }
    if design == Design::Paired && a.len() != b.len() {
        return Err(CompareError::UnequalPairs {
            a: a.len(),
            b: b.len(),
        });
    }
    let (a, b) = without_rounding(a, b);
    let (a, b) = (a.as_slice(), b.as_slice());
    let (sa, sb) = (summary::summarise(a), summary::summarise(b));
    let differences: Vec<f64> = b.iter().zip(a).map(|(b, a)| b - a).collect();
    let (pairs, p_permutation) = match design {
        Design::Separate => (None, permutation::difference_of_means(a, b, plan)),
        Design::Paired => (
            Some(summary::summarise(&differences)),
            permutation::sign_flip(&differences, plan),
        ),
    };
    let odd = [(Side::A, a), (Side::B, b)]
        .into_iter()
        .filter_map(|(side, values)| Some((side, sequence::odd_swing(values)?)))
        .collect();
    Ok(MeasureComparison {
        p_permutation,
        lag1: sequence::lag1([(a, &sa), (b, &sb)]),
        odd,
        ..from_summaries(sa, sb, pairs)
    })
}

/// Values that differ in their last digits only are one value: 0.85 reckoned in two ways is no change,
/// however small the spread.
fn without_rounding(a: &[f64], b: &[f64]) -> (Vec<f64>, Vec<f64>) {
    const ROUNDING: f64 = 1e-12;
    let mut all: Vec<f64> = a.iter().chain(b).copied().collect();
    let slack = ROUNDING * all.iter().fold(0.0, |most: f64, v| most.max(v.abs()));
    all.sort_by(f64::total_cmp);
    all.dedup_by(|next, kept| *next - *kept <= slack);
    let least = |v: &f64| all[all.partition_point(|kept| *kept <= *v) - 1];
    (a.iter().map(least).collect(), b.iter().map(least).collect())
}

/// Everything that follows from counts, means and spreads alone: all but the permutation p, the
/// correlation of neighbours and the odd swings, which need single swings.
///
/// `pairs`: summary of the paired differences B − A; `Some` makes this a paired comparison.
pub fn from_summaries(a: Summary, b: Summary, pairs: Option<Summary>) -> MeasureComparison {
    let spread = summary::pooled_sd(&a, &b);
    let mdc95 = spread.map(summary::mdc95);
    let change = a.mean.zip(b.mean).map(|(a, b)| b - a);
    let (design, difference, effect) = match &pairs {
        None => (
            Design::Separate,
            difference::welch(&a, &b),
            change
                .zip(spread)
                .and_then(|(change, sd)| effect::hedges_g(change, sd, a.n, b.n)),
        ),
        Some(pairs) => (
            Design::Paired,
            difference::of_pairs(pairs),
            pairs
                .mean
                .zip(pairs.sd)
                .and_then(|(mean, sd)| effect::hedges_g_paired(mean, sd, pairs.n)),
        ),
    };
    let verdict = conclude(&a, &b, difference.as_ref(), mdc95);
    let more_swings = match (verdict, &difference, mdc95) {
        (Verdict::NotSettled, Some(d), Some(mdc95)) => match &pairs {
            None => verdict::more_swings(&a, &b, d.change, mdc95),
            Some(pairs) => verdict::more_pairs(pairs, d.change, mdc95),
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
        p_permutation: None,
        p_holm: None,
        effect,
        spread,
        mdc95,
        lag1: None,
        odd: Vec::new(),
        no_spread: spread == Some(0.0),
        verdict,
        more_swings,
    }
}

/// Compares several measures and adjusts their permutation p-values for being read together.
///
/// # Errors
/// Those of [`compare`], with the row's place, from 0.
pub fn compare_rows(
    rows: &[(&[f64], &[f64])],
    design: Design,
    plan: &PermutationPlan,
) -> Result<Vec<MeasureComparison>, (usize, CompareError)> {
    let mut found = rows
        .iter()
        .enumerate()
        .map(|(row, (a, b))| compare(a, b, design, plan).map_err(|e| (row, e)))
        .collect::<Result<Vec<_>, _>>()?;
    let p: Vec<Option<f64>> = found
        .iter()
        .map(|row| row.p_permutation.map(|p| p.p))
        .collect();
    for (row, adjusted) in found.iter_mut().zip(rows::holm(&p)) {
        row.p_holm = adjusted;
    }
    Ok(found)
}

fn conclude(
    a: &Summary,
    b: &Summary,
    difference: Option<&Difference>,
    mdc95: Option<f64>,
) -> Verdict {
    match (difference, mdc95) {
        (Some(d), Some(mdc95)) if a.n >= FEWEST_SWINGS && b.n >= FEWEST_SWINGS => {
            verdict::verdict(d.change, d.ci95, mdc95)
        }
        _ => Verdict::TooFewSwings,
    }
}
