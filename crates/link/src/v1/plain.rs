//! From the whole numbers of the layout back to plain data.

use super::cosine_step::CosineStep;
use super::cosines;
use super::ids::IDS;
use super::numbers::Step;
use super::quantise::{tenfold, text};
use super::wire::{Curve, PathRow, Row, Runs, Terms, Test, Wire, WireSet};
use crate::shared::{
    About, Band, CurvePair, CurveTest, EventTime, Hand, LowPass, Method, Moments, NODES, Path,
    PathPair, Permutation, Shared, SharedMeasure, SharedSet, Stretch,
};
use crate::text::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS};

/// Whole numbers to plain data. Every number is a bounded count of finite steps, so none can be
/// infinite or NaN.
pub fn shared(wire: Wire) -> Shared {
    let [a, b] = wire.sets.map(set_of);
    let newer_measures = wire
        .rows
        .iter()
        .filter(|row| row.place as usize >= IDS.len())
        .count() as u32;
    let [torque, angle] = wire.curves;
    let [lead, trail] = wire.paths;
    Shared {
        title: text(&wire.title, TITLE_CHARS),
        cue: text(&wire.cue, CUE_CHARS),
        handed: if wire.left_handed {
            Hand::Left
        } else {
            Hand::Right
        },
        about: match wire.about {
            0 => About::StanceCentre,
            1 => About::Com,
            _ => About::CombinedCop,
        },
        low_pass: match wire.low_pass {
            0 => LowPass::Off,
            1 => LowPass::Auto,
            tenths => LowPass::Hz(f64::from(tenths - 1) / 10.0),
        },
        mass_kg: wire.mass.map(|tenths| f64::from(tenths) / 10.0),
        a,
        b,
        measures: wire.rows.iter().filter_map(measure_of).collect(),
        newer_measures,
        top_node: wire.top_node.map(|node| node as u8),
        torque_nm: torque.map(curve_of),
        cop_angle_deg: angle.map(curve_of),
        lead_cop: lead.map(path_of),
        trail_cop: trail.map(path_of),
        newer_parts: wire.newer_parts,
    }
}

fn set_of(set: WireSet) -> SharedSet {
    let [takeaway, arm_level, impact] = set.events.map(|event| {
        event.map(|(ms, estimated)| EventTime {
            from_top_s: f64::from(ms) / 1000.0,
            estimated,
        })
    });
    SharedSet {
        label: text(&set.label, LABEL_CHARS),
        swings: set.swings,
        set_aside: set.set_aside,
        overruled: set.overruled,
        top_estimated: set.top_estimated,
        takeaway,
        arm_level,
        impact,
    }
}

/// `None` for a measure this version has no name for.
pub(super) fn measure_of(row: &Row) -> Option<SharedMeasure> {
    let named = IDS.get(row.place as usize)?;
    let step = Step::from_index(row.step)?;
    let moments = |side: usize| Moments {
        n: row.n[side],
        mean: (row.n[side] > 0).then(|| step.value(row.mean[side])),
        sd: (row.n[side] > 1).then(|| step.value(row.sd[side] as i32)),
    };
    Some(SharedMeasure {
        id: named.id,
        a: moments(0),
        b: moments(1),
        sd_of_differences: row.sd_of_differences.map(|sd| step.value(sd as i32)),
        permutation: row
            .permutation
            .map(|(at_least, arrangements, exact)| Permutation {
                at_least,
                arrangements,
                exact,
            }),
        lag1_r: row.lag1.map(|twentieths| f64::from(twentieths) / 20.0),
        step: Some(step),
    })
}

fn nodes(runs: &Runs, terms: &Terms, step: CosineStep) -> Vec<Option<f64>> {
    let mut nodes = vec![None; NODES];
    for ((first, length), terms) in runs.iter().zip(terms) {
        let terms: Vec<f64> = terms
            .iter()
            .map(|count| f64::from(*count) * step.size())
            .collect();
        let curve = cosines::curve(&terms, *length as usize);
        for (node, value) in nodes.iter_mut().skip(*first as usize).zip(curve) {
            *node = Some(value);
        }
    }
    nodes
}

fn step_of(index: u8) -> CosineStep {
    CosineStep::from_index(index).unwrap_or(CosineStep::FINEST)
}

fn curve_of(curve: Curve) -> CurvePair {
    let mean_step = step_of(curve.mean_step);
    let sd_step = step_of(curve.sd_step);
    let band = |side: usize| Band {
        n: curve.n[side],
        mean: nodes(&curve.runs[side], &curve.means[side], mean_step),
        // Cosines may swing a hair below nil where the spread is nil.
        sd: curve.sds[side]
            .as_ref()
            .map_or_else(Vec::new, |terms| nodes(&curve.runs[side], terms, sd_step)),
    };
    let test = |test: &Test| CurveTest {
        method: if test.random_field {
            Method::RandomField
        } else {
            Method::Permutation
        },
        threshold: f64::from(test.threshold) / 1000.0,
        stretches: test
            .stretches
            .iter()
            .map(|part| Stretch {
                from_pct: f64::from(part.from) / 10.0,
                to_pct: f64::from(part.from + part.length) / 10.0,
                b_higher: part.b_higher,
                p: f64::from(part.figures.max(1)) / tenfold(2 + part.power),
            })
            .collect(),
    };
    CurvePair {
        a: band(0),
        b: band(1),
        tests: curve.tests.iter().map(test).collect(),
        steps: Some((mean_step, sd_step)),
    }
}

fn path_of(row: PathRow) -> PathPair {
    let step = step_of(row.step);
    let path = |side: usize| Path {
        t_mm: nodes(&row.runs[side], &row.terms[side][0], step),
        a_mm: nodes(&row.runs[side], &row.terms[side][1], step),
    };
    PathPair {
        a: path(0),
        b: path(1),
        step: Some(step),
    }
}
