//! The pictures of a comparison: means of both sets over one time axis, and where they differ.
//!
//! They are made from the comparison alone, so the receiver of a link sees what its sender sees.

use super::chart::{ChartView, Foot, Line, Path, PlanView, Readings, Set};
use super::number::{decimals, fixed, with_unit};
use super::tray;
use crate::analysis::Handed;
use crate::comparison::{Band, Comparison, CurveRow, CurveTest, Direction, Method, SetSummary};
use crate::findings;

/// The last node of a normalised curve.
const LAST_NODE: f64 = 100.0;

/// Nodes between two rows of a table.
const ROW_NODES: usize = 5;

/// What is drawn of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedView {
    /// Seconds from the top: every node of either set.
    pub x_s: Vec<f64>,
    /// The point torque is about, in words.
    pub about: &'static str,
    /// Mean torque of A and of B, the areas shaded; meant to be drawn to one scale.
    pub torque: [ChartView; 2],
    /// Mean foot-to-foot CoP angle of both.
    pub angle: ChartView,
    /// Mean ways of the centres of pressure.
    pub plan: PlanView,
    /// The nodes, which the plan's ways are over.
    pub nodes: Vec<f64>,
    /// Node of the top, where the plan's markers stand.
    pub top_node: Option<usize>,
    /// Mean takeaway, top and impact of both sets: words and seconds from the top.
    pub events: Vec<(String, f64)>,
    /// How the curves were tested, where all were tested alike; else each sentence says it.
    pub tested: Option<String>,
    /// For each curve, where the sets differ.
    pub differences: Vec<Difference>,
}

/// Where in the swing a curve of B lies beyond a curve of A.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Name of the curve.
    pub curve: &'static str,
    /// The words a person reads.
    pub label: &'static str,
    /// The result in one sentence.
    pub sentence: String,
    /// The result of the other test, where there is one: it stands beside and does not lead.
    pub beside: Option<String>,
    /// The stretches of the test that leads.
    pub marks: Vec<Mark>,
}

/// One stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Where it begins and ends, per cent of the swing.
    pub pct: (f64, f64),
    /// The same on the axis of seconds from the top, at the mean instants of both sets; `None` where
    /// the events are not known.
    pub span_s: Option<(f64, f64)>,
    /// Whether B lies above A.
    pub higher: bool,
}

/// The pictures of a comparison.
pub fn view(comparison: &Comparison) -> ComparedView {
    let nodes_s = comparison
        .sets
        .each_ref()
        .map(|set| node_times(set, comparison.top_node));
    let mut x_s: Vec<f64> = nodes_s.iter().flatten().flatten().copied().collect();
    x_s.sort_by(f64::total_cmp);
    x_s.dedup();
    let laid = Laid {
        x_s: &x_s,
        nodes_s: &nodes_s,
        comparison,
    };
    let curve = |name: &str| comparison.curves.iter().find(|c| c.name == name);
    let tested = tested_alike(comparison);
    let torque = curve("torque_nm");
    ComparedView {
        torque: [Set::A, Set::B].map(|set| laid.torque(torque, set)),
        angle: laid.angle(curve("cop_angle_deg")),
        plan: plan(comparison),
        nodes: (0..=LAST_NODE as usize).map(|q| q as f64).collect(),
        top_node: comparison.top_node,
        events: events(comparison),
        about: tray::about(comparison.about),
        differences: comparison
            .curves
            .iter()
            .map(|c| difference(c, comparison, &nodes_s, tested.is_some()))
            .collect(),
        tested: tested.map(|how| format!("Every curve is tested by {how}")),
        x_s,
    }
}

/// Mean instants of a set's nodes, seconds from the top: straight from takeaway to the top's node
/// and on to impact, as the swings were laid over each other.
fn node_times(set: &SetSummary, top_node: Option<usize>) -> Option<Vec<f64>> {
    let ((takeaway, _), (impact, _)) = (set.takeaway?, set.impact?);
    let at = |q: f64| match top_node.map(|k| k as f64) {
        Some(k) if q <= k => takeaway * (1.0 - q / k),
        Some(k) => impact * (q - k) / (LAST_NODE - k),
        None => takeaway + (impact - takeaway) * q / LAST_NODE,
    };
    Some((0..=LAST_NODE as usize).map(|q| at(q as f64)).collect())
}

/// Straight between nodes; nothing outside them or beside a gap.
fn at(nodes: &[f64], values: &[Option<f64>], x: f64) -> Option<f64> {
    let after = nodes.partition_point(|node| *node < x);
    let (x1, y1) = (*nodes.get(after)?, *values.get(after)?);
    if x1 == x {
        return y1;
    }
    let before = after.checked_sub(1)?;
    let (x0, y0, y1) = (nodes[before], (*values.get(before)?)?, y1?);
    Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
}

fn events(comparison: &Comparison) -> Vec<(String, f64)> {
    let sets = || comparison.sets.iter().zip(["A", "B"]);
    let mark = |name: &str, set: &str, time: (f64, bool)| {
        let estimated = if time.1 { "estimated " } else { "" };
        (format!("{estimated}{name} {set}"), time.0)
    };
    let known = sets().any(|(set, _)| set.takeaway.is_some() || set.impact.is_some());
    let estimated = sets().any(|(set, _)| set.top_estimated);
    let top = known.then(|| {
        let words = if estimated { "estimated top" } else { "top" };
        (words.to_owned(), 0.0)
    });
    sets()
        .filter_map(|(set, name)| Some(mark("takeaway", name, set.takeaway?)))
        .chain(top)
        .chain(sets().filter_map(|(set, name)| Some(mark("impact", name, set.impact?))))
        .collect()
}

struct Laid<'a> {
    x_s: &'a [f64],
    nodes_s: &'a [Option<Vec<f64>>; 2],
    comparison: &'a Comparison,
}

impl Laid<'_> {
    fn line(&self, curve: &CurveRow, set: Set) -> Option<Line> {
        let i = usize::from(set == Set::B);
        let Band { mean, sd, .. } = [&curve.a, &curve.b][i];
        let nodes = self.nodes_s[i].as_ref()?;
        let laid = |values: &[Option<f64>]| -> Vec<Option<f64>> {
            self.x_s.iter().map(|x| at(nodes, values, *x)).collect()
        };
        let y = laid(mean);
        y.iter().any(Option::is_some).then(|| Line {
            label: set.name().to_owned(),
            foot: None,
            set: Some(set),
            y,
            spread: (!sd.is_empty()).then(|| laid(sd)),
        })
    }

    fn chart(&self, curve: Option<&CurveRow>, sets: &[Set]) -> ChartView {
        let lines: Vec<Line> = sets
            .iter()
            .filter_map(|set| self.line(curve?, *set))
            .collect();
        let unit = curve.map_or("", |curve| curve.unit);
        ChartView {
            id: String::new(),
            title: String::new(),
            unit: unit.to_owned(),
            decimals: decimals(unit),
            up: String::new(),
            down: String::new(),
            sentence: String::new(),
            shaded: false,
            absent: lines.is_empty().then(|| {
                "absent: these recordings do not hold it from takeaway to impact".to_owned()
            }),
            lines,
            rules: Vec::new(),
            readings: Readings::default(),
        }
    }

    fn torque(&self, curve: Option<&CurveRow>, set: Set) -> ChartView {
        let i = usize::from(set == Set::B);
        let label = &self.comparison.sets[i].label;
        let chart = self.chart(curve, &[set]);
        let sentence = match (&chart.absent, curve) {
            (None, Some(curve)) => {
                let band = [&curve.a, &curve.b][i];
                let mean = || band.mean.iter().flatten().copied();
                format!(
                    "{}, “{label}”, mean of {}: from {} to {} between takeaway and impact; hatched below zero, turning away from the target, filled above, turning toward it",
                    set.name(),
                    band.n,
                    with_unit(mean().fold(f64::INFINITY, f64::min), curve.unit),
                    with_unit(mean().fold(f64::NEG_INFINITY, f64::max), curve.unit),
                )
            }
            (reason, _) => reason.clone().unwrap_or_default(),
        };
        ChartView {
            id: format!("torque-{}", set.name().to_lowercase()),
            title: format!("Turning force of {}, “{label}”", set.name()),
            up: "toward target".into(),
            down: "away".into(),
            shaded: true,
            sentence,
            readings: curve.map(|c| self.readings(c)).unwrap_or_default(),
            ..chart
        }
    }

    fn angle(&self, curve: Option<&CurveRow>) -> ChartView {
        let chart = self.chart(curve, &[Set::A, Set::B]);
        let sentence = match (&chart.absent, curve) {
            (None, Some(curve)) => {
                let top = self.comparison.top_node;
                let values = [&curve.a, &curve.b].map(|band| {
                    let here = top.and_then(|node| *band.mean.get(node)?);
                    here.map(|v| with_unit(v, curve.unit))
                });
                match values {
                    [Some(a), Some(b)] => format!(
                        "Angle of the line between the two feet's pressure points: at the top {a} in A, {b} in B; positive when the lead foot's is further toward the toes"
                    ),
                    _ => "Angle of the line between the two feet's pressure points".to_owned(),
                }
            }
            (reason, _) => reason.clone().unwrap_or_default(),
        };
        ChartView {
            id: "angle-both".into(),
            title: "Line between the feet".into(),
            up: "lead toeward".into(),
            down: "trail toeward".into(),
            sentence,
            readings: curve.map(|c| self.readings(c)).unwrap_or_default(),
            ..chart
        }
    }

    fn readings(&self, curve: &CurveRow) -> Readings {
        let cell = |band: &Band, q: usize| {
            let value = |values: &[Option<f64>]| values.get(q).copied().flatten();
            match (value(&band.mean), value(&band.sd)) {
                (Some(mean), Some(sd)) => format!(
                    "{} ± {}",
                    fixed(mean, decimals(curve.unit)),
                    fixed(sd, decimals(curve.unit))
                ),
                (Some(mean), None) => fixed(mean, decimals(curve.unit)),
                _ => "none".into(),
            }
        };
        let top = self.comparison.top_node;
        let mut nodes: Vec<usize> = (0..=LAST_NODE as usize).step_by(ROW_NODES).collect();
        nodes.extend(top);
        nodes.sort_unstable();
        nodes.dedup();
        let name = |q: usize| match q {
            0 => ", takeaway",
            100 => ", impact",
            q if Some(q) == top => ", top",
            _ => "",
        };
        Readings {
            head: vec![
                "% of the swing".into(),
                format!("A, {}, mean ± SD", curve.unit),
                format!("B, {}, mean ± SD", curve.unit),
            ],
            rows: nodes
                .into_iter()
                .map(|q| {
                    vec![
                        format!("{q}{}", name(q)),
                        cell(&curve.a, q),
                        cell(&curve.b, q),
                    ]
                })
                .collect(),
        }
    }
}

fn plan(comparison: &Comparison) -> PlanView {
    let on_left = comparison.handed == Handed::Right;
    let paths = (0..2)
        .flat_map(|i| {
            [
                (Foot::Lead, &comparison.lead_path[i]),
                (Foot::Trail, &comparison.trail_path[i]),
            ]
            .map(|(foot, path)| {
                let set = [Set::A, Set::B][i];
                Path {
                    label: format!("{} {}", foot.name(), set.name()),
                    foot: Some(foot),
                    set: Some(set),
                    t_m: path.t_m.clone(),
                    a_m: path.a_m.clone(),
                }
            })
        })
        .filter(|path| path.t_m.iter().any(Option::is_some))
        .collect();
    PlanView {
        target_on_left: on_left,
        plates: Vec::new(),
        paths,
        sentence: format!(
            "The feet from above, toes up, target on the {}: the way each foot's pressure point goes from takeaway to impact, mean of A and of B; markers and the line between them stand at the top",
            if on_left { "left" } else { "right" }
        ),
    }
}

fn difference(
    curve: &CurveRow,
    comparison: &Comparison,
    nodes_s: &[Option<Vec<f64>>; 2],
    tested_alike: bool,
) -> Difference {
    let seconds = |pct: f64| -> Option<f64> {
        let both: Vec<f64> = nodes_s
            .iter()
            .flatten()
            .filter_map(|nodes| {
                let low = pct.clamp(0.0, LAST_NODE).floor() as usize;
                let here = *nodes.get(low)?;
                let next = *nodes.get(low + 1).unwrap_or(&here);
                Some(here + (next - here) * (pct - low as f64))
            })
            .collect();
        (!both.is_empty()).then(|| both.iter().sum::<f64>() / both.len() as f64)
    };
    let tests = curve.tests.as_ref().map_err(String::as_str);
    let test = tests.and_then(|tests| tests.first().ok_or("not tested"));
    let marks = test.map_or_else(
        |_| Vec::new(),
        |test| {
            test.stretches
                .iter()
                .map(|s| Mark {
                    pct: (s.from_pct, s.to_pct),
                    span_s: seconds(s.from_pct).zip(seconds(s.to_pct)),
                    higher: s.direction == Direction::Higher,
                })
                .collect()
        },
    );
    Difference {
        curve: curve.name,
        label: curve.label,
        sentence: match test {
            Ok(test) => {
                let how = (!tested_alike).then(|| format!(" ({})", tested_by(curve, test)));
                where_they_differ(curve, test, comparison, comparison.top_node) + &how.unwrap_or_default()
            }
            Err(why) => format!("Where A and B differ cannot be said: {why}"),
        },
        beside: tests.ok().and_then(|tests| tests.get(1)).map(|test| {
            // Its places are much the same: in words they are told once.
            let said = where_they_differ(curve, test, comparison, None);
            match test.method {
                Method::RandomField => {
                    format!("Beside it random field theory, which takes the noise to be smooth and normal: {said}")
                }
                Method::Permutation => format!("Beside it the permutation test: {said}"),
            }
        }),
        marks,
    }
}

fn where_they_differ(
    curve: &CurveRow,
    test: &CurveTest,
    comparison: &Comparison,
    top_node: Option<usize>,
) -> String {
    if findings::cannot_tell(curve, test, comparison.design) {
        return format!(
            "With {} the exact test cannot say where A and B differ",
            findings::counted(curve)
        );
    }
    if test.stretches.is_empty() {
        return "Nowhere are A and B shown to differ by more than chance allows".into();
    }
    let parts: Vec<String> = test
        .stretches
        .iter()
        .map(|s| {
            format!(
                "{} A {}, p {}",
                if s.direction == Direction::Higher {
                    "above"
                } else {
                    "below"
                },
                findings::place(s, top_node),
                findings::p_words(s.p)
            )
        })
        .collect();
    format!("B lies {}", parts.join("; "))
}

fn tested_by(curve: &CurveRow, test: &CurveTest) -> String {
    let how = match test.method {
        Method::Permutation => "the largest |t| over all arrangements of the swings",
        Method::RandomField => "random field theory",
    };
    format!("{how}, {}", findings::counted(curve))
}

/// How the curves were tested, when that is the same for all that were.
fn tested_alike(comparison: &Comparison) -> Option<String> {
    let mut ways = comparison
        .curves
        .iter()
        .filter_map(|curve| Some(tested_by(curve, curve.tests.as_ref().ok()?.first()?)));
    let first = ways.next()?;
    ways.all(|way| way == first).then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nodes_fall_on_takeaway_top_and_impact() {
        let set = SetSummary {
            takeaway: Some((-0.8, false)),
            impact: Some((0.25, false)),
            ..SetSummary::default()
        };
        let piecewise = node_times(&set, Some(76)).unwrap();
        assert_eq!(piecewise.len(), 101);
        assert_eq!(
            [
                piecewise[0],
                piecewise[38],
                piecewise[76],
                piecewise[88],
                piecewise[100]
            ],
            [-0.8, -0.4, 0.0, 0.125, 0.25]
        );
        let linear = node_times(&set, None).unwrap();
        assert!((linear[50] + 0.275).abs() < 1e-12);
        assert_eq!(node_times(&SetSummary::default(), None), None);
    }

    #[test]
    fn values_lie_straight_between_nodes_and_nowhere_else() {
        let (nodes, values) = (
            [0.0, 1.0, 2.0, 3.0],
            [Some(0.0), Some(4.0), None, Some(1.0)],
        );
        assert_eq!(at(&nodes, &values, 0.25), Some(1.0));
        assert_eq!(at(&nodes, &values, 1.0), Some(4.0));
        for outside in [-0.1, 1.5, 2.0, 2.5, 3.1] {
            assert_eq!(at(&nodes, &values, outside), None);
        }
    }
}
