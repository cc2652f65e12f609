//! One set of swings, one measure: how many, where, how spread; and what two sets share.

/// Number, mean and spread of one set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Number of swings.
    pub n: usize,
    /// Mean; `None` for an empty set.
    pub mean: Option<f64>,
    /// Standard deviation with n − 1: the **typical error** of a single swing of this set;
    /// `None` below two swings.
    pub sd: Option<f64>,
}

/// Summary of one set of finite values.
///
/// ```text
/// mean = Σx/n        SD = √( Σ(x − mean)²/(n − 1) )
/// ```
/// **Source**: for "typical error", Hopkins WG (2000) Sports Med 30(1):1–15.
pub fn summarise(values: &[f64]) -> Summary {
    let n = values.len();
    // Equal values have exactly their own mean and no spread; a rounded sum would give them one.
    let alike = values.iter().all(|v| *v == values[0]);
    let mean = match values {
        [] => None,
        [first, ..] if alike => Some(*first),
        _ => Some(values.iter().sum::<f64>() / n as f64),
    };
    let sd = mean
        .filter(|_| n > 1)
        .map(|m| (sum_of_squares_about(values, m) / (n as f64 - 1.0)).sqrt());
    Summary { n, mean, sd }
}

pub(crate) fn sum_of_squares_about(values: &[f64], centre: f64) -> f64 {
    values.iter().map(|v| (v - centre) * (v - centre)).sum()
}

impl Summary {
    /// Degrees of freedom of the spread, n − 1; 0 for an empty set.
    pub fn df(&self) -> f64 {
        self.n.saturating_sub(1) as f64
    }

    /// Variance of the mean, SD²/n.
    pub(crate) fn variance_of_mean(&self) -> Option<f64> {
        self.sd.map(|sd| sd * sd / self.n as f64)
    }
}

/// Pooled within-set standard deviation; `None` when no set has two swings.
///
/// ```text
/// SD² = ( (n_A − 1)·SD_A² + (n_B − 1)·SD_B² ) / (n_A + n_B − 2)
/// ```
/// A set of one swing knows nothing of spread and adds nothing.
pub fn pooled_sd(a: &Summary, b: &Summary) -> Option<f64> {
    let df = a.df() + b.df();
    let squares = |s: &Summary| s.sd.map_or(0.0, |sd| s.df() * sd * sd);
    (df > 0.0).then(|| ((squares(a) + squares(b)) / df).sqrt())
}

/// Minimal detectable change between two single swings, at 95 %.
///
/// ```text
/// MDC95 = 1.96·√2·SD
/// ```
/// With SD the pooled within-set spread. Two single swings of an unchanged player differ by
/// more than this about once in twenty. **Source**: Weir JP (2005) J Strength Cond Res 19(1):231–240.
pub fn mdc95(sd: f64) -> f64 {
    1.96 * std::f64::consts::SQRT_2 * sd
}
