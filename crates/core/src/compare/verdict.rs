//! The five verdicts, and how many more swings would settle an unsettled one.

use super::difference::welch_df;
use super::distribution::t_upper_quantile;
use super::summary::Summary;

/// What may be said of a change. "Ordinary spread" is ± MDC95, the range in which two single swings of an
/// unchanged player differ nineteen times in twenty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The interval is off zero and the change exceeds MDC95: it shows in single swings.
    ClearChange,
    /// The interval is off zero, the change does not exceed MDC95: it shows in the average.
    ChangeOnAverage,
    /// The interval spans zero and reaches beyond ± MDC95: not enough is known.
    NotSettled,
    /// The interval spans zero and stays inside ± MDC95: any change is within ordinary spread.
    WithinOrdinarySpread,
    /// Fewer than three swings on a side.
    TooFewSwings,
}

/// Fewest swings on a side for any other verdict than "too few".
pub const FEWEST_SWINGS: usize = 3;

/// The verdict from the numbers it rests on: the change, its 95 % interval, MDC95.
///
/// An interval that touches zero spans it; one that touches ± MDC95 stays inside.
pub fn verdict(change: f64, ci95: (f64, f64), mdc95: f64) -> Verdict {
    let (low, high) = ci95;
    if low > 0.0 || high < 0.0 {
        if change.abs() > mdc95 {
            Verdict::ClearChange
        } else {
            Verdict::ChangeOnAverage
        }
    } else if low < -mdc95 || high > mdc95 {
        Verdict::NotSettled
    } else {
        Verdict::WithinOrdinarySpread
    }
}

/// How many more swings would settle it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoreSwings {
    /// So many more on each side (pairs, in the paired design).
    Each(u32),
    /// More than [`MORE_SWINGS_CAP`] on each side.
    BeyondCap,
}

/// The search for more swings stops here.
pub const MORE_SWINGS_CAP: u32 = 200;

/// More swings on each side until a separate-sets comparison is expected to settle.
///
/// Settled means that the interval is off zero or inside ± MDC95. With the change and both
/// spreads as they are now, that happens once the half-width falls below
///
/// ```text
/// needed = max( |change|, MDC95 − |change| )
/// half(k) = t_{0.975, df}·√( SD_A²/(n_A + k) + SD_B²/(n_B + k) ),  df by Welch
/// ```
/// The answer is the smallest k ≥ 1 with half(k) < needed. It is an expectation, not a promise: with new
/// swings the change and the spread move too.
pub fn more_swings(a: &Summary, b: &Summary, change: f64, mdc95: f64) -> Option<MoreSwings> {
    let (sd_a, sd_b) = (a.sd?, b.sd?);
    Some(search(change, mdc95, |k| {
        let (n_a, n_b) = (a.n as f64 + k, b.n as f64 + k);
        let (va, vb) = (sd_a * sd_a / n_a, sd_b * sd_b / n_b);
        half_width(va + vb, welch_df(va, n_a - 1.0, vb, n_b - 1.0))
    }))
}

/// The same for pairs: half(k) = t_{0.975, n+k−1}·SD_d/√(n + k).
pub fn more_pairs(differences: &Summary, change: f64, mdc95: f64) -> Option<MoreSwings> {
    let sd = differences.sd?;
    Some(search(change, mdc95, |k| {
        let n = differences.n as f64 + k;
        half_width(sd * sd / n, n - 1.0)
    }))
}

fn half_width(variance: f64, df: f64) -> f64 {
    if variance > 0.0 && df > 0.0 {
        t_upper_quantile(0.025, df) * variance.sqrt()
    } else {
        0.0
    }
}

fn search(change: f64, mdc95: f64, half: impl Fn(f64) -> f64) -> MoreSwings {
    let needed = change.abs().max(mdc95 - change.abs());
    (1..=MORE_SWINGS_CAP)
        .find(|k| half(f64::from(*k)) < needed)
        .map_or(MoreSwings::BeyondCap, MoreSwings::Each)
}
