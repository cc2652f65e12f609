//! Plain objects for JavaScript, and back.
//!
//! These are the rim's own counterparts of the view types, so that the inside may change without
//! the page noticing. Curves are numbers of columns; the columns themselves go beside the object.

#[cfg(feature = "whole")]
pub mod compared;

use footing_app::analysis::Note;
use footing_app::core::quality;
use footing_app::formats::Problem;
use footing_app::view::chart::{
    BenchView, ChartView, Foot, Line, Outline, Path, PlanView, Readings, Rule, Set,
};
use footing_app::view::definitions::Definition;
use footing_app::view::measures::Row;
use footing_app::view::tray::TrayView;
use js_sys::{Array, Float64Array, Object, Reflect};
use serde::{Deserialize, Serialize};
use wasm_bindgen::{JsCast, JsError, JsValue};

/// The columns sent with one view.
#[derive(Default)]
struct Columns(Vec<Float64Array>);

impl Columns {
    fn push(&mut self, values: &[f64]) -> usize {
        self.0.push(Float64Array::from(values));
        self.0.len() - 1
    }

    /// A column with gaps: only in these arrays NaN stands for "no value".
    fn push_gapped(&mut self, values: &[Option<f64>]) -> usize {
        let plain: Vec<f64> = values.iter().map(|v| v.unwrap_or(f64::NAN)).collect();
        self.push(&plain)
    }
}

fn column(columns: &Array, index: usize) -> Result<Vec<f64>, JsValue> {
    let array: Float64Array = columns
        .get(u32::try_from(index).unwrap_or(u32::MAX))
        .dyn_into()
        .map_err(|_| JsError::new(&format!("column {index} is not there")))?;
    Ok(array.to_vec())
}

fn gapped(columns: &Array, index: usize) -> Result<Vec<Option<f64>>, JsValue> {
    let values = column(columns, index)?;
    Ok(values
        .into_iter()
        .map(|v| (!v.is_nan()).then_some(v))
        .collect())
}

/// The time axis.
pub fn axis(columns: &Array, index: u32) -> Vec<f64> {
    column(columns, index as usize).unwrap_or_default()
}

#[derive(Serialize, Deserialize)]
struct WireLine {
    label: String,
    foot: Option<String>,
    set: Option<String>,
    y: usize,
    spread: Option<usize>,
}

#[derive(Serialize, Deserialize)]
struct WireRule {
    y: f64,
    label: String,
}

#[derive(Serialize, Deserialize)]
struct WireReadings {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

#[derive(Serialize, Deserialize)]
struct WireChart {
    id: String,
    title: String,
    unit: String,
    decimals: usize,
    up: String,
    down: String,
    sentence: String,
    shaded: bool,
    lines: Vec<WireLine>,
    rules: Vec<WireRule>,
    absent: Option<String>,
    readings: WireReadings,
}

#[derive(Serialize, Deserialize)]
struct WireOutline {
    label: String,
    corners_m: [(f64, f64); 4],
}

#[derive(Serialize, Deserialize)]
struct WirePath {
    label: String,
    foot: Option<String>,
    set: Option<String>,
    t: usize,
    a: usize,
}

#[derive(Serialize, Deserialize)]
struct WirePlan {
    target_on_left: bool,
    plates: Vec<WireOutline>,
    paths: Vec<WirePath>,
    sentence: String,
}

#[derive(Serialize)]
struct WireEvent {
    id: &'static str,
    label: &'static str,
    t_s: f64,
    source: &'static str,
    uncertainty_s: f64,
    how: String,
    text: String,
}

#[derive(Serialize)]
struct WirePlaceable {
    id: &'static str,
    label: &'static str,
    reason: String,
}

#[derive(Serialize)]
struct WireBench {
    x: usize,
    x_title: &'static str,
    swing_s: (f64, f64),
    about: &'static str,
    charts: Vec<WireChart>,
    plan: WirePlan,
    events: Vec<WireEvent>,
    placeable: Vec<WirePlaceable>,
}

#[derive(Serialize)]
struct WireFact {
    name: &'static str,
    text: String,
}

#[derive(Serialize)]
struct WireNote {
    code: &'static str,
    level: &'static str,
    text: String,
    concerns: &'static [&'static str],
}

/// Measures and charts that a note touches; none: all alike.
fn concerned(code: &str) -> &'static [&'static str] {
    quality::concerns(code).unwrap_or(quality::WHOLE)
}

#[derive(Serialize)]
struct WireTray {
    file: String,
    facts: Vec<WireFact>,
    notes: Vec<WireNote>,
}

#[derive(Serialize)]
struct WireRow<'a> {
    id: &'a str,
    label: &'a str,
    unit: &'a str,
    value: Option<&'a str>,
    absent: &'a str,
    estimated: &'a str,
    impact_shift: &'a str,
    a: &'a str,
    b: &'a str,
}

#[derive(Serialize)]
struct WireDefinition {
    id: &'static str,
    meaning: &'static str,
    formula: &'static str,
    source: &'static str,
}

#[derive(Serialize)]
struct WireProblem {
    file: String,
    text: String,
    wants_wiring: bool,
}

/// A small thing as a plain object.
pub fn object<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    Ok(value.serialize(&serde_wasm_bindgen::Serializer::json_compatible())?)
}

/// A refusal as the page shows it.
pub fn problem(problem: &Problem) -> JsValue {
    let wire = WireProblem {
        file: problem.file.clone(),
        text: problem.to_string(),
        wants_wiring: problem.wants_wiring,
    };
    object(&wire).unwrap_or_else(|_| JsValue::from_str(&problem.to_string()))
}

fn foot_name(foot: Option<Foot>) -> Option<String> {
    foot.map(|f| f.name().to_owned())
}

fn set_name(set: Option<Set>) -> Option<String> {
    set.map(|s| s.name().to_owned())
}

fn foot_of(name: Option<String>) -> Option<Foot> {
    let name = name?;
    [Foot::Lead, Foot::Trail]
        .into_iter()
        .find(|f| f.name() == name)
}

fn set_of(name: Option<String>) -> Option<Set> {
    let name = name?;
    [Set::A, Set::B].into_iter().find(|s| s.name() == name)
}

fn send_chart(view: &ChartView, columns: &mut Columns) -> WireChart {
    WireChart {
        id: view.id.clone(),
        title: view.title.clone(),
        unit: view.unit.clone(),
        decimals: view.decimals,
        up: view.up.clone(),
        down: view.down.clone(),
        sentence: view.sentence.clone(),
        shaded: view.shaded,
        lines: view
            .lines
            .iter()
            .map(|line| WireLine {
                label: line.label.clone(),
                foot: foot_name(line.foot),
                set: set_name(line.set),
                y: columns.push_gapped(&line.y),
                spread: line.spread.as_ref().map(|s| columns.push_gapped(s)),
            })
            .collect(),
        rules: view
            .rules
            .iter()
            .map(|rule| WireRule {
                y: rule.y,
                label: rule.label.clone(),
            })
            .collect(),
        absent: view.absent.clone(),
        readings: WireReadings {
            head: view.readings.head.clone(),
            rows: view.readings.rows.clone(),
        },
    }
}

fn send_plan(view: &PlanView, columns: &mut Columns) -> WirePlan {
    WirePlan {
        target_on_left: view.target_on_left,
        sentence: view.sentence.clone(),
        plates: view
            .plates
            .iter()
            .map(|p| WireOutline {
                label: p.label.clone(),
                corners_m: p.corners_m,
            })
            .collect(),
        paths: view
            .paths
            .iter()
            .map(|p| WirePath {
                label: p.label.clone(),
                foot: foot_name(p.foot),
                set: set_name(p.set),
                t: columns.push_gapped(&p.t_m),
                a: columns.push_gapped(&p.a_m),
            })
            .collect(),
    }
}

fn send_bench(view: &BenchView, columns: &mut Columns) -> WireBench {
    WireBench {
        x: columns.push(&view.x_s),
        x_title: view.x_title,
        swing_s: view.swing_s,
        about: view.about,
        charts: view.charts.iter().map(|c| send_chart(c, columns)).collect(),
        plan: send_plan(&view.plan, columns),
        events: view
            .events
            .iter()
            .map(|e| WireEvent {
                id: e.id,
                label: e.label,
                t_s: e.t_s,
                source: e.source,
                uncertainty_s: e.uncertainty_s,
                how: e.how.clone(),
                text: e.text.clone(),
            })
            .collect(),
        placeable: view
            .placeable
            .iter()
            .map(|p| WirePlaceable {
                id: p.id,
                label: p.label,
                reason: p.reason.clone(),
            })
            .collect(),
    }
}

fn with_columns(target: &Object, columns: Columns) -> Result<(), JsValue> {
    let list: Array = columns.0.into_iter().collect();
    Reflect::set(target, &"columns".into(), &list)?;
    Ok(())
}

/// One recording: `{sentence, tray, bench, columns}`.
pub fn recording(sentence: &str, tray: &TrayView, bench: &BenchView) -> Result<JsValue, JsValue> {
    let out = Object::new();
    Reflect::set(&out, &"sentence".into(), &sentence.into())?;
    let tray = WireTray {
        file: tray.file.clone(),
        facts: tray
            .facts
            .iter()
            .map(|(name, text)| WireFact {
                name,
                text: text.clone(),
            })
            .collect(),
        notes: tray
            .notes
            .iter()
            .map(|(code, level, text)| WireNote {
                code,
                level,
                text: text.clone(),
                concerns: concerned(code),
            })
            .collect(),
    };
    Reflect::set(&out, &"tray".into(), &object(&tray)?)?;
    let mut columns = Columns::default();
    let bench = send_bench(bench, &mut columns);
    Reflect::set(&out, &"bench".into(), &object(&bench)?)?;
    with_columns(&out, columns)?;
    Ok(out.into())
}

#[derive(Serialize)]
struct WireSeveral<'a> {
    swings_s: &'a [(f64, f64)],
    others: &'a [String],
}

/// The swings of a recording that holds several.
pub fn several(swings_s: &[(f64, f64)], others: &[String]) -> Result<JsValue, JsValue> {
    object(&WireSeveral { swings_s, others })
}

#[derive(Serialize)]
struct WireBetween<'a> {
    id: u32,
    code: &'static str,
    level: &'static str,
    text: &'a str,
    concerns: &'static [&'static str],
}

/// What recordings say about each other.
pub fn between<'a>(notes: impl Iterator<Item = (u32, &'a Note)>) -> Result<JsValue, JsValue> {
    let notes: Vec<WireBetween<'_>> = notes
        .map(|(id, note)| WireBetween {
            id,
            code: note.code,
            level: note.level,
            text: &note.text,
            concerns: concerned(note.code),
        })
        .collect();
    object(&notes)
}

/// Two sets: `{bench, columns}`.
pub fn sets(bench: &BenchView) -> Result<JsValue, JsValue> {
    let out = Object::new();
    let mut columns = Columns::default();
    let bench = send_bench(bench, &mut columns);
    Reflect::set(&out, &"bench".into(), &object(&bench)?)?;
    with_columns(&out, columns)?;
    Ok(out.into())
}

/// Rows of the table.
pub fn rows(rows: &[Row]) -> Result<JsValue, JsValue> {
    let rows: Vec<WireRow<'_>> = rows
        .iter()
        .map(|row| WireRow {
            id: row.id,
            label: row.label,
            unit: row.unit,
            value: row.value.as_deref(),
            absent: &row.absent,
            estimated: &row.estimated,
            impact_shift: &row.impact_shift,
            a: &row.a,
            b: &row.b,
        })
        .collect();
    object(&rows)
}

/// Every definition.
pub fn definitions(all: &'static [Definition]) -> Result<JsValue, JsValue> {
    let all: Vec<WireDefinition> = all
        .iter()
        .map(|d| WireDefinition {
            id: d.id,
            meaning: d.meaning,
            formula: d.formula,
            source: d.source,
        })
        .collect();
    object(&all)
}

/// A chart as the page hands it back to be drawn. The table behind it stays in the page.
pub fn chart(value: JsValue, columns: &Array) -> Result<ChartView, JsValue> {
    let wire: WireChart = serde_wasm_bindgen::from_value(value)?;
    Ok(ChartView {
        id: wire.id,
        title: wire.title,
        unit: wire.unit,
        up: wire.up,
        down: wire.down,
        decimals: wire.decimals,
        sentence: wire.sentence,
        shaded: wire.shaded,
        lines: wire
            .lines
            .into_iter()
            .map(|line| {
                Ok(Line {
                    label: line.label,
                    foot: foot_of(line.foot),
                    set: set_of(line.set),
                    y: gapped(columns, line.y)?,
                    spread: line.spread.map(|s| gapped(columns, s)).transpose()?,
                })
            })
            .collect::<Result<_, JsValue>>()?,
        rules: wire
            .rules
            .into_iter()
            .map(|r| Rule {
                y: r.y,
                label: r.label,
            })
            .collect(),
        absent: wire.absent,
        readings: Readings::default(),
    })
}

/// The plan as the page hands it back to be drawn.
pub fn plan(value: JsValue, columns: &Array) -> Result<PlanView, JsValue> {
    let wire: WirePlan = serde_wasm_bindgen::from_value(value)?;
    Ok(PlanView {
        target_on_left: wire.target_on_left,
        plates: wire
            .plates
            .into_iter()
            .map(|p| Outline {
                label: p.label,
                corners_m: p.corners_m,
            })
            .collect(),
        paths: wire
            .paths
            .into_iter()
            .map(|p| {
                Ok(Path {
                    label: p.label,
                    foot: foot_of(p.foot),
                    set: set_of(p.set),
                    t_m: gapped(columns, p.t)?,
                    a_m: gapped(columns, p.a)?,
                })
            })
            .collect::<Result<_, JsValue>>()?,
        sentence: wire.sentence,
    })
}
