//! Invented swings without change, or with a change of known size: normal measures, smooth curves.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// Nodes of a curve.
const NODES: usize = 101;
/// Smoothness of the curves, nodes.
const FWHM_NODES: f64 = 20.0;

/// The course common to all curves.
pub fn course(q: f64) -> f64 {
    3.0 * (q / 15.0).sin()
}

/// A source of swings.
pub struct Swings {
    random: Pcg64Mcg,
    kernel: Vec<f64>,
}

impl Swings {
    /// The same seed gives the same swings.
    pub fn new(seed: u64) -> Self {
        let sd_nodes = FWHM_NODES / (8.0 * std::f64::consts::LN_2).sqrt();
        let reach = (5.0 * sd_nodes).ceil() as i32;
        let kernel: Vec<f64> = (-reach..=reach)
            .map(|k| (-0.5 * (f64::from(k) / sd_nodes).powi(2)).exp())
            .collect();
        // Scaled so that the smoothed noise keeps unit variance.
        let norm = kernel.iter().map(|k| k * k).sum::<f64>().sqrt();
        Self {
            random: Pcg64Mcg::seed_from_u64(seed),
            kernel: kernel.iter().map(|k| k / norm).collect(),
        }
    }

    /// A standard normal value (Box and Muller 1958, Ann Math Stat 29:610–611).
    fn normal(&mut self) -> f64 {
        let mut uniform = || ((self.random.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64;
        let (u, v) = (uniform(), uniform());
        (-2.0 * u.ln()).sqrt() * (2.0 * std::f64::consts::PI * v).cos()
    }

    /// One measure of `n` swings: mean `shift`, SD 1.
    pub fn measures(&mut self, n: usize, shift: f64) -> Vec<f64> {
        (0..n).map(|_| shift + self.normal()).collect()
    }

    /// Curves of `n` swings: a common course, smooth noise of SD 1, a bump of height `shift`.
    pub fn curves(&mut self, n: usize, shift: f64) -> Vec<Vec<Option<f64>>> {
        (0..n)
            .map(|_| {
                let white = self.measures(NODES + self.kernel.len() - 1, 0.0);
                white
                    .windows(self.kernel.len())
                    .enumerate()
                    .map(|(q, w)| {
                        let q = q as f64;
                        let noise: f64 = w.iter().zip(&self.kernel).map(|(x, k)| x * k).sum();
                        let bump =
                            (-4.0 * std::f64::consts::LN_2 * ((q - 60.0) / 25.0).powi(2)).exp();
                        Some(course(q) + shift * bump + noise)
                    })
                    .collect()
            })
            .collect()
    }
}
