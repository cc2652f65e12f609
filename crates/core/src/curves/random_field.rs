//! Random field theory in one dimension: how high does a smooth noise curve climb by chance?
//!
//! A curve of 101 nodes is neither one test nor 101: its noise is smooth, so it holds a few
//! independent stretches, the *resels*. From their number follows how often the t curve of an unchanged player
//! would anywhere exceed a height u.
//!
//! ```text
//! smoothness   v(q) = Σ_j e'_j(q)² / Σ_j e_j(q)²     e: residual curves, e': difference quotient
//!              FWHM = 1 / mean_q √( v / (4 ln 2) )    nodes
//! resels       R0 = unbroken segments,  R1 = (Q − R0)/FWHM
//! EC density   ρ0(u) = P(t_ν > u)
//!              ρ1(u) = √(4 ln 2)/(2π)·(1 + u²/ν)^((1−ν)/2)
//! E[EC]        Ec(u) = R0·ρ0 + R1·ρ1
//! survival     P(max t > u) = 1 − exp(−Ec(u))
//! threshold    min( u with P = α,  t_ν quantile at α/Q )         two-sided: α/2
//! stretch      p = 1 − exp( −Ec·exp( −(Γ(3/2)·k/Ek)² ) ),  k = extent/FWHM, Ek = ρ0/ρ1
//!              two-sided: twice that, at most 1
//! ```
//! It rests on smooth, normal noise and leans on large numbers: below eight swings a side the
//! permutation result leads.
//!
//! **Source**: Worsley KJ et al. (1996) Hum Brain Mapp 4:58–73 (EC densities); Friston KJ et al. (1994)
//! Hum Brain Mapp 1:210–220 (extent); Kiebel SJ et al. (1999) NeuroImage 10:756–766 (smoothness);
//! Pataky TC (2010) J Biomech 43:1976–1982 and Pataky TC (2016) J Stat Softw 71(7) (curves).

use crate::compare::distribution::{falling_root, t_upper, t_upper_quantile};

/// Whether only peaks, or peaks and troughs, count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tails {
    /// Only t > 0.
    One,
    /// Both, each at half the level.
    Two,
}

impl Tails {
    pub(crate) fn number(self) -> f64 {
        match self {
            Self::One => 1.0,
            Self::Two => 2.0,
        }
    }
}

/// A t field on one or more unbroken segments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomField {
    /// Degrees of freedom; infinite for a normal (Z) field.
    pub df: f64,
    /// Number of nodes.
    pub nodes: usize,
    /// Unbroken segments, R0.
    pub segments: f64,
    /// Resolution elements, R1.
    pub resels: f64,
}

/// Γ(3/2) = √π/2.
const GAMMA_3_2: f64 = 0.886_226_925_452_758;

impl RandomField {
    /// A field of given smoothness; `fwhm_nodes` `None` means perfectly smooth (R1 = 0).
    pub fn new(df: f64, nodes: usize, segments: usize, fwhm_nodes: Option<f64>) -> Self {
        let span = nodes.saturating_sub(segments) as f64;
        Self {
            df,
            nodes,
            segments: segments as f64,
            resels: fwhm_nodes.map_or(0.0, |fwhm| span / fwhm),
        }
    }

    /// ρ0(u): probability that a single node exceeds u.
    pub fn density0(&self, u: f64) -> f64 {
        if self.df.is_infinite() {
            crate::compare::distribution::normal_cdf(-u)
        } else {
            t_upper(u, self.df)
        }
    }

    /// ρ1(u): expected upward crossings of u per resel.
    pub fn density1(&self, u: f64) -> f64 {
        let ln_shape = if self.df.is_infinite() {
            -0.5 * u * u
        } else {
            0.5 * (1.0 - self.df) * (u * u / self.df).ln_1p()
        };
        (4.0 * std::f64::consts::LN_2).sqrt() / (2.0 * std::f64::consts::PI) * ln_shape.exp()
    }

    /// Ec(u): expected number of stretches above u.
    pub fn expected_stretches(&self, u: f64) -> f64 {
        self.segments * self.density0(u) + self.resels * self.density1(u)
    }

    /// Probability that the field anywhere exceeds u.
    pub fn survival(&self, u: f64) -> f64 {
        -(-self.expected_stretches(u)).exp_m1()
    }

    /// The height exceeded anywhere with probability `alpha`, from resels alone.
    ///
    /// `None` when no height will do: with df ≤ 1 the crossings never become rare.
    pub fn resel_threshold(&self, alpha: f64) -> Option<f64> {
        (self.df > 1.0).then(|| falling_root(|u| self.survival(u) - alpha, 0.0, 1.0))
    }

    /// The lower of the resel threshold and Bonferroni's over the nodes; the flag says whether
    /// Bonferroni's was the lower, as happens with rough noise. `alpha` is for one tail.
    pub fn threshold(&self, alpha: f64) -> (f64, bool) {
        let each = alpha / self.nodes as f64;
        let bonferroni = if self.df.is_infinite() {
            falling_root(|u| self.density0(u) - each, 0.0, 1.0)
        } else {
            t_upper_quantile(each, self.df)
        };
        match self.resel_threshold(alpha) {
            Some(resel) if resel <= bonferroni => (resel, false),
            _ => (bonferroni, true),
        }
    }

    /// Expected extent of a stretch above u, resels: Ek = ρ0/ρ1.
    pub fn expected_extent(&self, u: f64) -> f64 {
        self.density0(u) / self.density1(u)
    }

    /// Expected number of stretches above u at least `extent_resels` long.
    fn expected_long_stretches(&self, extent_resels: f64, u: f64) -> f64 {
        let relative = GAMMA_3_2 * extent_resels / self.expected_extent(u);
        self.expected_stretches(u) * (-relative * relative).exp()
    }

    /// Probability of a stretch above u at least `extent_resels` long, one tail; never nil, since
    /// with few swings and a long stretch it falls below the least number there is.
    pub fn stretch_p(&self, extent_resels: f64, u: f64) -> f64 {
        let p = -(-self.expected_long_stretches(extent_resels, u)).exp_m1();
        p.max(f64::MIN_POSITIVE)
    }

    /// Probability of at least `count` stretches above u, each at least `shortest_resels` long, one
    /// tail: a Poisson tail.
    pub fn set_p(&self, count: u32, shortest_resels: f64, u: f64) -> f64 {
        let rate = self.expected_long_stretches(shortest_resels, u);
        let (mut term, mut below) = ((-rate).exp(), 0.0);
        for k in 0..count {
            below += term;
            term *= rate / f64::from(k + 1);
        }
        (1.0 - below).clamp(0.0, 1.0)
    }
}

/// Smoothness of residual curves: FWHM in nodes; `None` when they do not change along any segment.
///
/// `segments` are ranges of unbroken nodes; the difference quotient is central inside a segment and
/// one-sided at its ends, and never reaches over a gap.
pub(super) fn fwhm_nodes(
    residuals: &[Vec<f64>],
    segments: &[std::ops::Range<usize>],
) -> Option<f64> {
    let (mut sum, mut nodes) = (0.0, 0);
    for segment in segments.iter().filter(|s| s.len() > 1) {
        let last = segment.end - 1;
        for q in segment.clone() {
            let (before, after) = (q.saturating_sub(1).max(segment.start), (q + 1).min(last));
            let step = (after - before) as f64;
            let (mut slopes, mut squares) = (0.0, 0.0);
            for row in residuals {
                slopes += ((row[after] - row[before]) / step).powi(2);
                squares += row[q] * row[q];
            }
            sum += (slopes / squares / (4.0 * std::f64::consts::LN_2)).sqrt();
            nodes += 1;
        }
    }
    (sum > 0.0).then(|| f64::from(nodes) / sum)
}
