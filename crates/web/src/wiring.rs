//! Wiring a table by hand: what is proposed, what its columns hold, what a rig makes of it.

use footing_app::core::frame::Handed;
use footing_app::formats::{rig, wiring};
use footing_app::view::wiring::tried;
use js_sys::{Array, Float64Array, Reflect};
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::{settings, wire};

#[derive(Serialize)]
struct WireProposal {
    rig: String,
    certain: bool,
    choices: Vec<WireChoice>,
    questions: Vec<WireQuestion>,
    fingerprint: String,
}

#[derive(Serialize)]
struct WireChoice {
    about: String,
    what: String,
    value: String,
    confidence: f64,
    evidence: Vec<String>,
}

#[derive(Serialize)]
struct WireQuestion {
    id: &'static str,
    text: String,
    matters: bool,
}

#[derive(Serialize)]
struct WireChannels {
    written: String,
    rows: usize,
    width: usize,
    fingerprint: String,
    list: Vec<WireColumn>,
}

#[derive(Serialize)]
struct WireColumn {
    reference: String,
    header: String,
    unit: Option<&'static str>,
    span: Option<(f64, f64)>,
    missing: usize,
}

#[derive(Serialize)]
struct WireTried {
    numbers: Vec<(&'static str, String)>,
    plates: Vec<WirePlate>,
    dots: Vec<WireDots>,
    target_on_left: bool,
    sentence: String,
    notes: Vec<(&'static str, String)>,
}

#[derive(Serialize)]
struct WirePlate {
    label: String,
    foot: &'static str,
    outline_m: Option<[(f64, f64); 4]>,
}

#[derive(Serialize)]
struct WireDots {
    foot: &'static str,
    at_m: Vec<(f64, f64)>,
}

/// A rig for a table that came without: `{rig, certain, choices, questions, fingerprint}`.
///
/// Throws `{file, text}` for what is no table, or makes up no plate.
#[wasm_bindgen]
pub fn propose_wiring(name: &str, bytes: &[u8], handed: &str) -> Result<JsValue, JsValue> {
    let handed = [Handed::Right, Handed::Left]
        .into_iter()
        .find(|hand| hand.name() == handed);
    let found = wiring::propose_for(name, bytes, handed).map_err(|p| wire::problem(&p))?;
    wire::object(&WireProposal {
        rig: found.rig.to_json(),
        certain: found.certain,
        choices: found
            .choices
            .into_iter()
            .map(|choice| WireChoice {
                about: choice.about,
                what: choice.what,
                value: choice.value,
                confidence: choice.confidence,
                evidence: choice.evidence,
            })
            .collect(),
        questions: found
            .questions
            .into_iter()
            .map(|question| WireQuestion {
                id: question.id,
                text: question.text,
                matters: question.matters,
            })
            .collect(),
        fingerprint: found.fingerprint,
    })
}

/// A table's columns: `{written, rows, width, fingerprint, list, columns}`, the last a thinned-out
/// `Float64Array` of each.
#[wasm_bindgen]
pub fn table_columns(name: &str, bytes: &[u8]) -> Result<JsValue, JsValue> {
    let found = wiring::channels(name, bytes).map_err(|p| wire::problem(&p))?;
    let columns = Array::new();
    for column in &found.columns {
        columns.push(&Float64Array::from(column.preview.as_slice()));
    }
    let out = wire::object(&WireChannels {
        written: found.written,
        rows: found.rows,
        width: found.width,
        fingerprint: found.fingerprint,
        list: found
            .columns
            .into_iter()
            .map(|column| WireColumn {
                reference: column.reference,
                header: column.header,
                unit: column.unit,
                span: column.span,
                missing: column.missing,
            })
            .collect(),
    })?;
    Reflect::set(&out, &"columns".into(), &columns)?;
    Ok(out)
}

/// What a table comes to with a rig: `{numbers, plates, dots, target_on_left, sentence, notes}`.
///
/// Throws `{file, text}` when the rig has a fault, or does not read the table.
#[wasm_bindgen]
pub fn try_wiring(
    name: &str,
    bytes: &[u8],
    rig_bytes: &[u8],
    settings: JsValue,
) -> Result<JsValue, JsValue> {
    let settings = settings::read(settings)?;
    let view = rig::parse("the wiring", rig_bytes)
        .and_then(|rig| footing_app::analyse(name, bytes, Some(&rig), &settings))
        .map(|analysis| tried(&analysis))
        .map_err(|p| wire::problem(&p))?;
    wire::object(&WireTried {
        numbers: view.numbers,
        plates: view
            .plates
            .into_iter()
            .map(|plate| WirePlate {
                label: plate.label,
                foot: plate.foot,
                outline_m: plate.outline_m,
            })
            .collect(),
        dots: view
            .dots
            .into_iter()
            .map(|dots| WireDots {
                foot: dots.foot,
                at_m: dots.at_m,
            })
            .collect(),
        target_on_left: view.target_on_left,
        sentence: view.sentence,
        notes: view.notes,
    })
}
