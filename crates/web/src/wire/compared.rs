//! A comparison for JavaScript: what is read, what is drawn, and the numbers for files.

use super::{Columns, WireChart, WirePlan, object, send_chart, send_plan, with_columns};
use footing_app::comparison::{
    Align, Comparison, CurveRow, CurveTest, Design, Direction, MoreSwings, Row,
};
use footing_app::findings::{Finding, Picture, findings, sentences, verdict_words};
use footing_app::view::compared::{ComparedView, Difference};
use js_sys::{Object, Reflect};
use serde::Serialize;
use std::collections::BTreeMap;
use wasm_bindgen::JsValue;

/// How a sentence calls the player: a link carries no name.
const WHO: &str = "the player";

#[derive(Serialize)]
struct WireFindings<'a> {
    sentences: [String; 3],
    counted: usize,
    rows: Vec<WireFinding>,
    notes: Vec<WireNote<'a>>,
    paired: bool,
    linear: bool,
    sets: [WireSet<'a>; 2],
}

#[derive(Serialize)]
struct WireNote<'a> {
    code: &'a str,
    text: &'a str,
}

#[derive(Serialize)]
struct WireSet<'a> {
    label: &'a str,
    swings: usize,
    set_aside: usize,
    overruled: usize,
}

#[derive(Serialize)]
struct WireFinding {
    id: &'static str,
    label: &'static str,
    unit: &'static str,
    a: String,
    b: String,
    change: String,
    interval: String,
    spread: String,
    verdict: String,
    verdict_id: &'static str,
    details: Vec<(&'static str, String)>,
    estimated: bool,
    picture: Option<WirePicture>,
    definition: [&'static str; 3],
}

#[derive(Serialize)]
struct WirePicture {
    a: Vec<f64>,
    b: Vec<f64>,
    mean_a: f64,
    mean_b: f64,
    interval: Option<(f64, f64)>,
    band: Option<(f64, f64)>,
    alt: String,
}

#[derive(Serialize)]
struct WireCompared {
    x: usize,
    nodes: usize,
    top_node: Option<usize>,
    span_s: (f64, f64),
    about: &'static str,
    torque: [WireChart; 2],
    angle: WireChart,
    plan: WirePlan,
    events: Vec<(String, f64)>,
    differences: Vec<WireDifference>,
}

#[derive(Serialize)]
struct WireDifference {
    curve: &'static str,
    label: &'static str,
    sentence: String,
    marks: Vec<WireMark>,
}

#[derive(Serialize)]
struct WireMark {
    pct: (f64, f64),
    span_s: Option<(f64, f64)>,
    higher: bool,
}

/// The numbers of a comparison under the names of `footing-comparison/1`.
#[derive(Serialize)]
struct WireDocument<'a> {
    format: &'static str,
    about: &'static str,
    low_pass_hz: Option<f64>,
    handed: &'static str,
    design: &'static str,
    align: &'static str,
    top_pct: Option<usize>,
    measures: BTreeMap<&'static str, WireMeasure<'a>>,
    absent: BTreeMap<&'static str, &'a str>,
    curves: BTreeMap<&'static str, WireCurve>,
}

#[derive(Serialize)]
struct WireMoments<'a> {
    n: usize,
    mean: Option<f64>,
    sd: Option<f64>,
    values: &'a [Option<f64>],
}

#[derive(Serialize)]
struct WireMeasure<'a> {
    label: &'static str,
    unit: &'static str,
    a: WireMoments<'a>,
    b: WireMoments<'a>,
    change: Option<f64>,
    ci95: Option<(f64, f64)>,
    p_t: Option<f64>,
    p_permutation: Option<f64>,
    p_holm: Option<f64>,
    stands: Option<bool>,
    hedges_g: Option<f64>,
    spread: Option<f64>,
    mdc95: Option<f64>,
    lag1_r: Option<f64>,
    verdict: &'static str,
    more_swings: Option<u32>,
    estimated: bool,
}

#[derive(Serialize)]
struct WireCurve {
    label: &'static str,
    unit: &'static str,
    leading: Option<&'static str>,
    permutation: Option<WireTest>,
    random_field: Option<WireTest>,
}

#[derive(Serialize)]
struct WireTest {
    threshold: f64,
    clusters: Vec<WireCluster>,
}

#[derive(Serialize)]
struct WireCluster {
    from_pct: f64,
    to_pct: f64,
    p: f64,
    b_is: &'static str,
}

fn picture(picture: Picture) -> WirePicture {
    WirePicture {
        a: picture.a,
        b: picture.b,
        mean_a: picture.mean_a,
        mean_b: picture.mean_b,
        interval: picture.interval,
        band: picture.band,
        alt: picture.alt,
    }
}

fn finding(finding: Finding) -> WireFinding {
    WireFinding {
        definition: finding
            .definition
            .map_or([""; 3], |d| [d.meaning, d.formula, d.source]),
        id: finding.id,
        label: finding.label,
        unit: finding.unit,
        a: finding.a,
        b: finding.b,
        change: finding.change,
        interval: finding.interval,
        spread: finding.spread,
        verdict: finding.verdict,
        verdict_id: finding.verdict_id,
        details: finding.details,
        estimated: finding.estimated,
        picture: finding.picture.map(picture),
    }
}

fn difference(difference: &Difference) -> WireDifference {
    WireDifference {
        curve: difference.curve,
        label: difference.label,
        sentence: difference.sentence.clone(),
        marks: difference
            .marks
            .iter()
            .map(|mark| WireMark {
                pct: mark.pct,
                span_s: mark.span_s,
                higher: mark.higher,
            })
            .collect(),
    }
}

fn compared(view: &ComparedView, columns: &mut Columns) -> WireCompared {
    let [a, b] = &view.torque;
    WireCompared {
        x: columns.push(&view.x_s),
        nodes: columns.push(&view.nodes),
        top_node: view.top_node,
        span_s: (
            view.x_s.first().copied().unwrap_or(0.0),
            view.x_s.last().copied().unwrap_or(1.0),
        ),
        about: view.about,
        torque: [send_chart(a, columns), send_chart(b, columns)],
        angle: send_chart(&view.angle, columns),
        plan: send_plan(&view.plan, columns),
        events: view.events.clone(),
        differences: view.differences.iter().map(difference).collect(),
    }
}

fn measure(row: &Row) -> Option<(&'static str, WireMeasure<'_>)> {
    let found = row.found.as_ref().ok()?;
    Some((
        row.id,
        WireMeasure {
            label: row.label,
            unit: row.unit,
            a: WireMoments {
                n: found.a.n,
                mean: found.a.mean,
                sd: found.a.sd,
                values: &row.a,
            },
            b: WireMoments {
                n: found.b.n,
                mean: found.b.mean,
                sd: found.b.sd,
                values: &row.b,
            },
            change: found.change,
            ci95: found.ci95,
            p_t: found.p_t,
            p_permutation: found.p_permutation.map(|p| p.p),
            p_holm: found.p_holm,
            stands: row.stands,
            hedges_g: found.effect.map(|e| e.g),
            spread: found.spread,
            mdc95: found.mdc95,
            lag1_r: found.lag1.map(|l| l.r),
            verdict: verdict_words(found.verdict),
            more_swings: match found.more_swings {
                Some(MoreSwings::Each(n)) => Some(n),
                Some(MoreSwings::BeyondCap) | None => None,
            },
            estimated: row.estimated,
        },
    ))
}

fn curve(row: &CurveRow) -> WireCurve {
    let tests = row.tests.as_deref().unwrap_or_default();
    let test = |name: &str| {
        tests
            .iter()
            .find(|t| t.method.name() == name)
            .map(|test: &CurveTest| WireTest {
                threshold: test.threshold,
                clusters: test
                    .stretches
                    .iter()
                    .map(|s| WireCluster {
                        from_pct: s.from_pct,
                        to_pct: s.to_pct,
                        p: s.p,
                        b_is: match s.direction {
                            Direction::Higher => "higher",
                            Direction::Lower => "lower",
                        },
                    })
                    .collect(),
            })
    };
    WireCurve {
        label: row.label,
        unit: row.unit,
        leading: tests.first().map(|t| t.method.name()),
        permutation: test("permutation"),
        random_field: test("random_field"),
    }
}

fn document(comparison: &Comparison) -> WireDocument<'_> {
    WireDocument {
        format: "footing-comparison/1",
        about: comparison.about.name(),
        low_pass_hz: comparison.low_pass_hz,
        handed: comparison.handed.name(),
        design: match comparison.design {
            Design::Separate => "separate",
            Design::Paired => "paired",
        },
        align: match comparison.align {
            Align::Linear => "linear",
            Align::Piecewise => "piecewise",
        },
        top_pct: comparison.top_node,
        measures: comparison.rows.iter().filter_map(measure).collect(),
        absent: comparison
            .rows
            .iter()
            .filter_map(|row| Some((row.id, row.found.as_ref().err()?.as_str())))
            .collect(),
        curves: comparison
            .curves
            .iter()
            .map(|row| (row.name, curve(row)))
            .collect(),
    }
}

/// A comparison: `{said, compared, document, columns}`.
pub fn comparison(comparison: &Comparison) -> Result<JsValue, JsValue> {
    let out = Object::new();
    let said = WireFindings {
        sentences: sentences(comparison, WHO).map(|said| format!("{said}.")),
        counted: comparison
            .rows
            .iter()
            .filter(|row| !row.rescaled() && row.found.is_ok())
            .count(),
        rows: findings(comparison).into_iter().map(finding).collect(),
        notes: comparison
            .notes
            .iter()
            .map(|(code, text)| WireNote { code, text })
            .collect(),
        paired: comparison.design == Design::Paired,
        linear: comparison.align == Align::Linear,
        sets: comparison.sets.each_ref().map(|set| WireSet {
            label: &set.label,
            swings: set.swings,
            set_aside: set.set_aside,
            overruled: set.overruled,
        }),
    };
    Reflect::set(&out, &"said".into(), &object(&said)?)?;
    let mut columns = Columns::default();
    let view = footing_app::view::compared::view(comparison);
    let drawn = compared(&view, &mut columns);
    Reflect::set(&out, &"compared".into(), &object(&drawn)?)?;
    Reflect::set(&out, &"document".into(), &object(&document(comparison))?)?;
    with_columns(&out, columns)?;
    Ok(out.into())
}
