//! A smooth curve as a few cosine terms.
//!
//! ```text
//! y(q) = Σ_k w_k·c_k·cos( π(q + ½)k/L )        q = 0 … L−1,  w_0 = 1/√L, else √(2/L)
//! c_k  = w_k·Σ_q y(q)·cos( π(q + ½)k/L )       (DCT-II, orthonormal)
//! ```
//! Each c_k is carried as a whole number of steps. An error of half a step in a term stays half a step in
//! root-sum-square over the curve, so the largest error is found by drawing the curve again.
//!
//! **Source**: Ahmed N, Natarajan T, Rao KR (1974) IEEE Trans Comput C-23:90–93.

use std::f64::consts::PI;

/// Terms of a curve, c_0 … c_{L−1}.
pub fn terms(curve: &[f64]) -> Vec<f64> {
    let table = table(curve.len());
    (0..curve.len())
        .map(|k| {
            let sum: f64 = (0..curve.len())
                .map(|q| curve[q] * table[(2 * q + 1) * k % table.len()])
                .sum();
            weight(k, curve.len()) * sum
        })
        .collect()
}

/// The curve of `length` nodes with these first terms; the others are nil.
pub fn curve(terms: &[f64], length: usize) -> Vec<f64> {
    let table = table(length);
    (0..length)
        .map(|q| {
            terms
                .iter()
                .enumerate()
                .map(|(k, c)| weight(k, length) * c * table[(2 * q + 1) * k % table.len()])
                .sum()
        })
        .collect()
}

/// The curve of one term.
pub fn one(k: usize, term: f64, length: usize) -> impl Iterator<Item = f64> {
    let turn = PI * k as f64 / (2 * length) as f64;
    (0..length).map(move |q| weight(k, length) * term * libm::cos(turn * (2 * q + 1) as f64))
}

fn weight(k: usize, length: usize) -> f64 {
    let share = if k == 0 { 1.0 } else { 2.0 };
    (share / length as f64).sqrt()
}

/// cos(πi/2L) for a whole turn, i = 0 … 4L−1.
fn table(length: usize) -> Vec<f64> {
    (0..4 * length)
        .map(|i| libm::cos(PI * i as f64 / (2 * length) as f64))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_curve_comes_back(curve_in in prop::collection::vec(-100.0_f64..100.0, 1..102)) {
            let back = curve(&terms(&curve_in), curve_in.len());
            for (x, y) in curve_in.iter().zip(&back) {
                prop_assert!((x - y).abs() < 1e-9);
            }
        }
    }

    /// Worked by hand: a constant has one term, y·√L; the alternating pair (1, −1) has only the second,
    /// √2·cos(π/4)·1 = … = √2.
    #[test]
    fn terms_by_hand() {
        let constant = terms(&[3.0; 4]);
        assert!((constant[0] - 6.0).abs() < 1e-12 && constant[1..].iter().all(|c| c.abs() < 1e-12));
        let pair = terms(&[1.0, -1.0]);
        assert!(pair[0].abs() < 1e-12 && (pair[1] - 2.0_f64.sqrt()).abs() < 1e-12);
    }
}
