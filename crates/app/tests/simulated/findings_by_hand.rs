//! Comparisons built by hand, of which every word is known beforehand.

use footing_app::analysis::{Handed, Reference};
use footing_app::comparison::{
    Align, Band, Comparison, CurveRow, CurveTest, Design, Direction, Method, Path, Row, SetSummary,
    Stands, Stretch,
};
use footing_app::core::compare::compare;
use footing_app::core::compare::permutation::PermutationPlan;
use footing_app::core::measures::CATALOGUE;

/// A row as it would be of these swings; `p` is what Holm's adjustment leaves of it.
pub fn row(id: &str, a: &[f64], b: &[f64], p: f64) -> Row {
    let spec = CATALOGUE.iter().find(|spec| spec.id == id).unwrap();
    let found = compare(a, b, Design::Separate, &PermutationPlan::default()).unwrap();
    Row {
        id: spec.id,
        label: spec.label,
        unit: spec.unit,
        a: a.iter().copied().map(Some).collect(),
        b: b.iter().copied().map(Some).collect(),
        estimated: false,
        lacking: None,
        sd_of_differences: None,
        found: Ok(found),
        stands: Some(Stands { p, by_t: false }),
    }
}

/// Six swings about a mean.
pub fn about(mean: f64, spread: f64) -> Vec<f64> {
    [-1.0, 0.4, 0.9, -0.6, 0.1, 0.2]
        .map(|off| mean + off * spread)
        .to_vec()
}

/// A row whose mean goes from `a` to `b`, far beyond its spread, that stands.
pub fn clear(id: &str, a: f64, b: f64) -> Row {
    let spread = (b - a).abs() / 20.0;
    row(id, &about(a, spread), &about(b, spread), 0.01)
}

pub fn comparison(rows: Vec<Row>, curves: Vec<CurveRow>) -> Comparison {
    let set = |label: &str| SetSummary {
        label: label.into(),
        swings: 6,
        ..SetSummary::default()
    };
    Comparison {
        handed: Handed::Right,
        about: Reference::StanceCentre,
        low_pass_hz: None,
        load_threshold_n: None,
        design: Design::Separate,
        align: Align::Piecewise,
        top_node: Some(75),
        sets: [set("before"), set("after")],
        rows,
        curves,
        lead_path: [Path::default(), Path::default()],
        trail_path: [Path::default(), Path::default()],
        notes: Vec::new(),
    }
}

pub fn labelled(mut comparison: Comparison, labels: [&str; 2]) -> Comparison {
    for (set, label) in comparison.sets.iter_mut().zip(labels) {
        set.label = label.into();
    }
    comparison
}

pub fn torque(n: [usize; 2], stretches: &[(f64, f64, Direction)]) -> CurveRow {
    let band = |n| Band {
        n,
        ..Band::default()
    };
    let stretches = stretches
        .iter()
        .map(|(from_pct, to_pct, direction)| Stretch {
            from_pct: *from_pct,
            to_pct: *to_pct,
            direction: *direction,
            p: 0.0021,
        });
    CurveRow {
        name: "torque_nm",
        label: "vertical torque",
        unit: "N·m",
        a: band(n[0]),
        b: band(n[1]),
        tests: Ok(vec![CurveTest {
            method: Method::Permutation,
            threshold: 3.0,
            stretches: stretches.collect(),
            t: Vec::new(),
        }]),
    }
}
