//! The comparison's mean curves as SVG, drawn by the same room that draws the page's charts.

use footing_app::comparison::Comparison;
use footing_app::view::chart::ChartView;
use footing_app::view::compared;
use footing_charts::{Palette, Sheet, Span, draw_chart, draw_chart_between, draw_plan, heights};
use plotters::backend::SVGBackend;
use plotters::prelude::DrawingBackend;

/// Pictures of a comparison, each a complete `<svg>` element.
pub struct Pictures {
    /// Mean torque of A and of B, to one scale, areas shaded.
    pub torque: [String; 2],
    /// Mean foot-to-foot CoP angle of both.
    pub angle: String,
    /// Mean ways of the centres of pressure of both.
    pub plan: String,
}

/// Backends count in whole units; so many make a pixel that a curve is smooth on paper.
const UNITS_PER_PX: f64 = 16.0;

const WIDE_PX: f64 = 360.0;
const TALL_PX: f64 = 135.0;

/// Draws them all.
///
/// # Errors
/// One sentence when something could not be drawn.
pub fn draw(comparison: &Comparison) -> Result<Pictures, String> {
    let view = compared::view(comparison);
    let palette = &Palette::PRINT;
    let ends = |x: &[f64]| (x.first().copied().zip(x.last().copied())).unwrap_or((0.0, 1.0));
    let (from_s, to_s) = ends(&view.x_s);
    let span = Span {
        from_s,
        to_s,
        axis: true,
    };
    let [a, b] = &view.torque;
    let one_scale = heights(&[a, b], &view.x_s, span);
    let torque = |chart: &ChartView| {
        svg(TALL_PX, |backend, sheet| {
            draw_chart_between(backend, chart, &view.x_s, span, one_scale, palette, sheet)
        })
    };
    let (from_s, to_s) = ends(&view.nodes);
    let all = Span {
        from_s,
        to_s,
        axis: false,
    };
    Ok(Pictures {
        torque: [torque(a)?, torque(b)?],
        angle: svg(TALL_PX, |backend, sheet| {
            draw_chart(backend, &view.angle, &view.x_s, span, palette, sheet)
        })?,
        plan: svg(TALL_PX, |backend, sheet| {
            draw_plan(
                backend,
                &view.plan,
                &view.nodes,
                all,
                view.top_node,
                palette,
                sheet,
            )
        })?,
    })
}

/// Draws on a fresh SVG; it takes its size from the page around it.
fn svg<T, E: std::fmt::Display>(
    tall_px: f64,
    draw: impl FnOnce(&mut SVGBackend<'_>, Sheet) -> Result<T, E>,
) -> Result<String, String> {
    let sheet = Sheet {
        width_px: WIDE_PX,
        height_px: tall_px,
        units_per_px: UNITS_PER_PX,
    };
    let units = |px: f64| (px * UNITS_PER_PX) as u32;
    let (wide, tall) = (units(sheet.width_px), units(sheet.height_px));
    let mut text = String::new();
    let mut backend = SVGBackend::with_string(&mut text, (wide, tall));
    let sentence =
        |why: &dyn std::fmt::Display| format!("the report's picture cannot be drawn: {why}");
    draw(&mut backend, sheet).map_err(|why| sentence(&why))?;
    backend.present().map_err(|why| sentence(&why))?;
    drop(backend);
    let size = format!("<svg width=\"{wide}\" height=\"{tall}\"");
    Ok(text.replacen(&size, "<svg aria-hidden=\"true\"", 1))
}
