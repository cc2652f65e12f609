//! Do two sets of curves differ, and where in the swing?
//!
//! ```text
//! swings ── normalise ──▶ curves on 101 nodes
//!        ── field ──────▶ t curve, residuals
//!        ── max_t ──────▶ threshold and p by permutation     leads below eight swings a side
//!        ── random_field ▶ smoothness, threshold, stretches with p   leads from eight up
//!        ── stretches ──▶ from … to … per cent of the swing
//! ```
//!
//! Where a curve is absent (a foot without load has no centre of pressure) there is no t, the field is
//! broken there, and no stretch reaches across. The same holds where nothing varies within the sets, as at
//! a node to which every curve was set to zero.

pub mod field;
pub mod max_t;
pub mod normalise;
pub mod random_field;
pub mod stretches;

use std::fmt;

use crate::compare::permutation::{PermutationP, PermutationPlan};
use field::{Matrix, Question, Variance};
use random_field::{RandomField, Tails};
use stretches::Stretch;

/// How the curves are tested.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePlan {
    /// Family-wise error rate over the whole curve.
    pub alpha: f64,
    /// Peaks only, or troughs too.
    pub tails: Tails,
    /// How far to enumerate permutations.
    pub permutation: PermutationPlan,
}

impl Default for CurvePlan {
    fn default() -> Self {
        Self {
            alpha: 0.05,
            tails: Tails::Two,
            permutation: PermutationPlan::default(),
        }
    }
}

/// Which of the two results to read first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leading {
    /// The permutation result: fewer than eight swings on a side.
    Permutation,
    /// The random-field result.
    RandomField,
}

/// From so many swings a side the random-field result leads.
pub const RANDOM_FIELD_LEADS_FROM: usize = 8;

/// Two sets of curves compared.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveComparison {
    /// Mean curve of A (of the one sample); `None` where any of its curves is absent.
    pub mean_a: Vec<Option<f64>>,
    /// Mean curve of B; empty for one sample.
    pub mean_b: Vec<Option<f64>>,
    /// The t curve, positive where B lies above A; `None` where the field is broken.
    pub t: Vec<Option<f64>>,
    /// Degrees of freedom of t.
    pub df: f64,
    /// Unbroken segments of the t curve.
    pub segments: usize,
    /// Max-|t| permutation result.
    pub permutation: PermutationResult,
    /// Random-field result; `None` below two degrees of freedom.
    pub random_field: Option<RandomFieldResult>,
    /// Which of the two to read first.
    pub leads: Leading,
}

impl CurveComparison {
    /// The stretches of the leading result.
    pub fn leading_stretches(&self) -> &[Stretch] {
        match (&self.leads, &self.random_field) {
            (Leading::RandomField, Some(field)) => &field.stretches,
            _ => &self.permutation.stretches,
        }
    }
}

/// What permuting the labels says.
#[derive(Debug, Clone, PartialEq)]
pub struct PermutationResult {
    /// |t| that at most the share α of arrangements exceeds anywhere.
    pub threshold: f64,
    /// Largest |t| (t, one-tailed) of the curves as they are.
    pub largest: f64,
    /// p of the whole curve: the share of arrangements with a largest |t| at least as large.
    pub whole: PermutationP,
    /// Stretches beyond the threshold; p is that of the stretch's peak, corrected for the whole curve.
    pub stretches: Vec<Stretch>,
}

/// What random field theory says.
#[derive(Debug, Clone, PartialEq)]
pub struct RandomFieldResult {
    /// Smoothness of the residuals, full width at half maximum of the equivalent Gaussian kernel,
    /// nodes; `None` when they are perfectly smooth.
    pub fwhm_nodes: Option<f64>,
    /// Resolution elements, R1 = (nodes − segments)/FWHM.
    pub resels: f64,
    /// t exceeded anywhere with probability α.
    pub threshold: f64,
    /// The threshold is Bonferroni's, which was the lower: the noise is rough.
    pub bonferroni: bool,
    /// Stretches beyond the threshold; p by their height and extent.
    pub stretches: Vec<Stretch>,
}

/// Why curves could not be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveError {
    /// Fewer than two curves on a side.
    TooFew {
        /// Curves in the first set.
        a: usize,
        /// Curves in the second set; `None` for one sample.
        b: Option<usize>,
    },
    /// Pairs need as many curves on both sides.
    UnequalPairs {
        /// Curves in A.
        a: usize,
        /// Curves in B.
        b: usize,
    },
    /// Curves of different length, or of fewer than two nodes.
    Length {
        /// Nodes of the first curve.
        expected: usize,
        /// Nodes of the curve that differs.
        got: usize,
    },
    /// A value that is not a finite number.
    NotFinite {
        /// Its node.
        node: usize,
    },
    /// No node has a value in every curve and any spread within the sets.
    NothingToTest,
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { a, b: Some(b) } => write!(
                f,
                "expected at least two curves in each set, got {a} and {b}; add swings"
            ),
            Self::TooFew { a, b: None } => {
                write!(f, "expected at least two curves, got {a}; add swings")
            }
            Self::UnequalPairs { a, b } => write!(
                f,
                "pairs need as many curves in both sets: expected {a} in B as in A, got {b}"
            ),
            Self::Length { expected, got } => write!(
                f,
                "expected every curve to have {expected} nodes (two or more), got {got}"
            ),
            Self::NotFinite { node } => write!(
                f,
                "node {node}: expected a finite number, got one that is not; mark it absent"
            ),
            Self::NothingToTest => write!(
                f,
                "expected a node at which every curve has a value and the swings differ, found none"
            ),
        }
    }
}

impl std::error::Error for CurveError {}

/// Tests the curves.
///
/// # Errors
/// Fewer than two curves a side; curves of different length; pairs of different number; a value that is
/// not finite; nothing left to test.
pub fn compare_curves(
    question: &Question<'_>,
    plan: &CurvePlan,
) -> Result<CurveComparison, CurveError> {
    let (a, b, variance) = sides(question);
    let (matrix, present) = prepare(question, a, b)?;
    let nodes = present.len();
    let field = matrix.field(variance);
    let mut values = field.t.iter();
    let t: Vec<Option<f64>> = present
        .iter()
        .map(|there| there.then(|| values.next().copied()).flatten())
        .collect();
    let segments = stretches::segments(present.iter().copied());
    let packed = stretches::packed(&segments);

    let maxima = max_t::maxima(&matrix, variance, plan.tails, &plan.permutation);
    let both_ways = plan.tails == Tails::Two;
    let threshold = maxima.threshold(plan.alpha);
    let permutation = PermutationResult {
        threshold,
        largest: maxima.observed,
        whole: maxima.p(maxima.observed),
        stretches: stretches::beyond(&t, threshold, both_ways)
            .into_iter()
            .map(|run| run.with_p(nodes, maxima.p(run.peak_t.abs()).p))
            .collect(),
    };
    let random_field = (field.df >= 2.0).then(|| {
        let fwhm_nodes = random_field::fwhm_nodes(&field.residuals, &packed);
        let noise = RandomField::new(field.df, matrix.nodes(), segments.len(), fwhm_nodes);
        let tails = plan.tails.number();
        let (threshold, bonferroni) = noise.threshold(plan.alpha / tails);
        let p = |run: &stretches::Run| {
            let resels = fwhm_nodes.map_or(0.0, |fwhm| run.extent() / fwhm);
            (tails * noise.stretch_p(resels, threshold)).min(1.0)
        };
        RandomFieldResult {
            fwhm_nodes,
            resels: noise.resels,
            threshold,
            bonferroni,
            stretches: stretches::beyond(&t, threshold, both_ways)
                .into_iter()
                .map(|run| run.with_p(nodes, p(&run)))
                .collect(),
        }
    });
    let fewest = match question {
        Question::Separate { a, b, .. } => a.len().min(b.len()),
        _ => a.len(),
    };
    Ok(CurveComparison {
        mean_a: mean_curve(a, nodes),
        mean_b: mean_curve(b, if b.is_empty() { 0 } else { nodes }),
        t,
        df: field.df,
        segments: segments.len(),
        permutation,
        leads: if fewest >= RANDOM_FIELD_LEADS_FROM && random_field.is_some() {
            Leading::RandomField
        } else {
            Leading::Permutation
        },
        random_field,
    })
}

/// The largest |t| of every arrangement, for those who want the whole distribution: the same
/// numbers [`compare_curves`] rests its permutation result on.
///
/// # Errors
/// Those of [`compare_curves`].
pub fn permutation_maxima(
    question: &Question<'_>,
    plan: &CurvePlan,
) -> Result<max_t::Maxima, CurveError> {
    let (a, b, variance) = sides(question);
    let (matrix, _) = prepare(question, a, b)?;
    Ok(max_t::maxima(
        &matrix,
        variance,
        plan.tails,
        &plan.permutation,
    ))
}

type Curves<'a> = &'a [Vec<Option<f64>>];

fn sides<'a>(question: &Question<'a>) -> (Curves<'a>, Curves<'a>, Variance) {
    match *question {
        Question::Separate { a, b, variance } => (a, b, variance),
        Question::Paired { a, b } => (a, b, Variance::Pooled),
        Question::OneSample { curves, .. } => (curves, &[], Variance::Pooled),
    }
}

/// The curves on the nodes where a t can be had, and which nodes those are.
fn prepare(
    question: &Question<'_>,
    a: Curves<'_>,
    b: Curves<'_>,
) -> Result<(Matrix, Vec<bool>), CurveError> {
    let nodes = check(question, a, b)?;
    let mut present: Vec<bool> = (0..nodes)
        .map(|q| a.iter().chain(b).all(|curve| curve[q].is_some()))
        .collect();
    let mut matrix = matrix(question, &present);
    let varying = matrix.varying();
    matrix.keep(&varying);
    let mut mark = varying.iter();
    for there in present.iter_mut().filter(|there| **there) {
        *there = mark.next().copied().unwrap_or(false);
    }
    if matrix.nodes() == 0 {
        return Err(CurveError::NothingToTest);
    }
    Ok((matrix, present))
}

fn check(question: &Question<'_>, a: Curves<'_>, b: Curves<'_>) -> Result<usize, CurveError> {
    let one_sample = matches!(question, Question::OneSample { .. });
    if a.len() < 2 || (!one_sample && b.len() < 2) {
        return Err(CurveError::TooFew {
            a: a.len(),
            b: (!one_sample).then_some(b.len()),
        });
    }
    if matches!(question, Question::Paired { .. }) && a.len() != b.len() {
        return Err(CurveError::UnequalPairs {
            a: a.len(),
            b: b.len(),
        });
    }
    let expected = a[0].len();
    for curve in a.iter().chain(b) {
        let got = curve.len();
        if got != expected || got < 2 {
            return Err(CurveError::Length { expected, got });
        }
        let odd = |y: &Option<f64>| y.is_some_and(|y| !y.is_finite());
        if let Some(node) = curve.iter().position(odd) {
            return Err(CurveError::NotFinite { node });
        }
    }
    Ok(expected)
}

fn matrix(question: &Question<'_>, present: &[bool]) -> Matrix {
    let rows = |curves: Curves<'_>| -> Vec<Vec<f64>> {
        let kept = |curve: &Vec<Option<f64>>| {
            let here = curve.iter().zip(present).filter(|(_, there)| **there);
            here.filter_map(|(y, _)| *y).collect()
        };
        curves.iter().map(kept).collect()
    };
    match *question {
        Question::Separate { a, b, .. } => Matrix {
            first: rows(a),
            second: rows(b),
        },
        Question::Paired { a, b } => {
            let (a, b) = (rows(a), rows(b));
            let less =
                |(b, a): (&Vec<f64>, &Vec<f64>)| b.iter().zip(a).map(|(b, a)| b - a).collect();
            Matrix {
                first: b.iter().zip(&a).map(less).collect(),
                second: Vec::new(),
            }
        }
        Question::OneSample { curves, level } => {
            let mut first = rows(curves);
            first.iter_mut().flatten().for_each(|y| *y -= level);
            Matrix {
                first,
                second: Vec::new(),
            }
        }
    }
}

fn mean_curve(curves: Curves<'_>, nodes: usize) -> Vec<Option<f64>> {
    (0..nodes)
        .map(|q| {
            let sum = curves.iter().map(|curve| curve[q]).sum::<Option<f64>>()?;
            Some(sum / curves.len() as f64)
        })
        .collect()
}
