//! The feet from above.

use std::cmp::Ordering;

use footing_app::view::chart::{Foot, Path, PlanView, Set};
use plotters::style::text_anchor::{HPos, VPos};
use plotters_backend::{DrawingBackend, DrawingErrorKind};

use crate::glyph::{color, marker};
use crate::ink::{Drawn, Pen, Place};
use crate::palette::{Palette, solid};
use crate::{Sheet, chart::Span};

/// Draws both ways of the centres of pressure over the span, and where they are at `now`, an index
/// of the time axis.
///
/// # Errors
/// Whatever the backend could not draw.
pub fn draw_plan<DB: DrawingBackend>(
    backend: &mut DB,
    view: &PlanView,
    x_s: &[f64],
    span: Span,
    now: Option<usize>,
    palette: &Palette,
    sheet: Sheet,
) -> Result<(), DrawingErrorKind<DB::ErrorType>> {
    let mut pen = Pen::new(backend, sheet);
    pen.fill(
        (0.0, 0.0),
        (sheet.width_px, sheet.height_px),
        solid(palette.paper),
    )?;
    let first = x_s.partition_point(|x| *x < span.from_s);
    let end = x_s.partition_point(|x| *x <= span.to_s);
    let Some(ground) = Ground::fit(view, (first, end), sheet) else {
        let place = (0.5 * sheet.width_px, 0.5 * sheet.height_px);
        return pen.text(
            "no centre of pressure",
            place,
            12.0,
            solid(palette.soft),
            (HPos::Center, VPos::Center),
        );
    };
    for plate in &view.plates {
        let mut outline: Vec<Place> = plate.corners_m.iter().map(|c| ground.px(*c)).collect();
        outline.push(outline[0]);
        pen.path(&outline, solid(palette.soft), 1.0)?;
        let left = outline
            .iter()
            .map(|p| p.0)
            .fold(f64::INFINITY, f64::min)
            .max(0.0);
        let low = outline
            .iter()
            .map(|p| p.1)
            .fold(0.0, f64::max)
            .min(sheet.height_px - 24.0);
        pen.text(
            &plate.label,
            (left + 5.0, low - 4.0),
            11.0,
            solid(palette.soft),
            (HPos::Left, VPos::Bottom),
        )?;
    }
    signs(&mut pen, view, &ground, palette)?;
    for path in &view.paths {
        way(&mut pen, view, path, (first, end), &ground, palette)?;
    }
    if let Some(now) = now {
        feet(&mut pen, view, now, &ground, palette)?;
    }
    Ok(())
}

/// Metres on the ground to pixels, the same along both axes.
struct Ground {
    centre_m: (f64, f64),
    centre_px: Place,
    px_per_m: f64,
    mirror: f64,
}

impl Ground {
    fn fit(view: &PlanView, (first, end): (usize, usize), sheet: Sheet) -> Option<Self> {
        let mut points: Vec<(f64, f64)> = Vec::new();
        for path in &view.paths {
            points.extend((first..end).filter_map(|i| place(path, i)));
        }
        let span = |pick: fn(&(f64, f64)) -> f64| {
            let low = points.iter().map(pick).fold(f64::INFINITY, f64::min);
            let high = points.iter().map(pick).fold(f64::NEG_INFINITY, f64::max);
            // A hand's breadth of air: the ways of the feet are what is looked at, not the plates.
            (high >= low).then_some((0.5 * (low + high), high - low + 0.16))
        };
        let (t, wide) = span(|p| p.0)?;
        let (a, tall) = span(|p| p.1)?;
        let (side, top) = (4.0, 26.0);
        Some(Self {
            centre_m: (t, a),
            centre_px: (0.5 * sheet.width_px, 0.5 * sheet.height_px),
            px_per_m: ((sheet.width_px - 2.0 * side) / wide)
                .min((sheet.height_px - 2.0 * top) / tall),
            mirror: if view.target_on_left { -1.0 } else { 1.0 },
        })
    }

    fn px(&self, (t, a): (f64, f64)) -> Place {
        (
            self.centre_px.0 + self.mirror * (t - self.centre_m.0) * self.px_per_m,
            self.centre_px.1 - (a - self.centre_m.1) * self.px_per_m,
        )
    }
}

fn place(path: &Path, i: usize) -> Option<(f64, f64)> {
    Some(((*path.t_m.get(i)?)?, (*path.a_m.get(i)?)?))
}

/// Which way the target and the toes are, and how long 100 mm is.
fn signs<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let sheet = pen.sheet();
    let soft = solid(palette.soft);
    let (left, right) = (
        (6.0, 6.0, HPos::Left),
        (sheet.width_px - 6.0, 6.0, HPos::Right),
    );
    let words = if view.target_on_left {
        [("← target", left), ("toes ↑", right)]
    } else {
        [("↑ toes", left), ("target →", right)]
    };
    for (word, (x, y, anchor)) in words {
        pen.text(word, (x, y), 12.0, soft, (anchor, VPos::Top))?;
    }
    let long = 0.1 * ground.px_per_m;
    let y = sheet.height_px - 8.0;
    let from = sheet.width_px - 8.0 - long;
    pen.hairline((from, y), (from + long, y), soft)?;
    for x in [from, from + long - 1.0] {
        pen.hairline((x, y - 4.0), (x, y + 1.0), soft)?;
    }
    pen.text(
        "100 mm",
        (from - 6.0, y + 3.0),
        11.0,
        soft,
        (HPos::Right, VPos::Bottom),
    )
}

fn way<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    path: &Path,
    (first, end): (usize, usize),
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let color = color(palette, path.foot, path.set);
    let mut run: Vec<Place> = Vec::new();
    let mut runs: Vec<Vec<Place>> = Vec::new();
    for i in first..end {
        match place(path, i) {
            Some(at) => run.push(ground.px(at)),
            None if !run.is_empty() => runs.push(std::mem::take(&mut run)),
            None => {}
        }
    }
    runs.push(run);
    for run in &runs {
        if path.foot == Some(Foot::Trail) {
            pen.dashes(run, (6.0, 4.0), color, 1.5)?;
        } else {
            pen.path(run, color, 1.5)?;
        }
    }
    let own: Vec<Place> = runs.into_iter().flatten().collect();
    let other: Vec<Place> = view
        .paths
        .iter()
        .filter(|o| o.foot == path.foot && o.set != path.set)
        .flat_map(|o| (first..end).filter_map(|i| place(o, i)))
        .map(|at| ground.px(at))
        .collect();
    // Of two sets the way further up is named above both, the other below both, so that no name lies on a way.
    let mean_px = |way: &[Place]| way.iter().map(|p| p.1).sum::<f64>() / way.len() as f64;
    let above = !other.is_empty()
        && match mean_px(&own).total_cmp(&mean_px(&other)) {
            Ordering::Equal => path.set == Some(Set::A),
            order => order.is_lt(),
        };
    let further = |a: Place, b: Place| if (b.1 < a.1) == above { b } else { a };
    let Some((x, _)) = own.iter().copied().reduce(further) else {
        return Ok(());
    };
    let Some((_, y)) = own.into_iter().chain(other).reduce(further) else {
        return Ok(());
    };
    let wide = 0.5 * pen.text_width(&path.label, 12.0)? + 2.0;
    let x = x.clamp(wide, (pen.sheet().width_px - wide).max(wide));
    let (y, anchor) = if above {
        (y - 10.0, VPos::Bottom)
    } else {
        (y + 10.0, VPos::Top)
    };
    pen.text(&path.label, (x, y), 12.0, color, (HPos::Center, anchor))
}

/// The line between the two centres of pressure of each set, then the markers on its ends.
fn feet<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    now: usize,
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    for pair in view.paths.chunks(2) {
        if let [lead, trail] = pair
            && let (Some(l), Some(t)) = (place(lead, now), place(trail, now))
        {
            pen.path(&[ground.px(t), ground.px(l)], solid(palette.soft), 1.0)?;
        }
    }
    for path in &view.paths {
        if let Some(at) = place(path, now) {
            let color = color(palette, path.foot, path.set);
            marker(
                pen,
                path.foot,
                ground.px(at),
                6.0,
                color,
                solid(palette.paper),
            )?;
        }
    }
    Ok(())
}
