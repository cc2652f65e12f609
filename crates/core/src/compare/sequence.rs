//! Swings in the order they were made: do neighbours resemble each other, does one stand out?

use super::summary::{Summary, sum_of_squares_about};

/// Resemblance of each swing to the one before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag1 {
    /// Lag-1 correlation within sets, −1 to 1.
    pub r: f64,
    /// Number of neighbouring pairs it rests on.
    pub neighbours: usize,
    /// How many independent swings the two sets are worth, `n(1 − r)/(1 + r)` for r > 0, else n.
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
    let worth = |n: usize| {
        let n = n as f64;
        if r > 0.0 {
            n * (1.0 - r) / (1.0 + r)
        } else {
            n
        }
    };
    Some(Lag1 {
        r,
        neighbours,
        effective_n: (worth(sets[0].1.n), worth(sets[1].1.n)),
    })
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

/// Fewest swings in a set for one of them to be called odd: with fewer, the median absolute
/// deviation is too uncertain and ordinary swings would be named.
pub const ODD_NEEDS_SWINGS: usize = 5;

/// Swings worth a second look: a reason to look at the film, never a reason to drop a swing unseen.
///
/// ```text
/// MAD = median |x − median|     odd when |x − median| > 3.5·1.4826·MAD
/// ```
/// None when at least half of the swings are equal (MAD = 0).
/// **Source**: Iglewicz B, Hoaglin DC (1993) *How to Detect and Handle Outliers*, ASQC: modified z
/// score 0.6745·(x − median)/MAD beyond 3.5.
pub fn odd_swings(values: &[f64]) -> Vec<OddSwing> {
    if values.len() < ODD_NEEDS_SWINGS {
        return Vec::new();
    }
    let middle = median(values.to_vec());
    let robust_sd = 1.4826 * median(values.iter().map(|v| (v - middle).abs()).collect());
    if robust_sd <= 0.0 {
        return Vec::new();
    }
    values
        .iter()
        .enumerate()
        .map(|(index, value)| OddSwing {
            index,
            value: *value,
            robust_sds: (value - middle) / robust_sd,
        })
        .filter(|odd| odd.robust_sds.abs() > ODD_BEYOND_ROBUST_SDS)
        .collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    0.5 * (values[(n - 1) / 2] + values[n / 2])
}
