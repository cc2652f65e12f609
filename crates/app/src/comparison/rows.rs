//! One row a measure.

use super::{Design, Row, Side, Stands, Verdict};
use crate::analysis::{Analysis, Measure};
use footing_core::compare::permutation::PermutationPlan;
use footing_core::compare::rows::holm;
use footing_core::compare::summary::summarise;
use footing_core::compare::{MeasureComparison, compare};
use footing_core::measures::{CATALOGUE, Spec};

/// What a player weighs is not a measure of the swing.
const NOT_COMPARED: &str = "body_mass_kg";

/// The measures that are compared, in catalogue order.
pub(crate) fn compared() -> impl Iterator<Item = &'static Spec> {
    CATALOGUE.iter().filter(|spec| spec.id != NOT_COMPARED)
}

pub(super) fn rows(
    a: &[&Analysis],
    b: &[&Analysis],
    design: Design,
    plan: &PermutationPlan,
) -> Vec<Row> {
    let mut rows: Vec<Row> = compared()
        .map(|spec| {
            let of = |set: &[&Analysis]| -> Vec<Option<Measure>> {
                set.iter()
                    .map(|x| x.measures.iter().find(|m| m.id == spec.id).cloned())
                    .collect()
            };
            let (in_a, in_b) = (of(a), of(b));
            let values = |set: &[Option<Measure>]| -> Vec<Option<f64>> {
                set.iter()
                    .map(|m| m.as_ref().and_then(|m| m.value.clone().ok()))
                    .collect()
            };
            let (va, vb) = (values(&in_a), values(&in_b));
            Row {
                id: spec.id,
                label: spec.label,
                unit: spec.unit,
                estimated: in_a
                    .iter()
                    .chain(&in_b)
                    .flatten()
                    .any(|m| m.value.is_ok() && !m.estimated.is_empty()),
                sd_of_differences: (design == Design::Paired)
                    .then(|| sd_of_differences(&va, &vb))
                    .flatten(),
                found: compare_values(&va, &vb, design, plan)
                    .map_err(|why| why.unwrap_or_else(|| absent_reason(&in_a, &in_b))),
                lacking: lacking(&in_a, &in_b),
                a: va,
                b: vb,
                stands: None,
            }
        })
        .collect();
    adjust(&mut rows);
    rows
}

/// Compares what is present; in the paired design a pair needs both. The error is `None` when a
/// set has no value at all.
fn compare_values(
    a: &[Option<f64>],
    b: &[Option<f64>],
    design: Design,
    plan: &PermutationPlan,
) -> Result<MeasureComparison, Option<String>> {
    let places = match design {
        Design::Separate => [a, b].map(|set| places(set, |_| true)),
        Design::Paired => {
            let both = places(a, |i| b.get(i).copied().flatten().is_some());
            [both.clone(), both]
        }
    };
    if places.iter().any(Vec::is_empty) {
        return Err(None);
    }
    let present = |set: &[Option<f64>], places: &[usize]| -> Vec<f64> {
        places.iter().filter_map(|place| set[*place]).collect()
    };
    let (present_a, present_b) = (present(a, &places[0]), present(b, &places[1]));
    let mut found =
        compare(&present_a, &present_b, design, plan).map_err(|error| Some(error.to_string()))?;
    // A swing is named by its place in its set, not among those that have the measure.
    for (side, odd) in &mut found.odd {
        odd.index = places[usize::from(*side == Side::B)][odd.index];
    }
    Ok(found)
}

/// The places of a set's swings that have a value and are wanted.
fn places(set: &[Option<f64>], wanted: impl Fn(usize) -> bool) -> Vec<usize> {
    let present = set.iter().enumerate().filter(|(_, value)| value.is_some());
    present.map(|(i, _)| i).filter(|i| wanted(*i)).collect()
}

/// Why a measure is not in every swing, where some have it.
fn lacking(a: &[Option<Measure>], b: &[Option<Measure>]) -> Option<String> {
    let all = || a.iter().chain(b).flatten();
    let some = all().any(|m| m.value.is_ok());
    all().find_map(|m| m.value.clone().err()).filter(|_| some)
}

/// SD (n − 1) of B − A over the pairs that have both.
fn sd_of_differences(a: &[Option<f64>], b: &[Option<f64>]) -> Option<f64> {
    let differences: Vec<f64> = a
        .iter()
        .zip(b)
        .filter_map(|(a, b)| Some((*b)? - (*a)?))
        .collect();
    summarise(&differences).sd
}

fn absent_reason(a: &[Option<Measure>], b: &[Option<Measure>]) -> String {
    a.iter()
        .chain(b)
        .flatten()
        .find_map(|m| m.value.clone().err())
        .unwrap_or_else(|| "no pair of swings has this measure".into())
}

/// Holm's adjustment over the rows that are read together: the per-kilogram rows are the same
/// quantities again and take the adjusted p of nobody; of rows with too few swings nothing is said, so nothing
/// of them can stand.
pub(crate) fn adjust(rows: &mut [Row]) {
    let of = |pick: fn(&MeasureComparison) -> Option<f64>| -> Vec<Option<f64>> {
        rows.iter()
            .map(|row| {
                let read = row.found.as_ref().ok().filter(|_| !row.rescaled())?;
                pick(Some(read).filter(|found| found.verdict != Verdict::TooFewSwings)?)
            })
            .collect()
    };
    let by_permutation = of(|f| f.p_permutation.map(|p| p.p));
    let by_t = holm(&of(|f| f.p_t));
    let count = by_permutation.iter().flatten().count() as f64;
    let adjusted = holm(&by_permutation);
    for ((row, by_permutation), by_t) in rows.iter_mut().zip(adjusted).zip(by_t) {
        let Ok(found) = &mut row.found else { continue };
        found.p_holm = by_permutation;
        let reachable = found
            .p_permutation
            .is_some_and(|p| p.smallest_possible * count <= Stands::ALPHA);
        row.stands = if reachable {
            by_permutation.map(|p| Stands { p, by_t: false })
        } else {
            by_t.map(|p| Stands { p, by_t: true })
        };
    }
}
