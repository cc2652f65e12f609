//! Drawing on the main thread.

use footing_app::share::{CUE_CHARS, LABEL_CHARS, TITLE_CHARS};
use footing_charts::{Palette, Sheet, Span, draw_chart_between, heights};
use js_sys::Array;
use serde::Serialize;
use wasm_bindgen::prelude::*;
use web_sys::HtmlCanvasElement;

use crate::wire::drawn;
use crate::{canvas, wire};

#[derive(Serialize)]
struct WireLimits {
    label: usize,
    title: usize,
    cue: usize,
}

/// Draws one chart and says where its plot lies: `[left, right, top, bottom]`, CSS pixels.
///
/// `chart` and `columns` are as [`show_recording`] gave them, `x_column` is the time axis.
#[wasm_bindgen]
#[expect(
    clippy::too_many_arguments,
    reason = "JavaScript has no cheaper struct across the border"
)]
pub fn draw_chart(
    canvas: HtmlCanvasElement,
    chart: JsValue,
    columns: &Array,
    x_column: u32,
    from_s: f64,
    to_s: f64,
    axis: bool,
    theme: &str,
    width_px: f64,
    height_px: f64,
    ratio: f64,
) -> Result<Vec<f64>, JsValue> {
    let view = drawn::chart(chart, columns)?;
    let x_s = drawn::axis(columns, x_column);
    let span = Span { from_s, to_s, axis };
    let sheet = sheet(width_px, height_px);
    let mut canvas = canvas::Canvas::prepare(canvas, sheet, ratio)?;
    let frame = footing_charts::draw_chart(&mut canvas, &view, &x_s, span, &palette(theme)?, sheet)
        .map_err(|e| JsError::new(&e.to_string()))?;
    Ok(vec![
        frame.left_px,
        frame.right_px,
        frame.top_px,
        frame.bottom_px,
    ])
}

/// Draws the feet from above, with their markers at sample `now`.
#[wasm_bindgen]
#[expect(
    clippy::too_many_arguments,
    reason = "JavaScript has no cheaper struct across the border"
)]
pub fn draw_plan(
    canvas: HtmlCanvasElement,
    plan: JsValue,
    columns: &Array,
    x_column: u32,
    from_s: f64,
    to_s: f64,
    now: Option<u32>,
    theme: &str,
    width_px: f64,
    height_px: f64,
    ratio: f64,
) -> Result<(), JsValue> {
    let view = drawn::plan(plan, columns)?;
    let x_s = drawn::axis(columns, x_column);
    let span = Span {
        from_s,
        to_s,
        axis: false,
    };
    let sheet = sheet(width_px, height_px);
    let mut canvas = canvas::Canvas::prepare(canvas, sheet, ratio)?;
    let now = now.map(|i| i as usize);
    footing_charts::draw_plan(&mut canvas, &view, &x_s, span, now, &palette(theme)?, sheet)
        .map_err(|e| JsError::new(&e.to_string()).into())
}

fn sheet(width_px: f64, height_px: f64) -> Sheet {
    Sheet {
        width_px,
        height_px,
        units_per_px: canvas::UNITS_PER_PX,
    }
}

fn palette(theme: &str) -> Result<Palette, JsError> {
    Palette::named(theme).ok_or_else(|| JsError::new(&format!("no theme is named {theme}")))
}

/// Draws a chart to the scale that it and another need together; otherwise as
/// [`draw_chart`].
#[wasm_bindgen]
#[expect(
    clippy::too_many_arguments,
    reason = "JavaScript has no cheaper struct across the border"
)]
pub fn draw_chart_beside(
    canvas: HtmlCanvasElement,
    chart: JsValue,
    other: JsValue,
    columns: &Array,
    x_column: u32,
    from_s: f64,
    to_s: f64,
    theme: &str,
    width_px: f64,
    height_px: f64,
    ratio: f64,
) -> Result<Vec<f64>, JsValue> {
    let (view, other) = (drawn::chart(chart, columns)?, drawn::chart(other, columns)?);
    let x_s = drawn::axis(columns, x_column);
    let span = Span {
        from_s,
        to_s,
        axis: true,
    };
    let between = heights(&[&view, &other], &x_s, span);
    let sheet = sheet(width_px, height_px);
    let mut canvas = canvas::Canvas::prepare(canvas, sheet, ratio)?;
    let palette = palette(theme)?;
    let frame = draw_chart_between(&mut canvas, &view, &x_s, span, between, &palette, sheet)
        .map_err(|e| JsError::new(&e.to_string()))?;
    Ok(vec![
        frame.left_px,
        frame.right_px,
        frame.top_px,
        frame.bottom_px,
    ])
}

/// Most characters of the texts a person types: `{label, title, cue}`.
#[wasm_bindgen]
pub fn text_limits() -> Result<JsValue, JsValue> {
    wire::object(&WireLimits {
        label: LABEL_CHARS,
        title: TITLE_CHARS,
        cue: CUE_CHARS,
    })
}
