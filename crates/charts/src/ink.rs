//! A pen that thinks in pixels and draws in the backend's whole units.

use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontFamily, FontStyle, IntoFont, RGBAColor, ShapeStyle, TextStyle};
use plotters_backend::{BackendColor, DrawingBackend, DrawingErrorKind};

use crate::Sheet;

/// A place on the sheet, CSS pixels from the upper left.
pub type Place = (f64, f64);

/// Whether drawing worked.
pub type Drawn<DB> = Result<(), DrawingErrorKind<<DB as DrawingBackend>::ErrorType>>;

/// The family every chart is written in: the system's own sans.
const FAMILY: &str =
    "system-ui, -apple-system, 'Segoe UI', 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// A backend with the sheet it covers.
pub struct Pen<'a, DB: DrawingBackend> {
    backend: &'a mut DB,
    sheet: Sheet,
}

impl<'a, DB: DrawingBackend> Pen<'a, DB> {
    pub fn new(backend: &'a mut DB, sheet: Sheet) -> Self {
        Self { backend, sheet }
    }

    pub fn sheet(&self) -> Sheet {
        self.sheet
    }

    fn units(&self, px: f64) -> i32 {
        (px * self.sheet.units_per_px).round() as i32
    }

    fn at(&self, place: Place) -> (i32, i32) {
        (self.units(place.0), self.units(place.1))
    }

    fn style(&self, color: BackendColor, width_px: f64, filled: bool) -> ShapeStyle {
        let (r, g, b) = color.rgb;
        ShapeStyle {
            color: RGBAColor(r, g, b, color.alpha),
            filled,
            stroke_width: self.units(width_px).max(1) as u32,
        }
    }

    /// A filled rectangle between two corners.
    pub fn fill(&mut self, from: Place, to: Place, color: BackendColor) -> Drawn<DB> {
        let (from, to) = (self.at(from), self.at(to));
        let style = self.style(color, 0.0, true);
        self.backend.draw_rect(from, to, &style, true)
    }

    /// A hairline, level or upright, laid on whole pixels.
    pub fn hairline(&mut self, from: Place, to: Place, color: BackendColor) -> Drawn<DB> {
        let (x, y) = (from.0.min(to.0).floor(), from.1.min(to.1).floor());
        let wide = (to.0 - from.0).abs().max(1.0);
        let high = (to.1 - from.1).abs().max(1.0);
        self.fill((x, y), (x + wide, y + high), color)
    }

    /// A line through all points.
    pub fn path(&mut self, points: &[Place], color: BackendColor, width_px: f64) -> Drawn<DB> {
        if points.len() < 2 {
            return Ok(());
        }
        let style = self.style(color, width_px, false);
        let points: Vec<_> = points.iter().map(|p| self.at(*p)).collect();
        self.backend.draw_path(points, &style)
    }

    /// A dashed line through all points: so many pixels drawn, so many left out.
    pub fn dashes(
        &mut self,
        points: &[Place],
        (on_px, off_px): (f64, f64),
        color: BackendColor,
        width_px: f64,
    ) -> Drawn<DB> {
        for dash in dashes_of(points, on_px, off_px) {
            self.path(&dash, color, width_px)?;
        }
        Ok(())
    }

    /// A filled outline.
    pub fn polygon(&mut self, points: &[Place], color: BackendColor) -> Drawn<DB> {
        if points.len() < 3 {
            return Ok(());
        }
        let style = self.style(color, 0.0, true);
        let points: Vec<_> = points.iter().map(|p| self.at(*p)).collect();
        self.backend.fill_polygon(points, &style)
    }

    /// A filled circle.
    pub fn disc(&mut self, centre: Place, radius_px: f64, color: BackendColor) -> Drawn<DB> {
        let style = self.style(color, 0.0, true);
        let (centre, radius) = (self.at(centre), self.units(radius_px) as u32);
        self.backend.draw_circle(centre, radius, &style, true)
    }

    fn font(&self, size_px: f64, color: BackendColor, anchor: (HPos, VPos)) -> TextStyle<'static> {
        let (r, g, b) = color.rgb;
        let size = size_px * self.sheet.units_per_px;
        let mut style =
            TextStyle::from((FontFamily::Name(FAMILY), size, FontStyle::Normal).into_font());
        style.color = BackendColor {
            alpha: color.alpha,
            rgb: (r, g, b),
        };
        style.pos = Pos::new(anchor.0, anchor.1);
        style
    }

    /// Text with its anchor at a place.
    pub fn text(
        &mut self,
        text: &str,
        place: Place,
        size_px: f64,
        color: BackendColor,
        anchor: (HPos, VPos),
    ) -> Drawn<DB> {
        let style = self.font(size_px, color, anchor);
        let place = self.at(place);
        self.backend.draw_text(text, &style, place)
    }

    /// Width of a text, CSS pixels.
    pub fn text_width(
        &self,
        text: &str,
        size_px: f64,
    ) -> Result<f64, DrawingErrorKind<DB::ErrorType>> {
        let style = self.font(
            size_px,
            BackendColor {
                alpha: 1.0,
                rgb: (0, 0, 0),
            },
            (HPos::Left, VPos::Top),
        );
        let (width, _) = self.backend.estimate_text_size(text, &style)?;
        Ok(f64::from(width) / self.sheet.units_per_px)
    }
}

/// Cuts a line into dashes, measured along it.
pub fn dashes_of(points: &[Place], on_px: f64, off_px: f64) -> Vec<Vec<Place>> {
    let mut dashes = Vec::new();
    let Some(first) = points.first() else {
        return dashes;
    };
    let mut drawing = true;
    let mut left = on_px;
    let mut dash = vec![*first];
    for pair in points.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        let mut length = (to.0 - from.0).hypot(to.1 - from.1);
        while length > left {
            let part = left / length;
            from = (
                from.0 + (to.0 - from.0) * part,
                from.1 + (to.1 - from.1) * part,
            );
            length -= left;
            if drawing {
                dash.push(from);
                dashes.push(std::mem::take(&mut dash));
            } else {
                dash = vec![from];
            }
            drawing = !drawing;
            left = if drawing { on_px } else { off_px };
        }
        left -= length;
        if drawing {
            dash.push(to);
        }
    }
    if drawing && dash.len() > 1 {
        dashes.push(dash);
    }
    dashes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_are_measured_along_the_line() {
        // 30 px with a corner in the middle: dashes at 0–6, 10–16 (round the corner), 20–26.
        let corner = [(0.0, 0.0), (15.0, 0.0), (15.0, 15.0)];
        let dashes = dashes_of(&corner, 6.0, 4.0);
        assert_eq!(dashes.len(), 3);
        assert_eq!(dashes[0], [(0.0, 0.0), (6.0, 0.0)]);
        assert_eq!(dashes[1].len(), 3);
        assert!((dashes[2][0].1 - 5.0).abs() < 1e-9);
    }
}
