//! Swings in the order they were made: do neighbours resemble each other, does one stand out?

use super::distribution::t_upper_quantile;
use super::summary::{Summary, sum_of_squares_about, summarise};

/// Resemblance of each swing to the one before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag1 {
    /// Lag-1 correlation within sets, −1 to 1.
    pub r: f64,
    /// Number of neighbouring pairs it rests on.
    pub neighbours: usize,
    /// How many independent swings the two sets are worth, see [`effective_swings`].
    pub effective_n: (f64, f64),
}

/// Lag-1 correlation within sets, both sets together; `None` when nothing varies or no set has three
/// swings.
///
/// ```text
/// r = Σ_sets Σ_i (x_i − m)(x_{i+1} − m) / Σ_sets Σ_i (x_i − m)²
/// ```
/// With so few swings r is a rough figure and leans low, by about 1/n. A high r means that the
/// intervals shown are too narrow. **Source**: Box GEP, Jenkins GM (1976) *Time Series Analysis*, ch. 2;
/// the effective number, Bayley GV, Hammersley JM (1946) J R Stat Soc Suppl 8:184–197, for a
/// first-order process.
pub fn lag1(sets: [(&[f64], &Summary); 2]) -> Option<Lag1> {
    let (mut products, mut squares, mut neighbours) = (0.0, 0.0, 0);
    for (values, summary) in sets {
        let (Some(mean), true) = (summary.mean, values.len() > 2) else {
            continue;
        };
        products += values
            .windows(2)
            .map(|w| (w[0] - mean) * (w[1] - mean))
            .sum::<f64>();
        squares += sum_of_squares_about(values, mean);
        neighbours += values.len() - 1;
    }
    if squares <= 0.0 {
        return None;
    }
    let r: f64 = products / squares;
    Some(Lag1 {
        r,
        neighbours,
        effective_n: (
            effective_swings(sets[0].1.n, r),
            effective_swings(sets[1].1.n, r),
        ),
    })
}

/// How many independent swings `n` swings with lag-1 correlation `r` are worth: `n(1 − r)/(1 + r)`; all
/// of them when r is not positive, since a chance negative r is no reason to claim more.
pub fn effective_swings(n: usize, r: f64) -> f64 {
    let r = r.clamp(0.0, 1.0);
    n as f64 * (1.0 - r) / (1.0 + r)
}

/// A swing that stands apart from the others of its set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OddSwing {
    /// Its place in the set, from 0.
    pub index: usize,
    /// Its value.
    pub value: f64,
    /// Distance from the median in robust SDs (1.4826 times the median absolute deviation), signed.
    pub robust_sds: f64,
}

/// Robust SDs beyond which a swing is worth a second look.
pub const ODD_BEYOND_ROBUST_SDS: f64 = 3.5;

/// Fewest swings of a set of which one may be odd.
pub const FEWEST_TO_BE_ODD: usize = 5;

/// The swing worth a second look, if there is one: a reason to look at the film, never a reason to
/// drop a swing unseen.
///
/// ```text
/// MAD = median |x − median|     odd when |x − median| > 3.5·1.4826·MAD
/// and      |x − mean|/SD > (n − 1)/√n · √( t²/(n − 2 + t²) ),  t = t_{1 − 0.05/(2n), n−2}
/// ```
/// The first rule alone would name a swing in one of five ordinary sets of five, because the median
/// absolute deviation of so few is itself uncertain; the second (Grubbs) holds that to one ordinary
/// set in twenty. `None` below five swings, of which two alike would make any third odd, and when at least
/// half of the swings are equal (MAD = 0).
///
/// **Source**: Iglewicz B, Hoaglin DC (1993) *How to Detect and Handle Outliers*, ASQC: modified z
/// score 0.6745·(x − median)/MAD beyond 3.5; Grubbs FE (1969) Technometrics 11:1–21.
pub fn odd_swing(values: &[f64]) -> Option<OddSwing> {
    let summary = summarise(values);
    let (mean, sd) = (
        summary.mean?,
        summary.sd.filter(|_| summary.n >= FEWEST_TO_BE_ODD)?,
    );
    let middle = median(values.to_vec());
    let robust_sd = 1.4826 * median(values.iter().map(|v| (v - middle).abs()).collect());
    if robust_sd <= 0.0 {
        return None;
    }
    let (index, value) = values
        .iter()
        .copied()
        .enumerate()
        .max_by(|x, y| (x.1 - mean).abs().total_cmp(&(y.1 - mean).abs()))?;
    let robust_sds = (value - middle) / robust_sd;
    let n = summary.n as f64;
    let t = t_upper_quantile(0.05 / (2.0 * n), n - 2.0);
    let grubbs = (n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt();
    let odd = robust_sds.abs() > ODD_BEYOND_ROBUST_SDS && (value - mean).abs() > grubbs * sd;
    odd.then_some(OddSwing {
        index,
        value,
        robust_sds,
    })
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    0.5 * (values[(n - 1) / 2] + values[n / 2])
}
