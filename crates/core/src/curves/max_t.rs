//! The max-|t| permutation test of curves.
//!
//! Every way of dealing the labels anew gives a t curve; its largest |t| is noted. A node whose |t| is rare among
//! those maxima is rare *anywhere* on the curve, so the whole curve is tested at once without any
//! assumption on smoothness or shape of the noise.
//!
//! ```text
//! threshold: with the maxima sorted downwards, the value after the first ⌊α·N⌋
//! ```
//! so that at most the share α of arrangements lies strictly above it, and a stretch above it always
//! has p ≤ α. With too few swings (3 a side: 20 arrangements) nothing can lie above it.
//!
//! **Source**: Nichols TE, Holmes AP (2002) Hum Brain Mapp 15:1–25.

use super::field::{Matrix, Variance};
use super::random_field::Tails;
use crate::compare::permutation::{PermutationP, PermutationPlan, Scheme, Visited, visit};

/// The largest |t| of every arrangement.
#[derive(Debug, Clone, PartialEq)]
pub struct Maxima {
    /// Largest |t| (largest t, one-tailed) of each arrangement, sorted upwards.
    pub sorted: Vec<f64>,
    /// That of the observed arrangement.
    pub observed: f64,
    visited: Visited,
    scheme: Scheme,
}

/// Maxima closer than this share of themselves are ties: the same arrangement mirrored, or summed in
/// another order.
const TIE: f64 = 1e-9;

impl Maxima {
    /// The threshold for a family-wise rate of at most `alpha`.
    pub fn threshold(&self, alpha: f64) -> f64 {
        let n = self.sorted.len();
        let above = (alpha * n as f64 + 1e-9).floor() as usize;
        self.sorted[n - 1 - above.min(n - 1)] * (1.0 + TIE)
    }

    /// p of a height: the share of arrangements whose maximum reaches it.
    pub fn p(&self, height: f64) -> PermutationP {
        let below = self.sorted.partition_point(|m| *m < height * (1.0 - TIE));
        let at_least = (self.sorted.len() - below).max(1) as u64;
        PermutationP::from_count(at_least, self.visited, self.scheme)
    }
}

/// The largest t of one arrangement.
type Statistic = dyn FnMut(&[bool]) -> f64;

/// Goes through the arrangements.
pub(super) fn maxima(
    matrix: &Matrix,
    variance: Variance,
    tails: Tails,
    plan: &PermutationPlan,
) -> Maxima {
    let (scheme, mut largest): (Scheme, Box<Statistic>) = if matrix.second.is_empty() {
        (
            Scheme::Signs(matrix.first.len()),
            Box::new(signs(matrix, tails)),
        )
    } else {
        let scheme = Scheme::Splits {
            first: matrix.first.len(),
            all: matrix.rows(),
        };
        // With equal sizes Welch's t is the pooled t, which needs half the sums.
        let equal = matrix.first.len() == matrix.second.len();
        if equal || variance == Variance::Pooled {
            (scheme, Box::new(pooled(matrix, tails)))
        } else {
            (scheme, Box::new(welch(matrix, tails)))
        }
    };
    let mut all = Vec::new();
    let visited = visit(scheme, plan, |marks| all.push(largest(marks)));
    let observed = all[0];
    all.sort_by(f64::total_cmp);
    Maxima {
        sorted: all,
        observed,
        visited,
        scheme,
    }
}

/// t from the share r of the sum of squares that lies between (or in the mean): t² = df·r/(1 − r).
/// Shares so near 1 that rounding rules give one large t, so that they tie.
fn t_of_share(share: f64, df: f64) -> f64 {
    let share = share.min(1.0 - 1e-12);
    (df * share / (1.0 - share)).sqrt()
}

/// The largest signed root of the shares `sum²·weight`, as t. The largest t belongs to the largest
/// share because the total sum of squares is the same for every arrangement.
fn largest_t(sums: &[f64], weights: &[f64], sign: f64, tails: Tails, df: f64) -> f64 {
    let mut best = 0.0_f64;
    let mut lowest = f64::INFINITY;
    for (sum, weight) in sums.iter().zip(weights) {
        let share = sum * sum * weight;
        if tails == Tails::Two || sign * sum > 0.0 {
            best = best.max(share);
        } else {
            lowest = lowest.min(share);
        }
    }
    if tails == Tails::One && best == 0.0 {
        return -t_of_share(lowest, df);
    }
    t_of_share(best, df)
}

fn pooled(matrix: &Matrix, tails: Tails) -> impl FnMut(&[bool]) -> f64 + use<> {
    let rows = centred(matrix);
    let (n_a, n_b) = (matrix.first.len() as f64, matrix.second.len() as f64);
    let between = 1.0 / n_a + 1.0 / n_b;
    let weights: Vec<f64> = totals(&rows).iter().map(|sst| between / sst).collect();
    let mut sums = vec![0.0; matrix.nodes()];
    move |marks| {
        sums.fill(0.0);
        for (row, _) in rows.iter().zip(marks).filter(|(_, chosen)| **chosen) {
            for (sum, y) in sums.iter_mut().zip(row) {
                *sum += y;
            }
        }
        // About the grand mean, B lies above A where the sum of A is negative.
        largest_t(&sums, &weights, -1.0, tails, n_a + n_b - 2.0)
    }
}

fn signs(matrix: &Matrix, tails: Tails) -> impl FnMut(&[bool]) -> f64 + use<> {
    let rows = matrix.first.clone();
    let n = rows.len() as f64;
    let weights: Vec<f64> = totals(&rows).iter().map(|sst| 1.0 / (n * sst)).collect();
    let mut sums = vec![0.0; matrix.nodes()];
    move |marks| {
        sums.fill(0.0);
        for (row, turned) in rows.iter().zip(marks) {
            let sign = if *turned { -1.0 } else { 1.0 };
            for (sum, y) in sums.iter_mut().zip(row) {
                *sum += sign * y;
            }
        }
        largest_t(&sums, &weights, 1.0, tails, n - 1.0)
    }
}

fn welch(matrix: &Matrix, tails: Tails) -> impl FnMut(&[bool]) -> f64 + use<> {
    let rows = centred(matrix);
    let total = totals(&rows);
    let (n_a, n_b) = (matrix.first.len() as f64, matrix.second.len() as f64);
    let (mut sums, mut squares) = (vec![0.0; total.len()], vec![0.0; total.len()]);
    move |marks| {
        sums.fill(0.0);
        squares.fill(0.0);
        for (row, _) in rows.iter().zip(marks).filter(|(_, chosen)| **chosen) {
            for ((sum, square), y) in sums.iter_mut().zip(&mut squares).zip(row) {
                *sum += y;
                *square += y * y;
            }
        }
        let heights = sums.iter().zip(&squares).zip(&total).map(|((s, q), all)| {
            let ss_a = q - s * s / n_a;
            let ss_b = all - q - s * s / n_b;
            let variance = ss_a / (n_a * (n_a - 1.0)) + ss_b / (n_b * (n_b - 1.0));
            // A set of equal values has no spread but that of rounding: bound t as the share is.
            let t = -s * (1.0 / n_a + 1.0 / n_b) / variance.max(1e-12 * all).sqrt();
            if tails == Tails::Two { t.abs() } else { t }
        });
        heights.fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Rows about the grand mean at each node.
fn centred(matrix: &Matrix) -> Vec<Vec<f64>> {
    let all = || matrix.first.iter().chain(&matrix.second);
    let n = matrix.rows() as f64;
    let centre: Vec<f64> = (0..matrix.nodes())
        .map(|q| all().map(|row| row[q]).sum::<f64>() / n)
        .collect();
    all()
        .map(|row| row.iter().zip(&centre).map(|(y, m)| y - m).collect())
        .collect()
}

/// Sum of squares at each node.
fn totals(rows: &[Vec<f64>]) -> Vec<f64> {
    let mut squares = vec![0.0; rows.first().map_or(0, Vec::len)];
    for row in rows {
        for (square, y) in squares.iter_mut().zip(row) {
            *square += y * y;
        }
    }
    squares
}
