//! Draws a chart view on any `plotters` backend: a canvas in the page, SVG in a report.
//!
//! Backends count in whole units. So that a curve is not forced onto whole pixels, a [`Sheet`] says
//! how many units make one pixel; every stroke, font and distance here is multiplied by it.

mod area;
mod chart;
mod glyph;
mod ink;
mod palette;
mod plan;
mod scale;
mod way;

pub use chart::{Frame, Span, draw_chart, draw_chart_between, heights};
pub use palette::{Palette, Rgb};
pub use plan::draw_plan;

/// The surface a picture is drawn on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Width, CSS pixels.
    pub width_px: f64,
    /// Height, CSS pixels.
    pub height_px: f64,
    /// Units of the backend in one CSS pixel.
    pub units_per_px: f64,
}
