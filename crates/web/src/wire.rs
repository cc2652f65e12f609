//! Plain objects for JavaScript, and back.
//!
//! These are the rim's own counterparts of the view types, so that the inside may change without
//! the page noticing. Curves are numbers of columns; the columns themselves go beside the object.

#[cfg(feature = "whole")]
pub mod compared;
pub mod drawn;

use footing_app::analysis::Note;
use footing_app::core::quality;
use footing_app::formats::Problem;
use footing_app::view::chart::BenchView;
use footing_app::view::definitions::Definition;
use footing_app::view::measures::{OfSet, Row};
use footing_app::view::tray::TrayView;
use js_sys::{Object, Reflect};
use serde::Serialize;
use wasm_bindgen::JsValue;

use drawn::{Columns, WireChart, WirePlan, send_chart, send_plan, with_columns};

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
    from_address: &'a str,
    a: WireOfSet<'a>,
    b: WireOfSet<'a>,
}

#[derive(Serialize)]
struct WireOfSet<'a> {
    mean: &'a str,
    below: &'a str,
    estimated: &'a str,
}

fn of_set(set: &OfSet) -> WireOfSet<'_> {
    WireOfSet {
        mean: &set.mean,
        below: &set.below,
        estimated: &set.estimated,
    }
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
            from_address: &row.from_address,
            a: of_set(&row.a),
            b: of_set(&row.b),
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
