//! Difference of two means with its 95 % confidence interval and t test.

use super::distribution::{t_two_sided, t_upper_quantile};
use super::summary::{Summary, summarise};

/// A difference of means and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Mean of B − mean of A.
    pub change: f64,
    /// Standard error of `change`.
    pub standard_error: f64,
    /// 95 % confidence interval of the change. Has no width when the swings of each set are
    /// all alike.
    pub ci95: (f64, f64),
    /// The test against "no change"; `None` when the standard error is nil.
    pub test: Option<TTest>,
}

/// A t test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TTest {
    /// change / standard error.
    pub t: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Two-sided p.
    pub p: f64,
}

impl Difference {
    fn new(change: f64, standard_error: f64, df: f64) -> Self {
        // A standard error from rounding alone carries no information.
        let some_error = standard_error > 0.0 && df > 0.0;
        let half = if some_error {
            t_upper_quantile(0.025, df) * standard_error
        } else {
            0.0
        };
        let t = change / standard_error;
        Self {
            change,
            standard_error,
            ci95: (change - half, change + half),
            test: some_error.then(|| TTest {
                t,
                df,
                p: t_two_sided(t, df),
            }),
        }
    }
}

/// Welch's difference of two independent means, B − A; `None` unless both sets have two swings.
///
/// ```text
/// SE² = SD_A²/n_A + SD_B²/n_B
/// df  = SE⁴ / ( (SD_A²/n_A)²/(n_A − 1) + (SD_B²/n_B)²/(n_B − 1) )
/// CI  = change ± t_{0.975, df}·SE
/// ```
/// The two sets may differ in spread. **Source**: Welch BL (1947) Biometrika 34:28–35.
pub fn welch(a: &Summary, b: &Summary) -> Option<Difference> {
    let change = b.mean? - a.mean?;
    let (va, vb) = (a.variance_of_mean()?, b.variance_of_mean()?);
    Some(Difference::new(
        change,
        (va + vb).sqrt(),
        welch_df(va, a.df(), vb, b.df()),
    ))
}

/// Welch–Satterthwaite degrees of freedom of `va + vb`; 0 when both are nil.
pub(crate) fn welch_df(va: f64, df_a: f64, vb: f64, df_b: f64) -> f64 {
    let sum = va + vb;
    if sum <= 0.0 {
        return 0.0;
    }
    // Shares, not fourth powers, so that very small variances do not underflow.
    let (wa, wb) = (va / sum, vb / sum);
    1.0 / (wa * wa / df_a + wb * wb / df_b)
}

/// Mean of paired differences; `None` below two pairs.
///
/// ```text
/// SE = SD_d/√n        df = n − 1
/// ```
/// **Source**: Student (1908) Biometrika 6:1–25.
pub fn paired(differences: &[f64]) -> Option<Difference> {
    of_pairs(&summarise(differences))
}

/// The same from the summary of the paired differences.
pub fn of_pairs(pairs: &Summary) -> Option<Difference> {
    Some(Difference::new(
        pairs.mean?,
        pairs.variance_of_mean()?.sqrt(),
        pairs.df(),
    ))
}
