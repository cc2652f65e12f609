//! Curves of both sets on common nodes, and where they differ.

use super::{Align, Band, CurveRow, CurveTest, Design, Method, Path, Stretch, too_few, untested};
use crate::analysis::{Analysis, FootSeries};
use footing_core::compare::permutation::PermutationPlan;
use footing_core::curves::field::{Question, Variance};
use footing_core::curves::normalise::{Anchors, NODES, TopAnchor, normalise};
use footing_core::curves::{CurveError, CurvePlan, Leading, compare_curves};
use footing_core::recording::EventKind;
use footing_core::sampled::{Line, mean_sd};

/// How the swings are laid over each other.
pub(super) struct Laid {
    pub align: Align,
    pub top_node: Option<usize>,
}

/// A curve on the common nodes, one entry a node.
type Curve = Vec<Option<f64>>;

/// What is compared: stable name, words, unit, where it is found.
struct Kind {
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    of: fn(&Analysis) -> Option<Curve>,
}

fn all_present(values: &[f64]) -> Option<Curve> {
    (!values.is_empty()).then(|| values.iter().map(|v| Some(*v)).collect())
}

const KINDS: [Kind; 6] = [
    Kind {
        name: "torque_nm",
        label: "vertical torque",
        unit: "N·m",
        of: |x| Some(x.series.torque_nm.clone()),
    },
    Kind {
        name: "cop_angle_deg",
        label: "foot-to-foot CoP angle",
        unit: "°",
        of: |x| Some(x.series.cop_angle_deg.clone()),
    },
    Kind {
        name: "lead_fa_n",
        label: "toe–heel shear, lead foot",
        unit: "N",
        of: |x| all_present(&x.series.lead.as_ref()?.fa_n),
    },
    Kind {
        name: "trail_fa_n",
        label: "toe–heel shear, trail foot",
        unit: "N",
        of: |x| all_present(&x.series.trail.as_ref()?.fa_n),
    },
    Kind {
        name: "lead_fz_n",
        label: "vertical force, lead foot",
        unit: "N",
        of: |x| all_present(&x.series.lead.as_ref()?.fz_n),
    },
    Kind {
        name: "trail_fz_n",
        label: "vertical force, trail foot",
        unit: "N",
        of: |x| all_present(&x.series.trail.as_ref()?.fz_n),
    },
];

/// Words and unit of a curve by its name.
pub(crate) fn words(name: &str) -> (&'static str, &'static str) {
    KINDS
        .iter()
        .find(|kind| kind.name == name)
        .map_or(("curve", ""), |kind| (kind.label, kind.unit))
}

fn time(analysis: &Analysis, kind: EventKind) -> Option<f64> {
    analysis
        .events
        .iter()
        .find(|e| e.kind == kind)
        .map(|e| e.t_s)
}

/// Chooses the node of the top: the mean share of the backswing over all swings.
pub(super) fn lay(all: &[&Analysis], align: Align) -> Laid {
    let shares = all.iter().filter_map(|x| {
        let takeaway = time(x, EventKind::Takeaway)?;
        let top = time(x, EventKind::Top)?;
        let impact = time(x, EventKind::Impact)?;
        (takeaway < top && top < impact).then(|| (top - takeaway) / (impact - takeaway))
    });
    let top_node = match align {
        Align::Linear => None,
        Align::Piecewise => mean_sd(shares.collect::<Vec<f64>>().into_iter())
            .map(|(mean, _)| ((mean * (NODES - 1) as f64).round() as usize).clamp(1, NODES - 2)),
    };
    // Where no swing has a top there is nothing but one stretch to lay.
    let align = match top_node {
        Some(_) => Align::Piecewise,
        None => Align::Linear,
    };
    Laid { align, top_node }
}

/// One swing's curve on the nodes; `None` when its events do not allow it.
fn on_nodes(analysis: &Analysis, values: &[Option<f64>], laid: &Laid) -> Option<Curve> {
    let top = match (laid.align, laid.top_node) {
        (Align::Piecewise, Some(node)) => Some(TopAnchor {
            time_s: time(analysis, EventKind::Top)?,
            node,
        }),
        _ => None,
    };
    let anchors = Anchors {
        takeaway_s: time(analysis, EventKind::Takeaway)?,
        top,
        impact_s: time(analysis, EventKind::Impact)?,
    };
    normalise(&Line::new(&analysis.series.t_s, values), &anchors).ok()
}

fn set_curves(set: &[&Analysis], kind: &Kind, laid: &Laid) -> Vec<Option<Curve>> {
    set.iter()
        .map(|x| {
            let curve = on_nodes(x, &(kind.of)(x)?, laid)?;
            curve.iter().any(Option::is_some).then_some(curve)
        })
        .collect()
}

/// Mean and SD at each node where every curve has a value.
fn band(curves: &[Curve]) -> Band {
    let at = |q: usize| -> Option<(f64, f64)> {
        let values: Option<Vec<f64>> = curves.iter().map(|c| c[q]).collect();
        mean_sd(values?.into_iter())
    };
    let moments: Vec<Option<(f64, f64)>> = if curves.is_empty() {
        Vec::new()
    } else {
        (0..NODES).map(at).collect()
    };
    Band {
        n: curves.len(),
        mean: moments.iter().map(|m| m.map(|m| m.0)).collect(),
        sd: if curves.len() > 1 {
            moments.iter().map(|m| m.map(|m| m.1)).collect()
        } else {
            Vec::new()
        },
    }
}

pub(super) fn compare(
    a: &[&Analysis],
    b: &[&Analysis],
    laid: &Laid,
    design: Design,
    permutation: &PermutationPlan,
) -> Vec<CurveRow> {
    let plan = CurvePlan {
        permutation: *permutation,
        ..CurvePlan::default()
    };
    KINDS
        .iter()
        .map(|kind| {
            let (in_a, in_b) = (set_curves(a, kind, laid), set_curves(b, kind, laid));
            let (a, b): (Vec<Curve>, Vec<Curve>) = match design {
                Design::Separate => (
                    in_a.into_iter().flatten().collect(),
                    in_b.into_iter().flatten().collect(),
                ),
                Design::Paired => in_a
                    .into_iter()
                    .zip(in_b)
                    .filter_map(|(a, b)| Some((a?, b?)))
                    .unzip(),
            };
            let question = match design {
                Design::Separate => Question::Separate {
                    a: &a,
                    b: &b,
                    variance: Variance::Pooled,
                },
                Design::Paired => Question::Paired { a: &a, b: &b },
            };
            CurveRow {
                name: kind.name,
                label: kind.label,
                unit: kind.unit,
                a: band(&a),
                b: band(&b),
                tests: tests(&question, &plan, [a.len(), b.len()]),
            }
        })
        .collect()
}

/// With fewer than three curves a side nothing is tested: no more is said of a curve than of a measure.
fn tests(
    question: &Question<'_>,
    plan: &CurvePlan,
    [a, b]: [usize; 2],
) -> Result<Vec<CurveTest>, String> {
    if too_few(a, b) {
        return Err(untested(a, b));
    }
    let found = compare_curves(question, plan).map_err(|why| match why {
        CurveError::NothingToTest => untested(a, b),
        other => other.to_string(),
    })?;
    let mut tests = vec![CurveTest {
        method: Method::Permutation,
        threshold: found.permutation.threshold,
        stretches: plain(&found.permutation.stretches),
        t: found.t.clone(),
    }];
    if let Some(field) = &found.random_field {
        tests.push(CurveTest {
            method: Method::RandomField,
            threshold: field.threshold,
            stretches: plain(&field.stretches),
            t: found.t.clone(),
        });
    }
    if found.leads == Leading::RandomField {
        tests.reverse();
    }
    Ok(tests)
}

fn plain(stretches: &[footing_core::curves::stretches::Stretch]) -> Vec<Stretch> {
    stretches
        .iter()
        .map(|s| Stretch {
            from_pct: s.from_pct,
            to_pct: s.to_pct,
            direction: s.direction,
            p: s.p,
        })
        .collect()
}

pub(super) fn lead_path(set: &[&Analysis], laid: &Laid) -> Path {
    path(set, laid, |x| x.series.lead.as_ref())
}

pub(super) fn trail_path(set: &[&Analysis], laid: &Laid) -> Path {
    path(set, laid, |x| x.series.trail.as_ref())
}

fn path(set: &[&Analysis], laid: &Laid, foot: fn(&Analysis) -> Option<&FootSeries>) -> Path {
    let along = |pick: fn(&FootSeries) -> &Curve| -> Curve {
        let curves: Vec<Curve> = set
            .iter()
            .filter(|x| x.stance_centre_known)
            .filter_map(|x| on_nodes(x, pick(foot(x)?), laid))
            .collect();
        band(&curves).mean
    };
    Path {
        t_m: along(|f| &f.cop_t_m),
        a_m: along(|f| &f.cop_a_m),
    }
}
