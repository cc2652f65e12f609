//! A `plotters` backend over an HTML canvas.
//!
//! `plotters-canvas` draws; three of its habits are cured here. It measures text with a styled
//! element of the document, which the page's content policy refuses: `measureText` is asked
//! instead. It works in whole backing pixels: here a CSS pixel has [`UNITS_PER_PX`] units, so that
//! curves are not forced onto whole pixels. And it ignores `devicePixelRatio`: the backing store is
//! sized, and the context scaled, before it draws.

use footing_charts::Sheet;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};
use plotters_canvas::CanvasBackend;
use wasm_bindgen::{JsCast, JsError, JsValue};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// Units of this backend in one CSS pixel.
pub const UNITS_PER_PX: f64 = 8.0;

type Drawn = Result<(), DrawingErrorKind<<CanvasBackend as DrawingBackend>::ErrorType>>;

/// The canvas, ready to be drawn on.
pub struct Canvas {
    inner: CanvasBackend,
    context: CanvasRenderingContext2d,
    size: (u32, u32),
}

impl Canvas {
    /// Sizes the backing store for this sheet and device ratio and scales the context to units.
    pub fn prepare(canvas: HtmlCanvasElement, sheet: Sheet, ratio: f64) -> Result<Self, JsValue> {
        let backing = |px: f64| (px * ratio).round().max(1.0) as u32;
        canvas.set_width(backing(sheet.width_px));
        canvas.set_height(backing(sheet.height_px));
        let context: CanvasRenderingContext2d = canvas
            .get_context("2d")?
            .ok_or_else(|| JsError::new("this browser draws no canvas"))?
            .dyn_into()?;
        let scale = ratio / UNITS_PER_PX;
        context.set_transform(scale, 0.0, 0.0, scale, 0.0, 0.0)?;
        context.set_line_join("round");
        context.set_line_cap("butt");
        let units = |px: f64| (px * UNITS_PER_PX).round().max(1.0) as u32;
        Ok(Self {
            inner: CanvasBackend::with_canvas_object(canvas)
                .ok_or_else(|| JsError::new("this browser draws no canvas"))?,
            context,
            size: (units(sheet.width_px), units(sheet.height_px)),
        })
    }
}

impl DrawingBackend for Canvas {
    type ErrorType = <CanvasBackend as DrawingBackend>::ErrorType;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        self.inner.ensure_prepared()
    }

    fn present(&mut self) -> Drawn {
        self.inner.present()
    }

    fn draw_pixel(&mut self, point: BackendCoord, color: BackendColor) -> Drawn {
        self.inner.draw_pixel(point, color)
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        self.inner.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        self.inner.draw_rect(upper_left, bottom_right, style, fill)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.inner.draw_path(path, style)
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        center: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        self.inner.draw_circle(center, radius, style, fill)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.inner.fill_polygon(path, style)
    }

    fn draw_text<S: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &S,
        pos: BackendCoord,
    ) -> Drawn {
        self.inner.draw_text(text, style, pos)
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Self::ErrorType>> {
        self.context.set_font(&format!(
            "{} {}px {}",
            style.style().as_str(),
            style.size(),
            style.family().as_str()
        ));
        // Where measuring fails, six tenths of the size is the usual width of a letter.
        let width = self
            .context
            .measure_text(text)
            .map_or(0.6 * style.size() * text.chars().count() as f64, |m| {
                m.width()
            });
        Ok((width.ceil() as u32, style.size().ceil() as u32))
    }
}
