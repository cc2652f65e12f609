//! Zero-lag Butterworth low-pass and the choice of its cut-off by residual analysis.
//!
//! **Source:** Winter DA (2009) *Biomechanics and Motor Control of Human Movement*, 4th ed., Wiley,
//! § 3.4 (recipe and residual analysis; from memory); Robertson DGE, Dowling JJ (2003)
//! J Electromyogr Kinesiol 13(6):569–573 (correction of the cut-off for repeated passes).

use std::f64::consts::{PI, SQRT_2};

/// How many samples each end is extended by: the default of `scipy.signal.sosfiltfilt` for one
/// second-order section.
pub const PADDING: usize = 9;

/// A second-order low-pass, meant to be run forward and backward.
///
/// ```text
/// y[i] = b0·x[i] + b1·x[i−1] + b2·x[i−2] − a1·y[i−1] − a2·y[i−2]
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowPassFilter {
    /// Feed-forward coefficients.
    pub b: [f64; 3],
    /// Feedback coefficients `a1`, `a2` (`a0` = 1).
    pub a: [f64; 2],
}

impl LowPassFilter {
    /// The filter whose forward-and-backward run has gain 1/√2 at `cutoff_hz`.
    ///
    /// ```text
    /// C = (2^(1/2) − 1)^(1/4) = 0.8022432629        two passes of a second-order Butterworth
    /// ωc = tan(π·fc/fs) / C                          the *warped* frequency is corrected
    /// K1 = √2·ωc   K2 = ωc²   b0 = K2/(1+K1+K2)   b1 = 2·b0   b2 = b0
    /// a1 = 2·b0·(1 − 1/K2)    a2 = 4·b0 − 1 − a1
    /// ```
    /// `None` unless `0 < cutoff_hz < rate_hz / 2`.
    ///
    /// **Source:** the module's; checked against printed coefficients in the tests.
    pub fn zero_lag(cutoff_hz: f64, rate_hz: f64) -> Option<Self> {
        if !(cutoff_hz > 0.0 && cutoff_hz < rate_hz / 2.0) {
            return None;
        }
        let correction = (SQRT_2 - 1.0).sqrt().sqrt();
        let warped = libm::tan(PI * cutoff_hz / rate_hz) / correction;
        let k1 = SQRT_2 * warped;
        let k2 = warped * warped;
        let b0 = k2 / (1.0 + k1 + k2);
        let a1 = 2.0 * b0 * (1.0 - 1.0 / k2);
        // The gain at rest is one, so the coefficients sum to 1 + a1 + a2.
        let a2 = 4.0 * b0 - 1.0 - a1;
        Some(Self {
            b: [b0, 2.0 * b0, b0],
            a: [a1, a2],
        })
    }

    /// Runs the filter forward and backward over `x`, the ends extended by [`PADDING`] samples
    /// reflected about the end points (odd extension), the state started at rest on the first
    /// value: what `scipy.signal.sosfiltfilt` does by default.
    ///
    /// `None` when `x` has no more samples than the padding.
    pub fn run_both_ways(&self, x: &[f64]) -> Option<Vec<f64>> {
        let n = x.len();
        if n <= PADDING {
            return None;
        }
        let (first, last) = (*x.first()?, *x.last()?);
        let mut y = Vec::with_capacity(n + 2 * PADDING);
        y.extend(x[1..=PADDING].iter().rev().map(|v| 2.0 * first - v));
        y.extend_from_slice(x);
        y.extend(
            x[n - 1 - PADDING..n - 1]
                .iter()
                .rev()
                .map(|v| 2.0 * last - v),
        );
        self.run(&mut y);
        y.reverse();
        self.run(&mut y);
        y.reverse();
        y.truncate(n + PADDING);
        y.drain(..PADDING);
        Some(y)
    }

    /// One pass in place, direct form II transposed, started in the steady state of the first value.
    fn run(&self, y: &mut [f64]) {
        let [b0, b1, b2] = self.b;
        let [a1, a2] = self.a;
        let start = y.first().copied().unwrap_or(0.0);
        let mut z0 = (1.0 - b0) * start;
        let mut z1 = (b2 - a2) * start;
        for value in y {
            let x = *value;
            let out = b0 * x + z0;
            z0 = b1 * x - a1 * out + z1;
            z1 = b2 * x - a2 * out;
            *value = out;
        }
    }
}

/// What residual analysis found.
#[derive(Debug, Clone, PartialEq)]
pub struct ResidualAnalysis {
    /// The chosen cut-off, Hz.
    pub cutoff_hz: f64,
    /// Intercept of the straight tail, in the signal's unit: the noise that is let through.
    pub intercept: f64,
    /// Slope of the straight tail, signal's unit per Hz.
    pub slope: f64,
}

/// Chooses a cut-off by residual analysis.
///
/// ```text
/// R(fc) = √ mean (x − x_filtered)²     fc = 2, 4, … Hz
/// R ≈ A + B·fc over the tail           the tail is taken from `tail_hz.0` to `tail_hz.1`
/// chosen: the first fc where R falls to A (linear between trial cut-offs)
/// ```
/// `None` when the signal is too short, the rate too low for the tail, or R never falls to A.
/// It needs white noise well below half the sampling rate and tends to over-smooth.
///
/// **Source:** the module's.
pub fn residual_analysis(x: &[f64], rate_hz: f64, tail_hz: (f64, f64)) -> Option<ResidualAnalysis> {
    const STEP_HZ: f64 = 2.0;
    let residual = |cutoff_hz: f64| -> Option<f64> {
        let filtered = LowPassFilter::zero_lag(cutoff_hz, rate_hz)?.run_both_ways(x)?;
        let sum: f64 = x
            .iter()
            .zip(&filtered)
            .map(|(raw, smooth)| (raw - smooth) * (raw - smooth))
            .sum();
        Some((sum / x.len() as f64).sqrt())
    };
    let steps = (tail_hz.1 / STEP_HZ) as usize;
    let mut trials = Vec::with_capacity(steps);
    for i in 1..=steps {
        let cutoff_hz = i as f64 * STEP_HZ;
        trials.push((cutoff_hz, residual(cutoff_hz)?));
    }
    let tail: Vec<(f64, f64)> = trials
        .iter()
        .copied()
        .filter(|(f, _)| *f >= tail_hz.0)
        .collect();
    if tail.len() < 3 {
        return None;
    }
    let count = tail.len() as f64;
    let mean_f = tail.iter().map(|p| p.0).sum::<f64>() / count;
    let mean_r = tail.iter().map(|p| p.1).sum::<f64>() / count;
    let spread: f64 = tail.iter().map(|p| (p.0 - mean_f) * (p.0 - mean_f)).sum();
    let slope = tail
        .iter()
        .map(|p| (p.0 - mean_f) * (p.1 - mean_r))
        .sum::<f64>()
        / spread;
    let intercept = mean_r - slope * mean_f;
    let cutoff_hz = trials.windows(2).find_map(|pair| {
        let ((f0, r0), (f1, r1)) = (pair[0], pair[1]);
        (r0 > intercept && r1 <= intercept).then(|| f0 + (f1 - f0) * (r0 - intercept) / (r0 - r1))
    })?;
    Some(ResidualAnalysis {
        cutoff_hz,
        intercept,
        slope,
    })
}
