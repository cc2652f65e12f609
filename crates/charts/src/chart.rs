//! One chart over time.

use footing_app::view::chart::{ChartView, Foot, Line, Set};
use footing_app::view::number;
use plotters::style::text_anchor::{HPos, VPos};
use plotters_backend::{BackendColor, DrawingBackend, DrawingErrorKind};

use crate::glyph::{color, marker, of_set};
use crate::ink::{Drawn, Pen, Place};
use crate::palette::{Palette, see_through, solid};
use crate::scale::{Scale, runs, ticks, two_ticks};
use crate::{Sheet, area};

/// The part of the time axis to draw, and whether the axis is written under this chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// First instant, seconds.
    pub from_s: f64,
    /// Last instant, seconds.
    pub to_s: f64,
    /// Write the time axis.
    pub axis: bool,
}

/// Where the plot lies on its sheet, CSS pixels; what lays a cursor over it needs this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Where the span begins.
    pub left_px: f64,
    /// Where it ends.
    pub right_px: f64,
    /// Upper edge.
    pub top_px: f64,
    /// Lower edge.
    pub bottom_px: f64,
    /// Value at the lower edge.
    pub low: f64,
    /// Value at the upper edge.
    pub high: f64,
}

const NARROW_PX: f64 = 520.0;

/// Draws a chart and says where its plot lies.
///
/// # Errors
/// Whatever the backend could not draw.
pub fn draw_chart<DB: DrawingBackend>(
    backend: &mut DB,
    view: &ChartView,
    x_s: &[f64],
    span: Span,
    palette: &Palette,
    sheet: Sheet,
) -> Result<Frame, DrawingErrorKind<DB::ErrorType>> {
    let between = heights(&[view], x_s, span);
    draw_chart_between(backend, view, x_s, span, between, palette, sheet)
}

/// The same with the values at the lower and upper edge given, so that several charts can be
/// drawn to one scale: see [`heights`].
///
/// # Errors
/// Whatever the backend could not draw.
pub fn draw_chart_between<DB: DrawingBackend>(
    backend: &mut DB,
    view: &ChartView,
    x_s: &[f64],
    span: Span,
    (low, high): (f64, f64),
    palette: &Palette,
    sheet: Sheet,
) -> Result<Frame, DrawingErrorKind<DB::ErrorType>> {
    let mut pen = Pen::new(backend, sheet);
    let narrow = sheet.width_px < NARROW_PX;
    let overlaid = view.lines.iter().any(|line| line.set.is_some());
    // All charts over one time axis need the same room at the end of their lines.
    let room = match (narrow, overlaid) {
        (true, true) => 68.0,
        (true, false) => 54.0,
        (false, _) => 92.0,
    };
    let frame = Frame {
        left_px: if narrow { 40.0 } else { 52.0 },
        right_px: sheet.width_px - room,
        top_px: 8.0,
        bottom_px: sheet.height_px - if span.axis { 24.0 } else { 8.0 },
        low,
        high,
    };
    let time = Scale {
        from: span.from_s,
        to: span.to_s,
        from_px: frame.left_px,
        to_px: frame.right_px,
    };
    let value = Scale {
        from: low,
        to: high,
        from_px: frame.bottom_px,
        to_px: frame.top_px,
    };
    let plot = Plot {
        palette,
        frame,
        time,
        value,
        font_px: if narrow { 11.0 } else { 12.0 },
    };
    pen.fill(
        (0.0, 0.0),
        (sheet.width_px, sheet.height_px),
        solid(palette.paper),
    )?;
    if let Some(reason) = &view.absent {
        plot.excuse(&mut pen, reason)?;
        if span.axis {
            plot.time_axis(&mut pen)?;
        }
        return Ok(frame);
    }
    plot.value_axis(&mut pen)?;
    let curves: Vec<Vec<Vec<Place>>> = view
        .lines
        .iter()
        .map(|line| plot.curve(x_s, &line.y, span))
        .collect();
    if view.shaded {
        for run in curves.first().into_iter().flatten() {
            area::shade(&mut pen, run, value.px(0.0), palette)?;
        }
    }
    for line in &view.lines {
        plot.band(&mut pen, x_s, line, span)?;
    }
    plot.zero(&mut pen)?;
    plot.rules(&mut pen, view)?;
    for (line, runs) in view.lines.iter().zip(&curves) {
        for run in runs {
            plot.stroke(&mut pen, line, overlaid, run)?;
        }
    }
    if [Set::A, Set::B].map(|set| view.lines.iter().any(|line| line.set == Some(set))) == [true; 2]
    {
        plot.set_marks(&mut pen, view, &curves)?;
    }
    plot.directions(&mut pen, view)?;
    plot.end_labels(&mut pen, view, &curves)?;
    if span.axis {
        plot.time_axis(&mut pen)?;
    }
    Ok(frame)
}

/// Lowest and highest value to show in charts of one scale: everything in the span, zero, and
/// the rules, with some air.
pub fn heights(views: &[&ChartView], x_s: &[f64], span: Span) -> (f64, f64) {
    let (mut low, mut high) = (0.0f64, 0.0f64);
    let mut take = |value: f64| {
        low = low.min(value);
        high = high.max(value);
    };
    for line in views.iter().flat_map(|view| &view.lines) {
        for (i, x) in x_s.iter().enumerate() {
            if !(span.from_s..=span.to_s).contains(x) {
                continue;
            }
            let Some(y) = line.y.get(i).copied().flatten() else {
                continue;
            };
            let spread = line
                .spread
                .as_ref()
                .and_then(|s| s.get(i).copied().flatten())
                .unwrap_or(0.0);
            take(y - spread);
            take(y + spread);
        }
    }
    for rule in views.iter().flat_map(|view| &view.rules) {
        take(rule.y);
    }
    if high - low < 1e-9 {
        high = low + 1.0;
    }
    let air = 0.08 * (high - low);
    (if low < 0.0 { low - air } else { low }, high + air)
}

struct Plot<'a> {
    palette: &'a Palette,
    frame: Frame,
    time: Scale,
    value: Scale,
    font_px: f64,
}

impl Plot<'_> {
    fn curve(&self, x_s: &[f64], y: &[Option<f64>], span: Span) -> Vec<Vec<Place>> {
        runs(x_s, y, span.from_s, span.to_s, |x| self.time.px(x))
            .into_iter()
            .map(|run| {
                run.into_iter()
                    .map(|(x, y)| (self.time.px(x), self.value.px(y)))
                    .collect()
            })
            .collect()
    }

    fn excuse<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>, reason: &str) -> Drawn<DB> {
        let middle = 0.5 * (self.frame.top_px + self.frame.bottom_px);
        let wide = self.frame.right_px - self.frame.left_px;
        let lines = wrapped(pen, reason, self.font_px, wide)?;
        let step = 1.4 * self.font_px;
        let first = middle - 0.5 * step * (lines.len() - 1) as f64;
        for (i, line) in lines.iter().enumerate() {
            let place = (self.frame.left_px, first + step * i as f64);
            pen.text(
                line,
                place,
                self.font_px,
                solid(self.palette.soft),
                (HPos::Left, VPos::Center),
            )?;
        }
        Ok(())
    }

    fn value_axis<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>) -> Drawn<DB> {
        let tall = self.frame.bottom_px - self.frame.top_px;
        let (values, decimals) = two_ticks(self.frame.low, self.frame.high, (tall / 34.0) as usize);
        for value in values {
            let y = self.value.px(value);
            pen.hairline(
                (self.frame.left_px, y),
                (self.frame.right_px, y),
                solid(self.palette.hair),
            )?;
            pen.text(
                &number::fixed(value, decimals),
                (self.frame.left_px - 7.0, y),
                self.font_px,
                solid(self.palette.soft),
                (HPos::Right, VPos::Center),
            )?;
        }
        Ok(())
    }

    fn time_axis<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>) -> Drawn<DB> {
        let wide = self.frame.right_px - self.frame.left_px;
        let (values, decimals) = ticks(self.time.from, self.time.to, (wide / 70.0) as usize);
        let y = self.frame.bottom_px;
        pen.hairline(
            (self.frame.left_px, y),
            (self.frame.right_px, y),
            solid(self.palette.soft),
        )?;
        for value in values {
            let x = self.time.px(value);
            pen.hairline((x, y), (x, y + 4.0), solid(self.palette.soft))?;
            pen.text(
                &number::fixed(value, decimals),
                (x, y + 8.0),
                self.font_px,
                solid(self.palette.soft),
                (HPos::Center, VPos::Top),
            )?;
        }
        pen.text(
            "s",
            (self.frame.right_px + 10.0, y + 8.0),
            self.font_px,
            solid(self.palette.soft),
            (HPos::Left, VPos::Top),
        )
    }

    fn zero<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>) -> Drawn<DB> {
        let y = self.value.px(0.0);
        pen.hairline(
            (self.frame.left_px, y),
            (self.frame.right_px, y),
            solid(self.palette.soft),
        )
    }

    fn rules<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>, view: &ChartView) -> Drawn<DB> {
        for rule in &view.rules {
            let y = self.value.px(rule.y);
            let mut x = self.frame.left_px;
            while x < self.frame.right_px {
                pen.hairline(
                    (x, y),
                    ((x + 2.0).min(self.frame.right_px), y),
                    solid(self.palette.soft),
                )?;
                x += 5.0;
            }
        }
        Ok(())
    }

    /// Mean ± SD: a tint between two thin edges.
    fn band<DB: DrawingBackend>(
        &self,
        pen: &mut Pen<'_, DB>,
        x_s: &[f64],
        line: &Line,
        span: Span,
    ) -> Drawn<DB> {
        let Some(spread) = &line.spread else {
            return Ok(());
        };
        let edge = |sign: f64| -> Vec<Option<f64>> {
            line.y
                .iter()
                .zip(spread)
                .map(|(y, s)| Some((*y)? + sign * (*s)?))
                .collect()
        };
        let upper = self.curve(x_s, &edge(1.0), span);
        let lower = self.curve(x_s, &edge(-1.0), span);
        let ground = color(self.palette, line.foot, line.set).rgb;
        for (above, below) in upper.iter().zip(&lower) {
            let mut area = above.clone();
            area.extend(below.iter().rev());
            pen.polygon(
                &area,
                see_through(ground, if line.set == Some(Set::A) { 0.28 } else { 0.16 }),
            )?;
            for side in [above, below] {
                pen.path(side, see_through(ground, 0.7), 0.75)?;
            }
        }
        Ok(())
    }

    fn stroke<DB: DrawingBackend>(
        &self,
        pen: &mut Pen<'_, DB>,
        line: &Line,
        overlaid: bool,
        run: &[Place],
    ) -> Drawn<DB> {
        let color = color(self.palette, line.foot, line.set);
        // One recording over the means of sets: finer than they are.
        let single = overlaid && line.set.is_none();
        let width_px = match (single, line.set) {
            (true, _) => 1.0,
            (false, Some(Set::B)) => 2.25,
            (false, _) => 1.75,
        };
        match line.foot {
            Some(Foot::Trail) => pen.dashes(run, (6.0, 4.0), color, width_px),
            None if single => pen.dashes(run, (2.0, 2.0), color, 1.25),
            _ => pen.path(run, color, width_px),
        }
    }

    /// Rings along the lines of A and squares along those of B, at other places each.
    fn set_marks<DB: DrawingBackend>(
        &self,
        pen: &mut Pen<'_, DB>,
        view: &ChartView,
        curves: &[Vec<Vec<Place>>],
    ) -> Drawn<DB> {
        const APART_PX: f64 = 84.0;
        let ground = solid(self.palette.paper);
        for (i, (line, runs)) in view.lines.iter().zip(curves).enumerate() {
            let Some(set) = line.set else { continue };
            let mut next = self.frame.left_px + APART_PX * (0.35 + 0.23 * (i % 4) as f64);
            for (x, y) in runs.iter().flatten().copied() {
                if x >= next {
                    let color = color(self.palette, line.foot, line.set);
                    of_set(pen, set, (x, y), color, ground)?;
                    next = x + APART_PX;
                }
            }
        }
        Ok(())
    }

    /// What up and down mean, on ground of their own so that no line runs through the words.
    fn directions<DB: DrawingBackend>(&self, pen: &mut Pen<'_, DB>, view: &ChartView) -> Drawn<DB> {
        let x = self.frame.left_px + 6.0;
        let size = self.font_px - 1.0;
        let (top, bottom) = (self.frame.top_px, self.frame.bottom_px);
        let below = self.frame.low < 0.0;
        for (arrow, word, upper, shown) in [
            ("↑", &view.up, top, true),
            ("↓", &view.down, bottom - size - 2.0, below),
        ] {
            if word.is_empty() || !shown {
                continue;
            }
            let text = format!("{arrow} {word}");
            let wide = pen.text_width(&text, size)?;
            let ground = solid(self.palette.paper);
            pen.fill(
                (x - 3.0, upper),
                (x + wide + 3.0, upper + size + 2.0),
                ground,
            )?;
            let anchor = (HPos::Left, VPos::Top);
            pen.text(&text, (x, upper), size, solid(self.palette.soft), anchor)?;
        }
        Ok(())
    }

    /// Marker and name of each curve and rule at its end, moved apart where they would lie on each
    /// other.
    fn end_labels<DB: DrawingBackend>(
        &self,
        pen: &mut Pen<'_, DB>,
        view: &ChartView,
        curves: &[Vec<Vec<Place>>],
    ) -> Drawn<DB> {
        let x = self.frame.right_px + 8.0;
        let size = self.font_px;
        let room = pen.sheet().width_px - x;
        let ground = solid(self.palette.paper);
        let mut ends: Vec<(f64, Vec<String>, BackendColor)> = Vec::new();
        for (line, runs) in view.lines.iter().zip(curves) {
            let Some(end) = runs.last().and_then(|run| run.last()) else {
                continue;
            };
            let color = color(self.palette, line.foot, line.set);
            marker(pen, line.foot, *end, 3.5, color, ground)?;
            ends.push((end.1, wrapped(pen, &line.label, size, room)?, color));
        }
        for rule in &view.rules {
            let words = wrapped(pen, &rule.label, size, room)?;
            ends.push((self.value.px(rule.y), words, solid(self.palette.soft)));
        }
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let lines: usize = ends.iter().map(|end| end.1.len()).sum();
        // Closer together where there are more of them than fit.
        let tall = self.frame.bottom_px + 6.0;
        let step = (size + 2.0).min(tall / lines.max(1) as f64);
        let mut floor = tall - lines as f64 * step;
        let mut above = 1.0;
        for (y, words, color) in ends {
            let own = step * words.len() as f64;
            floor += own;
            let first = (y - 0.5 * own).clamp(above, (floor - own).max(above));
            for (i, word) in words.iter().enumerate() {
                let place = (x, first + step * (i as f64 + 0.5));
                pen.text(word, place, size, color, (HPos::Left, VPos::Center))?;
            }
            above = first + own;
        }
        Ok(())
    }
}

/// A text in lines no wider than the room, broken at its spaces.
fn wrapped<DB: DrawingBackend>(
    pen: &Pen<'_, DB>,
    text: &str,
    size_px: f64,
    room_px: f64,
) -> Result<Vec<String>, DrawingErrorKind<DB::ErrorType>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if pen.text_width(&longer, size_px)? <= room_px {
                *last = longer;
                continue;
            }
        }
        lines.push(word.to_owned());
    }
    Ok(lines)
}
