//! What the page starts with: reading, measuring, and what is shown of it.

use crate::{settings, shelf, wire};
use footing_app::formats::rig;
use footing_app::view::{bench, definitions, measures, sentence, sets, tray};
use wasm_bindgen::prelude::*;

/// Reads a file, analyses it and keeps both under `id`.
///
/// `swing_s`: from and to of the one swing to analyse, seconds; without it the whole recording.
/// Throws `{file, text}` when it is refused.
#[wasm_bindgen]
pub fn analyse(
    id: u32,
    name: &str,
    bytes: &[u8],
    rig_bytes: Option<Box<[u8]>>,
    swing_s: Option<Vec<f64>>,
    settings: JsValue,
) -> Result<(), JsValue> {
    let settings = settings::read(settings)?;
    let swing_s = swing_s.and_then(|ends| Some((*ends.first()?, *ends.get(1)?)));
    shelf::read(id, name, bytes, rig_bytes.as_deref(), swing_s, &settings)
        .map_err(|p| wire::problem(&p))
}

/// Analyses another swing of the recording `held`; `false` when that is not on the shelf.
#[wasm_bindgen]
pub fn analyse_beside(
    id: u32,
    held: u32,
    name: &str,
    from_s: f64,
    to_s: f64,
    settings: JsValue,
) -> Result<bool, JsValue> {
    let settings = settings::read(settings)?;
    shelf::beside(id, held, name, (from_s, to_s), &settings).map_err(|p| wire::problem(&p))
}

/// The swings of a recording that holds several: `{swings_s: [[from, to]], others: [text]}`.
#[wasm_bindgen]
pub fn swings_in(id: u32, name: &str, settings: JsValue) -> Result<JsValue, JsValue> {
    let settings = settings::read(settings)?;
    let several = shelf::several(id, name, &settings).map_err(|p| wire::problem(&p))?;
    wire::several(&several.swings_s, &several.others)
}

/// What recordings of one player say about each other: `[{id, code, level, text}]`.
#[wasm_bindgen]
pub fn between(ids: &[u32]) -> Result<JsValue, JsValue> {
    shelf::with_all(|all| {
        let known: Vec<u32> = ids
            .iter()
            .copied()
            .filter(|id| all.get(*id).is_some())
            .collect();
        let notes = footing_app::comparison::between_recordings(&all.of(&known));
        wire::between(notes.iter().map(|(index, note)| (known[*index], note)))
    })
}

/// Analyses a recording again with other settings or events.
///
/// Throws `{file, text}` when that cannot be done; the recording then stays as it was.
#[wasm_bindgen]
pub fn analyse_again(id: u32, name: &str, settings: JsValue) -> Result<(), JsValue> {
    let settings = settings::read(settings)?;
    shelf::again(id, name, &settings).map_err(|p| wire::problem(&p))
}

/// Forgets a recording.
#[wasm_bindgen]
pub fn forget(id: u32) {
    shelf::forget(id);
}

/// Sentence, Tray lines and Bench of one recording: `{sentence, tray, bench, columns}`.
#[wasm_bindgen]
pub fn show_recording(id: u32) -> Result<JsValue, JsValue> {
    shelf::with(id, |analysis| {
        wire::recording(
            &sentence::of_recording(analysis),
            &tray::of_recording(analysis),
            &bench::of_recording(analysis),
        )
    })
    .ok_or_else(|| gone(id))?
}

/// Bench of two sets: `{bench, columns}`, or `null` when no swing of them has a top.
#[wasm_bindgen]
pub fn show_sets(a: &[u32], b: &[u32], selected: Option<u32>) -> Result<JsValue, JsValue> {
    shelf::with_all(|all| {
        let one = selected.and_then(|id| all.get(id));
        match sets::bench(&all.of(a), &all.of(b), one) {
            Some(bench) => wire::sets(&bench),
            None => Ok(JsValue::NULL),
        }
    })
}

/// Rows of the table of measures.
#[wasm_bindgen]
pub fn show_measures(selected: u32, a: &[u32], b: &[u32]) -> Result<JsValue, JsValue> {
    shelf::with_all(|all| {
        let one = all.get(selected).ok_or_else(|| gone(selected))?;
        wire::rows(&measures::table(one, &all.of(a), &all.of(b)))
    })
}

/// What every measure means: `[{id, meaning, formula, source}]`.
#[wasm_bindgen]
pub fn explain_measures() -> Result<JsValue, JsValue> {
    wire::definitions(definitions::DEFINITIONS)
}

/// Whether this is a rig file; throws `{file, text}` when it is one with a fault.
#[wasm_bindgen]
pub fn is_rig(name: &str, bytes: &[u8]) -> Result<bool, JsValue> {
    if !rig::looks_like(name, bytes) {
        return Ok(false);
    }
    rig::parse(name, bytes)
        .map(|_| true)
        .map_err(|p| wire::problem(&p))
}

fn gone(id: u32) -> JsValue {
    JsError::new(&format!("recording {id} is not on the shelf")).into()
}
