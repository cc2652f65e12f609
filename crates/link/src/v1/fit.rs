//! The coarsest steps and fewest terms that keep a curve within its tolerance.

use super::cosine_step::CosineStep;
use super::cosines;
use super::terms::trim;
use super::wire::Terms;

/// Curves in whole steps.
pub struct Fit {
    pub step: CosineStep,
    /// Of each curve, of each of its runs.
    pub terms: Vec<Terms>,
}

/// The terms at a step that was chosen before; `None` when they are too many steps.
pub fn given(curves: &[&[Vec<f64>]], step: CosineStep) -> Option<Fit> {
    let terms = curves
        .iter()
        .map(|runs| runs.iter().map(|run| rounded(run, step)).collect())
        .collect::<Option<_>>()?;
    Some(Fit { step, terms })
}

fn rounded(run: &[f64], step: CosineStep) -> Option<Vec<i32>> {
    let mut terms = cosines::terms(run)
        .into_iter()
        .map(|term| step.count(term))
        .collect::<Option<Vec<_>>>()?;
    trim(&mut terms);
    Some(terms)
}

/// Steps tried beyond the first that will do: a finer step may need fewer terms.
const FURTHER_STEPS: usize = 6;

/// One step for all curves, terms within `tolerance` at every node; `None` when the curves are too
/// large for the finest step that would do.
pub fn fit(curves: &[&[Vec<f64>]], tolerance: f64) -> Option<Fit> {
    let mut best: Option<(u32, Fit)> = None;
    let mut further = 0;
    for step in CosineStep::coarsest_first() {
        // No term may be off by more than the whole curve could bear: √L tolerances.
        if step.size() > 25.0 * tolerance {
            continue;
        }
        let terms = curves
            .iter()
            .map(|runs| {
                runs.iter()
                    .map(|run| within(run, step, tolerance))
                    .collect()
            })
            .collect::<Option<Vec<Terms>>>();
        if let Some(terms) = terms {
            let size = terms.iter().flatten().map(|run| bits(run)).sum();
            if best.as_ref().is_none_or(|(least, _)| size < *least) {
                best = Some((size, Fit { step, terms }));
            }
        }
        further += usize::from(best.is_some());
        if further > FURTHER_STEPS {
            break;
        }
    }
    best.map(|(_, fit)| fit)
}

/// Bits, roughly.
fn bits(terms: &[i32]) -> u32 {
    terms
        .iter()
        .map(|v| 1 + 2 * (u32::BITS - v.unsigned_abs().leading_zeros()))
        .sum()
}

/// Terms of one run at this step: rounded, then as many of the highest and smallest taken off as the
/// tolerance allows.
fn within(run: &[f64], step: CosineStep, tolerance: f64) -> Option<Vec<i32>> {
    let mut terms = rounded(run, step)?;
    let length = run.len();
    let drawn: Vec<f64> = terms.iter().map(|c| f64::from(*c) * step.size()).collect();
    let mut off: Vec<f64> = cosines::curve(&drawn, length)
        .iter()
        .zip(run)
        .map(|(drawn, given)| drawn - given)
        .collect();
    let fits = |off: &[f64]| off.iter().all(|off| off.abs() <= tolerance);
    if !fits(&off) {
        return None;
    }
    for k in (1..terms.len()).rev() {
        if terms[k].abs() != 1 {
            continue;
        }
        let without: Vec<f64> = off
            .iter()
            .zip(cosines::one(k, f64::from(terms[k]) * step.size(), length))
            .map(|(off, term)| off - term)
            .collect();
        if fits(&without) {
            (off, terms[k]) = (without, 0);
        }
    }
    trim(&mut terms);
    Some(terms)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn curves_stay_within_tolerance(
            run in prop::collection::vec(-500.0_f64..500.0, 1..102),
            tolerance in 0.05_f64..2.0,
        ) {
            let runs = [run.clone()];
            let found = fit(&[&runs], tolerance).unwrap();
            let terms: Vec<f64> = found.terms[0][0].iter().map(|c| f64::from(*c) * found.step.size()).collect();
            for (x, y) in run.iter().zip(cosines::curve(&terms, run.len())) {
                prop_assert!((x - y).abs() <= tolerance + 1e-9);
            }
            let drawn = [cosines::curve(&terms, run.len())];
            prop_assert_eq!(&given(&[&drawn], found.step).unwrap().terms, &found.terms);
        }
    }
}
