//! A comparison for JavaScript: what is read and what is drawn.

use super::drawn::{Columns, WireChart, WirePlan, send_chart, send_plan, with_columns};
use super::object;
use footing_app::comparison::{Align, Comparison, Design};
use footing_app::findings::{Finding, Picture, findings, sentences};
use footing_app::view::compared::{ComparedView, Difference};
use js_sys::{Object, Reflect};
use serde::Serialize;
use wasm_bindgen::JsValue;

/// How a sentence calls the player: a link carries no name.
pub const WHO: &str = "the player";

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
    tested: Option<String>,
    differences: Vec<WireDifference>,
}

#[derive(Serialize)]
struct WireDifference {
    curve: &'static str,
    label: &'static str,
    sentence: String,
    beside: Option<String>,
    marks: Vec<WireMark>,
}

#[derive(Serialize)]
struct WireMark {
    pct: (f64, f64),
    span_s: Option<(f64, f64)>,
    higher: bool,
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
        beside: difference.beside.clone(),
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
        tested: view.tested.clone(),
        differences: view.differences.iter().map(difference).collect(),
    }
}

/// A comparison: `{said, compared, columns}`.
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
    with_columns(&out, columns)?;
    Ok(out.into())
}
