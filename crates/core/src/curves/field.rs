//! The t curve: at each node, the t of the values there; and the residuals that tell how smooth
//! the noise is.

use crate::compare::difference::welch_df;

/// How the spread of two separate sets enters t.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Variance {
    /// One spread for both sets: `t = (m_B − m_A)/(s_p·√(1/n_A + 1/n_B))`, df = n_A + n_B − 2.
    Pooled,
    /// Welch: `t = (m_B − m_A)/√(s_A²/n_A + s_B²/n_B)` at each node. One df is needed for the whole
    /// curve: Welch–Satterthwaite's from the two variances, each first divided by the pooled variance
    /// at its node and then averaged over the nodes. With sets of
    /// equal size t is the pooled t, and the df is also that of the trace formula
    /// tr(RV)²/tr(RVRV) customary in curve statistics. With unequal sizes it is not: there the
    /// customary form keeps the pooled t and corrects the df alone; this is the proper Welch t.
    Welch,
}

/// What is asked of the curves. Each curve has one entry a node; all the same number of nodes.
#[derive(Debug, Clone, Copy)]
pub enum Question<'a> {
    /// Do two separate sets differ? t > 0 where B lies above A.
    Separate {
        /// The first set.
        a: &'a [Vec<Option<f64>>],
        /// The second set.
        b: &'a [Vec<Option<f64>>],
        /// How their spreads enter.
        variance: Variance,
    },
    /// Do pairs differ? t > 0 where B lies above A.
    Paired {
        /// The first of each pair.
        a: &'a [Vec<Option<f64>>],
        /// The second of each pair.
        b: &'a [Vec<Option<f64>>],
    },
    /// Do curves differ from a level?
    OneSample {
        /// The curves.
        curves: &'a [Vec<Option<f64>>],
        /// The level.
        level: f64,
    },
}

/// Curves on the nodes where a t can be had: one row a curve, one entry a kept node.
pub(super) struct Matrix {
    /// Rows of the first set (or of the differences, or of the single set less its level).
    pub first: Vec<Vec<f64>>,
    /// Rows of the second set; empty but for two separate sets.
    pub second: Vec<Vec<f64>>,
}

/// A t curve with the residuals behind it.
pub(super) struct Field {
    /// t on the kept nodes.
    pub t: Vec<f64>,
    /// Degrees of freedom.
    pub df: f64,
    /// Residuals, one row a curve.
    pub residuals: Vec<Vec<f64>>,
}

/// Mean of the rows at each node.
pub(super) fn mean(rows: &[Vec<f64>]) -> Vec<f64> {
    let nodes = rows.first().map_or(0, Vec::len);
    (0..nodes)
        .map(|q| rows.iter().map(|row| row[q]).sum::<f64>() / rows.len() as f64)
        .collect()
}

fn residuals(rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let centre = mean(rows);
    rows.iter()
        .map(|row| row.iter().zip(&centre).map(|(y, m)| y - m).collect())
        .collect()
}

fn sums_of_squares(residuals: &[Vec<f64>], nodes: usize) -> Vec<f64> {
    (0..nodes)
        .map(|q| residuals.iter().map(|row| row[q] * row[q]).sum())
        .collect()
}

impl Matrix {
    /// Curves in both sets together.
    pub fn rows(&self) -> usize {
        self.first.len() + self.second.len()
    }

    /// Kept nodes.
    pub fn nodes(&self) -> usize {
        self.first.first().map_or(0, Vec::len)
    }

    /// Nodes at which nothing varies within sets: there is no t there. A spread below 1e-12 of the
    /// values' size is rounding.
    pub fn varying(&self) -> Vec<bool> {
        let nodes = self.nodes();
        let mut squares = vec![0.0; nodes];
        for rows in [&self.first, &self.second] {
            for (sum, more) in squares
                .iter_mut()
                .zip(sums_of_squares(&residuals(rows), nodes))
            {
                *sum += more;
            }
        }
        let all = || self.first.iter().chain(&self.second);
        (0..nodes)
            .map(|q| {
                let size = all().map(|row| row[q].abs()).fold(0.0, f64::max);
                squares[q] > (1e-12 * size).powi(2) * self.rows() as f64
            })
            .collect()
    }

    /// Drops the nodes whose mark is false.
    pub fn keep(&mut self, marks: &[bool]) {
        for row in self.first.iter_mut().chain(&mut self.second) {
            let mut mark = marks.iter();
            row.retain(|_| mark.next().copied().unwrap_or(false));
        }
    }

    /// The t curve.
    pub fn field(&self, variance: Variance) -> Field {
        let nodes = self.nodes();
        let (first, second) = (residuals(&self.first), residuals(&self.second));
        let n_a = self.first.len() as f64;
        let ss_a = sums_of_squares(&first, nodes);
        let mean_a = mean(&self.first);
        if self.second.is_empty() {
            let df = n_a - 1.0;
            let t = (0..nodes)
                .map(|q| mean_a[q] / (ss_a[q] / df / n_a).sqrt())
                .collect();
            return Field {
                t,
                df,
                residuals: first,
            };
        }
        let n_b = self.second.len() as f64;
        let (df_a, df_b) = (n_a - 1.0, n_b - 1.0);
        let ss_b = sums_of_squares(&second, nodes);
        let mean_b = mean(&self.second);
        let variance_of_change = |q: usize| match variance {
            Variance::Pooled => (ss_a[q] + ss_b[q]) / (df_a + df_b) * (1.0 / n_a + 1.0 / n_b),
            Variance::Welch => ss_a[q] / df_a / n_a + ss_b[q] / df_b / n_b,
        };
        let t = (0..nodes)
            .map(|q| (mean_b[q] - mean_a[q]) / variance_of_change(q).sqrt())
            .collect();
        let df = match variance {
            Variance::Pooled => df_a + df_b,
            Variance::Welch => {
                let share_of_a = ss_a.iter().zip(&ss_b).map(|(a, b)| a / (a + b));
                let a = share_of_a.sum::<f64>() / nodes as f64;
                welch_df(a / df_a / n_a, df_a, (1.0 - a) / df_b / n_b, df_b)
            }
        };
        Field {
            t,
            df,
            residuals: first.into_iter().chain(second).collect(),
        }
    }
}
