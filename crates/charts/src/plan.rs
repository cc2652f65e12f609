//! The feet from above.

use std::cmp::Ordering;

use footing_app::view::chart::{Foot, Path, PlanView, Set};
use plotters::style::text_anchor::{HPos, VPos};
use plotters_backend::{DrawingBackend, DrawingErrorKind};

use crate::glyph::{color, marker};
use crate::ink::{Drawn, Pen, Place};
use crate::palette::{Palette, solid};
use crate::way::{self, Trodden};
use crate::{Sheet, chart::Span};

/// A sheet this many times as high as wide has room for the feet enlarged below the plan.
const HIGH: f64 = 1.25;

/// Draws both ways of the centres of pressure over the span, and where they are at `now`, an index
/// of the time axis. On a sheet a quarter higher than wide the plan shows the whole plates, and below
/// it stands the way of each foot enlarged, both to one scale.
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
    let (wide, high) = (sheet.width_px, sheet.height_px);
    pen.fill((0.0, 0.0), (wide, high), solid(palette.paper))?;
    let first = x_s.partition_point(|x| *x < span.from_s);
    let range = (first, x_s.partition_point(|x| *x <= span.to_s));
    let walked = |foot: Option<Foot>| -> Vec<Place> {
        view.paths
            .iter()
            .filter(|path| foot.is_none() || path.foot == foot)
            .flat_map(|path| (range.0..range.1).filter_map(|i| place(path, i)))
            .collect()
    };
    let feet = [Foot::Trail, Foot::Lead].map(|foot| (foot, walked(Some(foot))));
    let enlarged = high > HIGH * wide && feet.iter().all(|(_, way)| !way.is_empty());
    let area = Area {
        corner: (0.0, 0.0),
        wide,
        high: if enlarged { high - 0.5 * wide } else { high },
    };
    let mut points = walked(None);
    if enlarged && !points.is_empty() {
        points.extend(view.plates.iter().flat_map(|plate| plate.corners_m));
    }
    // A hand's breadth of air: without enlargement the ways of the feet are what is looked at.
    let air_m = if enlarged { 0.04 } else { 0.16 };
    let Some(ground) = Ground::fit(view, &points, air_m, area, 26.0) else {
        let place = (0.5 * wide, 0.5 * high);
        let anchor = (HPos::Center, VPos::Center);
        return pen.text(
            "no centre of pressure",
            place,
            12.0,
            solid(palette.soft),
            anchor,
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
            .min(area.high - 24.0);
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
        stroke(&mut pen, path, range, &ground, palette)?;
        name(&mut pen, view, path, range, &ground, palette)?;
    }
    if let Some(now) = now {
        joined(&mut pen, view, now, &ground, palette)?;
        for path in &view.paths {
            stand(&mut pen, path, now, &ground, palette)?;
        }
    }
    if enlarged {
        enlarge(&mut pen, view, &feet, range, now, palette)?;
    }
    Ok(())
}

/// The way of each foot in a square of its own below the plan, on the side where the foot stands.
fn enlarge<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    feet: &[(Foot, Vec<Place>); 2],
    range: (usize, usize),
    now: Option<usize>,
    palette: &Palette,
) -> Drawn<DB> {
    let Sheet {
        width_px,
        height_px,
        ..
    } = pen.sheet();
    let side = 0.5 * width_px;
    let square = |foot: Foot| {
        let right = (foot == Foot::Lead) != view.target_on_left;
        Area {
            corner: (if right { side } else { 0.0 }, height_px - side),
            wide: side,
            high: side,
        }
    };
    // The same number of pixels for a millimetre in both.
    let grounds = feet.each_ref().map(|(foot, way)| {
        let ground = Ground::fit(view, way, 0.006, square(*foot), 28.0);
        (*foot, ground)
    });
    let px_per_m = grounds
        .iter()
        .flat_map(|(_, ground)| ground)
        .map(|ground| ground.px_per_m)
        .fold(6000.0, f64::min);
    for (foot, ground) in grounds {
        let Some(ground) = ground else { continue };
        let ground = Ground { px_per_m, ..ground };
        let (left, top) = ground.area.corner;
        let frame = [
            (left + 2.0, top + 2.0),
            (left + side - 2.0, top + 2.0),
            (left + side - 2.0, height_px - 1.0),
            (left + 2.0, height_px - 1.0),
            (left + 2.0, top + 2.0),
        ];
        pen.path(&frame, solid(palette.hair), 1.0)?;
        let anchor = (HPos::Left, VPos::Top);
        let word = format!("{} foot, enlarged", foot.name());
        pen.text(
            &word,
            (left + 8.0, top + 7.0),
            11.0,
            solid(palette.soft),
            anchor,
        )?;
        scale_bar(pen, &ground, 0.4 * side, palette)?;
        for path in view.paths.iter().filter(|path| path.foot == Some(foot)) {
            stroke(pen, path, range, &ground, palette)?;
        }
        for path in view.paths.iter().filter(|path| path.foot == Some(foot)) {
            if let Some(now) = now {
                stand(pen, path, now, &ground, palette)?;
            }
        }
    }
    Ok(())
}

/// A part of the sheet, CSS pixels.
#[derive(Clone, Copy)]
struct Area {
    corner: Place,
    wide: f64,
    high: f64,
}

/// Metres on the ground to pixels, the same along both axes.
struct Ground {
    area: Area,
    centre_m: (f64, f64),
    px_per_m: f64,
    mirror: f64,
}

impl Ground {
    /// All points inside the area, with so much air around them and `top` pixels above and below.
    fn fit(
        view: &PlanView,
        points: &[(f64, f64)],
        air_m: f64,
        area: Area,
        top: f64,
    ) -> Option<Self> {
        let span = |pick: fn(&(f64, f64)) -> f64| {
            let low = points.iter().map(pick).fold(f64::INFINITY, f64::min);
            let high = points.iter().map(pick).fold(f64::NEG_INFINITY, f64::max);
            (high >= low).then_some((0.5 * (low + high), high - low + air_m))
        };
        let (t, wide) = span(|p| p.0)?;
        let (a, tall) = span(|p| p.1)?;
        Some(Self {
            centre_m: (t, a),
            px_per_m: ((area.wide - 8.0) / wide).min((area.high - 2.0 * top) / tall),
            area,
            mirror: if view.target_on_left { -1.0 } else { 1.0 },
        })
    }

    fn px(&self, (t, a): (f64, f64)) -> Place {
        let Area { corner, wide, high } = self.area;
        (
            corner.0 + 0.5 * wide + self.mirror * (t - self.centre_m.0) * self.px_per_m,
            corner.1 + 0.5 * high - (a - self.centre_m.1) * self.px_per_m,
        )
    }
}

fn place(path: &Path, i: usize) -> Option<(f64, f64)> {
    Some(((*path.t_m.get(i)?)?, (*path.a_m.get(i)?)?))
}

/// Which way the target and the toes are, and how long a round number of millimetres is.
fn signs<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let (left, right) = (
        (6.0, 6.0, HPos::Left),
        (ground.area.wide - 6.0, 6.0, HPos::Right),
    );
    let words = if view.target_on_left {
        [("← target", left), ("toes ↑", right)]
    } else {
        [("↑ toes", left), ("target →", right)]
    };
    for (word, (x, y, anchor)) in words {
        pen.text(word, (x, y), 12.0, solid(palette.soft), (anchor, VPos::Top))?;
    }
    scale_bar(pen, ground, 0.1 * ground.px_per_m, palette)
}

/// A bar of the longest round length that is no longer than `most_px`, in the lower right corner.
fn scale_bar<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    ground: &Ground,
    most_px: f64,
    palette: &Palette,
) -> Drawn<DB> {
    let soft = solid(palette.soft);
    let Area { corner, wide, high } = ground.area;
    let mm = [100.0, 50.0, 20.0, 10.0, 5.0]
        .into_iter()
        .find(|mm| 0.001 * mm * ground.px_per_m <= most_px + 0.5)
        .unwrap_or(2.0);
    let long = 0.001 * mm * ground.px_per_m;
    let y = corner.1 + high - 8.0;
    let from = corner.0 + wide - 8.0 - long;
    pen.hairline((from, y), (from + long, y), soft)?;
    for x in [from, from + long - 1.0] {
        pen.hairline((x, y - 4.0), (x, y + 1.0), soft)?;
    }
    let anchor = (HPos::Right, VPos::Bottom);
    pen.text(
        &format!("{mm} mm"),
        (from - 6.0, y + 3.0),
        11.0,
        soft,
        anchor,
    )
}

/// The pieces of a way between its gaps.
fn pieces(path: &Path, (first, end): (usize, usize), ground: &Ground) -> Vec<Vec<Place>> {
    let mut runs: Vec<Vec<Place>> = vec![Vec::new()];
    for i in first..end {
        match (place(path, i), runs.last_mut()) {
            (Some(at), Some(run)) => run.push(ground.px(at)),
            (None, Some(run)) if !run.is_empty() => runs.push(Vec::new()),
            _ => {}
        }
    }
    runs
}

fn stroke<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    path: &Path,
    range: (usize, usize),
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let color = color(palette, path.foot, path.set);
    let width_px = if path.set == Some(Set::B) { 2.25 } else { 1.5 };
    let dashes = (path.foot == Some(Foot::Trail)).then_some((6.0, 4.0));
    let mut trodden = Trodden::new(pen.sheet());
    for run in pieces(path, range, ground) {
        for line in way::lines(&run, dashes, &mut trodden) {
            pen.path(&line, color, width_px)?;
        }
    }
    Ok(())
}

fn name<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    view: &PlanView,
    path: &Path,
    range: (usize, usize),
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let color = color(palette, path.foot, path.set);
    let own: Vec<Place> = pieces(path, range, ground).into_iter().flatten().collect();
    let other: Vec<Place> = view
        .paths
        .iter()
        .filter(|o| o.foot == path.foot && o.set != path.set)
        .flat_map(|o| pieces(o, range, ground).into_iter().flatten())
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
    let x = x.clamp(wide, (ground.area.wide - wide).max(wide));
    let (y, anchor) = if above {
        (y - 10.0, VPos::Bottom)
    } else {
        (y + 10.0, VPos::Top)
    };
    pen.text(&path.label, (x, y), 12.0, color, (HPos::Center, anchor))
}

/// The line between the two centres of pressure of each set.
fn joined<DB: DrawingBackend>(
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
    Ok(())
}

/// Where a centre of pressure is now.
fn stand<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    path: &Path,
    now: usize,
    ground: &Ground,
    palette: &Palette,
) -> Drawn<DB> {
    let Some(at) = place(path, now) else {
        return Ok(());
    };
    let color = color(palette, path.foot, path.set);
    let size_px = if path.set.is_some() { 5.0 } else { 6.0 };
    marker(
        pen,
        path.foot,
        ground.px(at),
        size_px,
        color,
        solid(palette.paper),
    )
}
