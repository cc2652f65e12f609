//! Charts and plans, which cross both ways: from the worker as they were computed, and back to be drawn.

use footing_app::view::chart::{
    ChartView, Foot, Line, Outline, Path, PlanView, Readings, Rule, Set,
};
use js_sys::{Array, Float64Array, Object, Reflect};
use serde::{Deserialize, Serialize};
use wasm_bindgen::{JsCast, JsError, JsValue};

/// The columns sent with one view.
#[derive(Default)]
pub struct Columns(Vec<Float64Array>);

impl Columns {
    pub fn push(&mut self, values: &[f64]) -> usize {
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
pub struct WireChart {
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
pub struct WirePlan {
    target_on_left: bool,
    plates: Vec<WireOutline>,
    paths: Vec<WirePath>,
    sentence: String,
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

pub fn send_chart(view: &ChartView, columns: &mut Columns) -> WireChart {
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

pub fn send_plan(view: &PlanView, columns: &mut Columns) -> WirePlan {
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

pub fn with_columns(target: &Object, columns: Columns) -> Result<(), JsValue> {
    let list: Array = columns.0.into_iter().collect();
    Reflect::set(target, &"columns".into(), &list)?;
    Ok(())
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
