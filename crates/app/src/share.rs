//! A comparison into a link and out of one.
//!
//! ```text
//! Comparison ── to_shared ──▶ Shared ── link::encode ──▶ #f1=…
//! #f1=… ── link::decode ──▶ Shared ── from_shared ──▶ Comparison
//! ```
//! [`send`] sends a comparison through both and keeps what only the sender has (single swings):
//! sender and receiver then read the same numbers, to the last digit, and the same sentences. A link holds
//! means in steps of a fiftieth of their spread, seldom finer, so a number as measured can print its last digit
//! otherwise, and the measures of the findings can stand in another order. What is saved as JSON or CSV is as measured.

mod holds;

use crate::analysis::{Handed, Reference};
use crate::comparison::{
    self, Align, Band, Comparison, CurveRow, CurveTest, Design, Direction, Method, Path, Row,
    SetSummary, Stretch,
};
use footing_core::recording::EventKind;
use footing_link::{self as link, Link, Shared};

pub use footing_link::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS};
pub use holds::holds;

/// What only a person can add to a link.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// What the coach calls the comparison, such as a player's name.
    pub title: Option<String>,
    /// The coach's one-line cue for the player.
    pub cue: Option<String>,
}

/// Labels the page gives by itself: they are not sent.
const OWN_LABELS: [&str; 2] = ["before", "after"];

/// A comparison with its link.
#[derive(Debug, Clone, PartialEq)]
pub struct Sent {
    /// The link.
    pub link: Link,
    /// The comparison as its receiver will read it, with the single swings the sender has.
    pub comparison: Comparison,
}

/// What was pasted or opened, as a comparison and the words that came with it.
///
/// # Errors
/// A sentence: no link there, cut short, damaged, or made by a newer version.
pub fn read_link(text: &str) -> Result<(Comparison, Words), String> {
    let shared = link::decode(text).map_err(|refusal| refusal.to_string())?;
    let words = Words {
        title: shared.title.clone(),
        cue: shared.cue.clone(),
    };
    Ok((from_shared(&shared), words))
}

/// Packs a comparison into a link and reads it back.
///
/// # Errors
/// A sentence when some number cannot be sent.
pub fn send(comparison: &Comparison, words: &Words) -> Result<Sent, String> {
    let link = link::encode(&to_shared(comparison, words)).map_err(|why| why.to_string())?;
    let (mut back, _) = read_link(&link.fragment())?;
    for (row, own) in back.rows.iter_mut().zip(&comparison.rows) {
        row.a.clone_from(&own.a);
        row.b.clone_from(&own.b);
        row.lacking.clone_from(&own.lacking);
        match (&mut row.found, &own.found) {
            (Ok(found), Ok(own)) => found.odd.clone_from(&own.odd),
            (found, own) => found.clone_from(own),
        }
    }
    for (set, own) in back.sets.iter_mut().zip(&comparison.sets) {
        set.files.clone_from(&own.files);
    }
    // Curves that a link does not hold are shown as they are.
    for own in &comparison.curves {
        match back.curves.iter_mut().find(|c| c.name == own.name) {
            Some(curve) => {
                if let (Ok(tests), Ok(own)) = (&mut curve.tests, &own.tests) {
                    for (test, own) in tests.iter_mut().zip(own) {
                        test.t.clone_from(&own.t);
                    }
                }
            }
            None => back.curves.push(own.clone()),
        }
    }
    back.notes.clone_from(&comparison.notes);
    Ok(Sent {
        link,
        comparison: back,
    })
}

fn to_shared(comparison: &Comparison, words: &Words) -> Shared {
    let curve = |name: &str| {
        comparison
            .curves
            .iter()
            .find(|c| c.name == name && c.a.n > 0 && c.b.n > 0)
            .map(curve_pair)
    };
    Shared {
        title: words.title.clone(),
        cue: words.cue.clone(),
        handed: match comparison.handed {
            Handed::Right => link::Hand::Right,
            Handed::Left => link::Hand::Left,
        },
        about: match comparison.about {
            Reference::StanceCentre => link::About::StanceCentre,
            Reference::Com => link::About::Com,
            Reference::CombinedCop => link::About::CombinedCop,
        },
        low_pass: comparison
            .low_pass_hz
            .map_or(link::LowPass::Off, link::LowPass::Hz),
        mass_kg: None,
        a: shared_set(&comparison.sets[0], OWN_LABELS[0]),
        b: shared_set(&comparison.sets[1], OWN_LABELS[1]),
        measures: comparison.rows.iter().filter_map(shared_measure).collect(),
        newer_measures: 0,
        top_node: comparison.top_node.and_then(|n| u8::try_from(n).ok()),
        torque_nm: curve("torque_nm"),
        cop_angle_deg: curve("cop_angle_deg"),
        lead_cop: path_pair(&comparison.lead_path),
        trail_cop: path_pair(&comparison.trail_path),
        newer_parts: false,
    }
}

fn shared_set(set: &SetSummary, own_label: &str) -> link::SharedSet {
    let time = |event: Option<(f64, bool)>| {
        event.map(|(from_top_s, estimated)| link::EventTime {
            from_top_s,
            estimated,
        })
    };
    link::SharedSet {
        label: (set.label != own_label).then(|| set.label.clone()),
        swings: set.swings as u32,
        set_aside: set.set_aside as u32,
        overruled: set.overruled as u32,
        top_estimated: set.top_estimated,
        takeaway: time(set.takeaway),
        arm_level: time(set.arm_level),
        impact: time(set.impact),
    }
}

fn shared_measure(row: &Row) -> Option<link::SharedMeasure> {
    let found = row.found.as_ref().ok()?;
    let moments = |s: &footing_core::compare::summary::Summary| link::Moments {
        n: s.n as u32,
        mean: s.mean,
        sd: s.sd,
    };
    Some(link::SharedMeasure {
        id: row.id,
        a: moments(&found.a),
        b: moments(&found.b),
        sd_of_differences: row.sd_of_differences,
        permutation: found.p_permutation.map(|p| link::Permutation {
            at_least: (p.p * p.arrangements as f64).round() as u32,
            arrangements: p.arrangements as u32,
            exact: p.exact,
        }),
        lag1_r: found.lag1.map(|lag| lag.r),
        step: None,
    })
}

fn curve_pair(curve: &CurveRow) -> link::CurvePair {
    let band = |b: &Band| link::Band {
        n: b.n as u32,
        mean: b.mean.clone(),
        sd: b.sd.clone(),
    };
    link::CurvePair {
        a: band(&curve.a),
        b: band(&curve.b),
        tests: curve.tests.as_ref().map_or_else(
            |_| Vec::new(),
            |tests| tests.iter().map(shared_test).collect(),
        ),
        steps: None,
    }
}

fn shared_test(test: &CurveTest) -> link::CurveTest {
    link::CurveTest {
        method: match test.method {
            Method::Permutation => link::Method::Permutation,
            Method::RandomField => link::Method::RandomField,
        },
        threshold: test.threshold,
        stretches: test
            .stretches
            .iter()
            .map(|s| link::Stretch {
                from_pct: s.from_pct,
                to_pct: s.to_pct,
                b_higher: s.direction == Direction::Higher,
                p: s.p,
            })
            .collect(),
    }
}

fn path_pair(paths: &[Path; 2]) -> Option<link::PathPair> {
    let path = |p: &Path| {
        let mm = |curve: &[Option<f64>]| curve.iter().map(|v| v.map(|v| 1000.0 * v)).collect();
        link::Path {
            t_mm: mm(&p.t_m),
            a_mm: mm(&p.a_m),
        }
    };
    (paths.iter().all(|p| !p.t_m.is_empty())).then(|| link::PathPair {
        a: path(&paths[0]),
        b: path(&paths[1]),
        step: None,
    })
}

fn from_shared(shared: &Shared) -> Comparison {
    let sets = [
        set_summary(&shared.a, OWN_LABELS[0]),
        set_summary(&shared.b, OWN_LABELS[1]),
    ];
    let rows = restored_rows(shared, &sets);
    let paired = shared
        .measures
        .iter()
        .any(|m| m.sd_of_differences.is_some());
    let curves: Vec<CurveRow> = [
        ("torque_nm", &shared.torque_nm),
        ("cop_angle_deg", &shared.cop_angle_deg),
    ]
    .into_iter()
    .filter_map(|(name, pair)| Some(curve_row(name, pair.as_ref()?)))
    .collect();
    let mut notes = comparison::standing_notes(&rows, &curves, &sets);
    if shared.newer_measures > 0 || shared.newer_parts {
        notes.push((
            "newer-parts",
            "The link holds more than this version of the page can show; reload the page to update it.".into(),
        ));
    }
    let top_node = shared.top_node.map(usize::from);
    Comparison {
        handed: match shared.handed {
            link::Hand::Right => Handed::Right,
            link::Hand::Left => Handed::Left,
        },
        about: match shared.about {
            link::About::StanceCentre => Reference::StanceCentre,
            link::About::Com => Reference::Com,
            link::About::CombinedCop => Reference::CombinedCop,
        },
        low_pass_hz: match shared.low_pass {
            link::LowPass::Hz(hz) => Some(hz),
            link::LowPass::Off | link::LowPass::Auto => None,
        },
        load_threshold_n: None,
        design: if paired {
            Design::Paired
        } else {
            Design::Separate
        },
        align: if top_node.is_some() {
            Align::Piecewise
        } else {
            Align::Linear
        },
        top_node,
        sets,
        rows,
        curves,
        lead_path: paths(shared.lead_cop.as_ref()),
        trail_path: paths(shared.trail_cop.as_ref()),
        notes,
    }
}

fn set_summary(set: &link::SharedSet, own_label: &str) -> SetSummary {
    let time = |event: Option<link::EventTime>| event.map(|e| (e.from_top_s, e.estimated));
    SetSummary {
        label: set.label.clone().unwrap_or_else(|| own_label.to_owned()),
        files: Vec::new(),
        swings: set.swings as usize,
        set_aside: set.set_aside as usize,
        overruled: set.overruled as usize,
        takeaway: time(set.takeaway),
        arm_level: time(set.arm_level),
        impact: time(set.impact),
        top_estimated: set.top_estimated,
    }
}

/// Whether an event is an estimate in any swing of either set. A link tells it with the event's time from the
/// top: where there is no top it is taken for one.
fn is_estimated(sets: &[SetSummary; 2], kind: EventKind) -> bool {
    sets.iter().any(|set| match kind {
        EventKind::Takeaway => set.takeaway.is_none_or(|e| e.1),
        EventKind::ArmLevel => set.arm_level.is_none_or(|e| e.1),
        EventKind::Impact => set.impact.is_none_or(|e| e.1),
        EventKind::Top => set.top_estimated,
        _ => false,
    })
}

fn restored_rows(shared: &Shared, sets: &[SetSummary; 2]) -> Vec<Row> {
    let mut rows: Vec<Row> = comparison::compared_measures()
        .map(|spec| {
            let sent = shared.measures.iter().find(|m| m.id == spec.id);
            Row {
                id: spec.id,
                label: spec.label,
                unit: spec.unit,
                a: Vec::new(),
                b: Vec::new(),
                lacking: None,
                estimated: sent.is_some()
                    && spec.needs.iter().any(|kind| is_estimated(sets, *kind)),
                sd_of_differences: sent.and_then(|m| m.sd_of_differences),
                found: sent
                    .map(link::restore::comparison)
                    .ok_or_else(|| "not in both sets that this link was made from".to_owned()),
                stands: None,
            }
        })
        .collect();
    comparison::adjust(&mut rows);
    rows
}

fn curve_row(name: &'static str, pair: &link::CurvePair) -> CurveRow {
    let band = |b: &link::Band| Band {
        n: b.n as usize,
        mean: b.mean.clone(),
        sd: b.sd.clone(),
    };
    let (label, unit) = comparison::curve_words(name);
    let [a, b] = [&pair.a, &pair.b].map(|band| band.n as usize);
    CurveRow {
        name,
        label,
        unit,
        a: band(&pair.a),
        b: band(&pair.b),
        // A link made before this was the rule may hold tests of fewer.
        tests: if pair.tests.is_empty() || comparison::too_few(a, b) {
            Err(comparison::untested(a, b))
        } else {
            Ok(pair.tests.iter().map(curve_test).collect())
        },
    }
}

fn curve_test(test: &link::CurveTest) -> CurveTest {
    CurveTest {
        method: match test.method {
            link::Method::Permutation => Method::Permutation,
            link::Method::RandomField => Method::RandomField,
        },
        threshold: test.threshold,
        stretches: test
            .stretches
            .iter()
            .map(|s| Stretch {
                from_pct: s.from_pct,
                to_pct: s.to_pct,
                direction: if s.b_higher {
                    Direction::Higher
                } else {
                    Direction::Lower
                },
                p: s.p,
            })
            .collect(),
        t: Vec::new(),
    }
}

fn paths(pair: Option<&link::PathPair>) -> [Path; 2] {
    let path = |p: &link::Path| {
        let metres = |curve: &[Option<f64>]| curve.iter().map(|v| v.map(|v| v / 1000.0)).collect();
        Path {
            t_m: metres(&p.t_mm),
            a_m: metres(&p.a_mm),
        }
    };
    pair.map_or_else(Default::default, |pair| [path(&pair.a), path(&pair.b)])
}
