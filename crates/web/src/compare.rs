//! Two sets compared, sent as a link, and read out of one; files to keep.
//!
//! The page shows a comparison as the receiver of its link will read it: it goes through the link
//! and back before anything is shown, for as measured a last digit may print otherwise
//! ([`share::send`]). Files that are saved hold the numbers as measured.

use std::cell::RefCell;

use footing_app::Settings;
use footing_app::comparison::{Align, Choice, Comparison, Design};
use footing_app::document;
use footing_app::findings::sentences;
use footing_app::share::{self, Words};
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::*;

use crate::wire::compared::WHO;
use crate::{settings, shelf, wire};

thread_local! {
    /// The newest comparison, so that typing a cue does not compare again.
    static NEWEST: RefCell<Option<Comparison>> = const { RefCell::new(None) };
}

/// What the page lets a person choose.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WireChoice {
    labels: [String; 2],
    paired: bool,
    linear: bool,
    set_aside: [usize; 2],
    overruled: [usize; 2],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WireWords {
    title: String,
    cue: String,
}

#[derive(Serialize)]
struct WireLink {
    fragment: String,
    url: String,
    characters: usize,
    qr_url: String,
    /// The code as SVG; `None` when the link is too long for any.
    qr: Option<String>,
    qr_modules: Option<usize>,
    holds: Vec<(&'static str, String)>,
}

#[derive(Serialize)]
struct WireSentence {
    text: String,
}

#[derive(Serialize)]
struct WireReceived {
    title: Option<String>,
    cue: Option<String>,
    holds: Vec<(&'static str, String)>,
}

/// A refusal as the page shows it: `{text}`.
fn sentence(why: &str) -> JsValue {
    let text = why.to_owned();
    wire::object(&WireSentence { text }).unwrap_or_else(|_| JsValue::from_str(why))
}

/// Compares two sets and keeps the comparison for [`pack_link`]: `{said, compared, columns}`, as
/// the receiver of its link will read it. Throws `{text}` when they cannot be
/// compared.
#[wasm_bindgen]
pub fn compare_sets(a: &[u32], b: &[u32], choice: JsValue) -> Result<JsValue, JsValue> {
    let choice: WireChoice = serde_wasm_bindgen::from_value(choice)?;
    let choice = Choice {
        labels: choice.labels,
        design: if choice.paired {
            Design::Paired
        } else {
            Design::Separate
        },
        align: if choice.linear {
            Align::Linear
        } else {
            Align::Piecewise
        },
        set_aside: choice.set_aside,
        overruled: choice.overruled,
    };
    NEWEST.set(None);
    let full = shelf::with_all(|all| footing_app::compare(&all.of(a), &all.of(b), &choice))
        .map_err(|why| sentence(&why))?;
    // What cannot be sent is shown all the same: Send then says why.
    let sent = share::send(&full, &Words::default());
    let shown = sent.as_ref().map_or(&full, |sent| &sent.comparison);
    let out = wire::compared::comparison(shown);
    NEWEST.set(Some(full));
    out
}

fn typed(words: JsValue) -> Result<Words, JsValue> {
    let words: WireWords = serde_wasm_bindgen::from_value(words)?;
    let typed = |text: String| Some(text).filter(|t| !t.trim().is_empty());
    Ok(Words {
        title: typed(words.title),
        cue: typed(words.cue),
    })
}

/// The newest comparison as the text of a file, its numbers unrounded: `footing-comparison/1`, or
/// with `table` one row a measure.
#[wasm_bindgen]
pub fn save_comparison(
    table: bool,
    words: JsValue,
    link: Option<String>,
) -> Result<String, JsValue> {
    let words = typed(words)?;
    NEWEST.with_borrow(|newest| {
        let full = newest
            .as_ref()
            .ok_or_else(|| sentence("there is no comparison to save"))?;
        let mut out = Vec::new();
        let written = if table {
            document::rows(&mut out, full).map_err(|error| error.to_string())
        } else {
            // The sentences are those on the page, which shows what the link holds.
            let sent = share::send(full, &words).map_err(|why| sentence(&why))?;
            let told = document::Told {
                comparison: full,
                words: &words,
                sentences: &sentences(&sent.comparison, WHO).map(|said| format!("{said}.")),
                link: link.as_deref(),
            };
            document::json(&mut out, told, false).map_err(|error| error.to_string())
        };
        text_of(out, written)
    })
}

/// Recordings as the text of a file: with `what` "csv" one row of measures a recording, with "curves" one row a
/// sample, else `footing-measures/1`. The same documents as those of the command.
#[wasm_bindgen]
pub fn save_recordings(ids: &[u32], what: &str, settings: JsValue) -> Result<String, JsValue> {
    let settings = settings::read(settings)?;
    let mut out = Vec::new();
    let written = shelf::with_all(|all| {
        let measured: Vec<document::Measured<'_>> = ids
            .iter()
            .filter_map(|id| {
                let analysis = all.get(*id)?;
                Some(document::Measured {
                    path: &analysis.file,
                    swing_s: all.swing_s(*id),
                    analysis,
                })
            })
            .collect();
        let rows = match what {
            "csv" => document::measure_rows(&mut out, &measured),
            "curves" => document::sample_rows(&mut out, &measured),
            _ => {
                let Settings {
                    about, low_pass, ..
                } = settings;
                return document::measures(&mut out, about, low_pass, &measured, false)
                    .map_err(|error| error.to_string());
            }
        };
        rows.map_err(|error| error.to_string())
    });
    text_of(out, written)
}

/// What was written, or why it was not.
fn text_of(out: Vec<u8>, written: Result<(), String>) -> Result<String, JsValue> {
    written.map_err(|why| sentence(&why))?;
    String::from_utf8(out).map_err(|error| sentence(&error.to_string()))
}

/// The newest comparison as a link: `{fragment, url, characters, qr_url, qr, qr_modules, holds}`.
#[wasm_bindgen]
pub fn pack_link(words: JsValue, base: &str) -> Result<JsValue, JsValue> {
    let words = typed(words)?;
    NEWEST.with_borrow(|newest| {
        let full = newest
            .as_ref()
            .ok_or_else(|| sentence("there is no comparison to send"))?;
        let link = share::send(full, &words)
            .map_err(|why| sentence(&why))?
            .link;
        let qr = link.qr(base);
        let (fragment, url) = (link.fragment(), link.url(base));
        let wire = WireLink {
            characters: url.chars().count(),
            holds: share::holds(&fragment).map_err(|why| sentence(&why))?,
            qr_url: link.qr_url(base),
            qr_modules: qr.as_ref().map(|qr| qr.size),
            qr: qr.map(|qr| qr.svg("QR code of the link")),
            fragment,
            url,
        };
        wire::object(&wire)
    })
}

/// Reads a link: `{said, compared, columns, words: {title, cue, holds}}`. Throws `{text}` when
/// it cannot be opened.
#[wasm_bindgen]
pub fn open_link(text: &str) -> Result<JsValue, JsValue> {
    let (comparison, words) = share::read_link(text).map_err(|why| sentence(&why))?;
    let out = wire::compared::comparison(&comparison)?;
    let words = WireReceived {
        title: words.title,
        cue: words.cue,
        holds: share::holds(text).map_err(|why| sentence(&why))?,
    };
    js_sys::Reflect::set(&out, &"words".into(), &wire::object(&words)?)?;
    Ok(out)
}
